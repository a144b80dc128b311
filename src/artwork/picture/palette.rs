//! TIFF with colors by number. The decoder reads numbers only as grey, so it is told that they are grey,
//! and the list of colors is looked up afterwards (TIFF 6.0, section 5, "Palette-color images").

use super::decoded::{Color, Decoded, Samples};

/// "Colors by number", as the file says it; and "grey from black to white".
pub(super) const BY_NUMBER: u16 = 3;
const GREY: u16 = 1;
/// The field that says which.
const PHOTOMETRIC: u64 = 262;

/// The same file, its first picture said to be grey. `None` if it is not laid out as one that says it.
pub(super) fn as_grey(bytes: &[u8]) -> Option<Vec<u8>> {
    let file = File { bytes, little: bytes.starts_with(b"II") };
    // Classic TIFF counts in 2 bytes, BigTIFF in 8; fields of 12 bytes or 20, the value behind.
    let big = file.number(2, 2)? == 43;
    let (at, wide, field) = if big { (file.number(8, 8)?, 8, 20) } else { (file.number(4, 4)?, 2, 12) };
    let at = usize::try_from(at).ok()?;
    let count = usize::try_from(file.number(at, wide)?).ok()?;
    let fields = (0..count.min(1 << 16)).map(|n| at.saturating_add(wide + n * field));
    let found = fields.take_while(|field| *field < bytes.len()).find(|at| file.number(*at, 2) == Some(PHOTOMETRIC))?;
    let value = found + if big { 12 } else { 8 };
    if file.number(value, 2)? != u64::from(BY_NUMBER) {
        return None;
    }
    let grey = if file.little { GREY.to_le_bytes() } else { GREY.to_be_bytes() };
    let mut said = bytes.to_vec();
    said.get_mut(value..value + 2)?.copy_from_slice(&grey);
    Some(said)
}

struct File<'a> {
    bytes: &'a [u8],
    little: bool,
}

impl File<'_> {
    /// The whole number of so many bytes there.
    fn number(&self, at: usize, length: usize) -> Option<u64> {
        let bytes = self.bytes.get(at..at.checked_add(length)?)?;
        let add = |sum: u64, byte: &u8| sum << 8 | u64::from(*byte);
        Some(if self.little { bytes.iter().rev().fold(0, add) } else { bytes.iter().fold(0, add) })
    }
}

/// Numbers turned into colors. The list has all reds, then all greens, then all blues, 16 bits each; the
/// upper eight are taken, since some writers leave the lower ones empty. What is not in it is black.
pub(super) fn colored(decoded: &mut Decoded, list: &[u16]) {
    let Samples::Eight(numbers) = &decoded.samples else { return };
    let level = |number: u8, channel: usize| {
        let at = channel * (list.len() / 3) + usize::from(number);
        let inside = usize::from(number) < list.len() / 3;
        list.get(at).filter(|_| inside).map_or(0, |wide| wide.to_be_bytes()[0])
    };
    let colors = numbers.iter().flat_map(|n| [0, 1, 2].map(|channel| level(*n, channel)));
    decoded.samples = Samples::Eight(colors.collect());
    (decoded.color, decoded.channels) = (Color::Rgb, 3);
}
