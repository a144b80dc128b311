//! The two things that are wanted of EXIF data: which way is up, and how many pixels an inch.
//!
//! EXIF data is a TIFF header and lists of fields; only the first list is read, every offset checked.

use super::density::Density;
use crate::length::Unit;

/// What was found; orientation 1 is upright, and what counts where nothing was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Exif {
    pub(super) orientation: u16,
    pub(super) density: Option<Density>,
}

const ORIENTATION: u16 = 274;
const X_RESOLUTION: u16 = 282;
const Y_RESOLUTION: u16 = 283;
const RESOLUTION_UNIT: u16 = 296;

/// Reads EXIF data, with or without the marker before it. Data that makes no sense is as none.
pub(super) fn read(data: &[u8]) -> Option<Exif> {
    let data = data.strip_prefix(b"Exif\0\0").unwrap_or(data);
    let big = match data.get(..4)? {
        b"MM\0*" => true,
        b"II*\0" => false,
        _ => return None,
    };
    let bytes = Bytes { data, big };
    let list = bytes.long(4)? as usize;
    let (mut orientation, mut across, mut down, mut unit) = (1, None, None, 2);
    for index in 0..usize::from(bytes.short(list)?) {
        let at = list.checked_add(2 + index * 12)?;
        let Some(tag) = bytes.short(at) else { break };
        match tag {
            ORIENTATION => orientation = bytes.short(at + 8)?,
            X_RESOLUTION => across = bytes.fraction(at + 8),
            Y_RESOLUTION => down = bytes.fraction(at + 8),
            RESOLUTION_UNIT => unit = bytes.short(at + 8)?,
            _ => {}
        }
    }
    let unit = if unit == 3 { Unit::Cm } else { Unit::In };
    let density = across.zip(down).and_then(|(across, down)| Density::new(across, down, unit));
    let orientation = if (1..=8).contains(&orientation) { orientation } else { 1 };
    // 72 dpi is what EXIF has writers say who don't know; it is no size of anything.
    Some(Exif { orientation, density: density.filter(|d| !d.is_exifs_unknown()) })
}

struct Bytes<'a> {
    data: &'a [u8],
    big: bool,
}

impl Bytes<'_> {
    fn short(&self, at: usize) -> Option<u16> {
        let bytes = self.data.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(if self.big { u16::from_be_bytes(bytes) } else { u16::from_le_bytes(bytes) })
    }

    fn long(&self, at: usize) -> Option<u32> {
        let bytes = self.data.get(at..at.checked_add(4)?)?.try_into().ok()?;
        Some(if self.big { u32::from_be_bytes(bytes) } else { u32::from_le_bytes(bytes) })
    }

    /// The fraction that the offset at `at` leads to.
    fn fraction(&self, at: usize) -> Option<(u32, u32)> {
        let at = self.long(at)? as usize;
        Some((self.long(at)?, self.long(at.checked_add(4)?)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// EXIF data with an orientation and a density.
    fn data(orientation: u16, dpi: u32, unit: u16) -> Vec<u8> {
        let mut out = b"Exif\0\0MM\0*\0\0\0\x08\0\x04".to_vec();
        let mut field = |tag: u16, kind: u16, value: [u8; 4]| {
            out.extend(tag.to_be_bytes());
            out.extend(kind.to_be_bytes());
            out.extend(1u32.to_be_bytes());
            out.extend(value);
        };
        let short = |n: u16| [n.to_be_bytes(), [0, 0]].concat().try_into().expect("four bytes");
        field(ORIENTATION, 3, short(orientation));
        field(X_RESOLUTION, 5, 62u32.to_be_bytes());
        field(Y_RESOLUTION, 5, 62u32.to_be_bytes());
        field(RESOLUTION_UNIT, 3, short(unit));
        out.extend([0; 4]);
        out.extend(dpi.to_be_bytes());
        out.extend(1u32.to_be_bytes());
        out
    }

    #[test]
    fn orientation_and_density_are_read() {
        let found = read(&data(6, 300, 2)).expect("sound");
        assert_eq!(found, Exif { orientation: 6, density: Density::whole(300, 300, Unit::In) });
        assert_eq!(read(&data(9, 72, 2)), Some(Exif { orientation: 1, density: None }));
        assert_eq!(read(&data(1, 100, 3)).and_then(|e| e.density), Density::whole(100, 100, Unit::Cm));
    }

    #[test]
    fn data_cut_off_anywhere_is_no_harm() {
        let whole = data(6, 300, 2);
        for end in 0..whole.len() {
            let _ = read(&whole[..end]);
        }
        for at in 0..whole.len() {
            let mut bent = whole.clone();
            bent[at] = 0xff;
            let _ = read(&bent);
        }
    }
}
