//! What every decoder gives: samples in rows, and what they mean.

use super::density::Density;
use super::loss;
use crate::artwork::losses::Loss;

/// A decoded picture, as it lies in its file.
pub(super) struct Decoded {
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) samples: Samples,
    pub(super) color: Color,
    /// Channels of a pixel, those of its color among them.
    pub(super) channels: usize,
    /// The channel of its transparency.
    pub(super) alpha: Option<Alpha>,
    pub(super) profile: Option<Vec<u8>>,
    /// It says that it is sRGB, without a profile.
    pub(super) says_srgb: bool,
    /// As EXIF counts them, 1 to 8.
    pub(super) orientation: u16,
    pub(super) density: Option<Density>,
    pub(super) losses: Vec<Loss>,
}

/// Eight or sixteen bits a sample.
pub(super) enum Samples {
    Eight(Vec<u8>),
    Sixteen(Vec<u16>),
}

/// What the first channels are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Color {
    Grey,
    Rgb,
    /// As amounts of ink: 0 is none.
    Cmyk,
}

impl Color {
    pub(super) fn channels(self) -> usize {
        match self {
            Color::Grey => 1,
            Color::Rgb => 3,
            Color::Cmyk => 4,
        }
    }
}

/// Where transparency is, and whether the colors were multiplied by it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Alpha {
    pub(super) channel: usize,
    pub(super) multiplied: bool,
}

impl Decoded {
    /// Samples of a color, the transparency behind it, and nothing else known of them.
    pub(super) fn new(size: (u32, u32), samples: Samples, color: Color, alpha: bool) -> Decoded {
        let channel = color.channels();
        Decoded {
            width: size.0,
            height: size.1,
            samples,
            color,
            channels: channel + usize::from(alpha),
            alpha: alpha.then_some(Alpha { channel, multiplied: false }),
            profile: None,
            says_srgb: false,
            orientation: 1,
            density: None,
            losses: Vec::new(),
        }
    }

    /// Adds what EXIF data says, unless the file said it itself.
    pub(super) fn with_exif(mut self, exif: Option<&[u8]>) -> Decoded {
        if let Some(exif) = exif.and_then(super::exif::read) {
            self.orientation = exif.orientation;
            self.density = self.density.or(exif.density);
        }
        self
    }

    pub(super) fn lose(&mut self, code: &'static str, what: impl Into<String>) {
        self.losses.push(loss(code, what));
    }
}
