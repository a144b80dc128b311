//! Which colors a tile has: asked before a grey or palette PNG is written.

use std::collections::BTreeSet;
use std::io;
use std::sync::Mutex;

use super::png::PngColors;
use super::sheet::{Packed, Sheet, SheetSpec};

/// More than a palette holds.
const MANY: usize = 257;

/// Counts colors and keeps no pixel.
#[derive(Default)]
pub(super) struct Census {
    seen: Mutex<Seen>,
}

struct Seen {
    colors: BTreeSet<[u8; 4]>,
    grey: bool,
}

impl Default for Seen {
    fn default() -> Seen {
        Seen { colors: BTreeSet::new(), grey: true }
    }
}

/// What the art allows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Colors {
    /// Every pixel is opaque and grey.
    pub grey: bool,
    /// The colors in order, if a palette holds them.
    pub palette: Option<Vec<[u8; 4]>>,
}

impl Census {
    pub(super) fn result(self) -> Colors {
        let seen = self.seen.into_inner().unwrap_or_default();
        let fits = seen.colors.len() < MANY;
        Colors { grey: seen.grey, palette: fits.then(|| seen.colors.into_iter().collect()) }
    }
}

impl Colors {
    /// A grey PNG, if every pixel is grey.
    pub fn as_grey(&self) -> Option<PngColors> {
        self.grey.then_some(PngColors::Grey)
    }

    /// A palette PNG, if there are at most 256 colors.
    pub fn as_palette(&self) -> Option<PngColors> {
        self.palette.clone().map(PngColors::Palette)
    }
}

impl Sheet for Census {
    fn pack(&self, rows: &[u8], spec: &SheetSpec) -> Packed {
        let mut colors = BTreeSet::new();
        let mut grey = true;
        let mut last = None;
        for pixel in rows.chunks_exact(spec.channels.bytes()) {
            let color = [pixel[0], pixel[1], pixel[2], *pixel.get(3).unwrap_or(&255)];
            if last == Some(color) {
                continue;
            }
            last = Some(color);
            grey &= color[0] == color[1] && color[1] == color[2] && color[3] == 255;
            if colors.len() < MANY {
                colors.insert(color);
            }
        }
        if let Ok(mut seen) = self.seen.lock() {
            seen.grey &= grey;
            seen.colors.extend(colors);
            while seen.colors.len() > MANY {
                seen.colors.pop_last();
            }
        }
        Packed { data: Vec::new(), adler: 0, raw: 0 }
    }

    fn put(&mut self, _: usize, _: Packed) -> io::Result<()> {
        Ok(())
    }

    fn finish(&mut self) -> io::Result<()> {
        Ok(())
    }
}
