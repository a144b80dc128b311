//! Whether a JPEG's coded data is as long as its header says.
//!
//! A decoder that comes to the end of the data goes on with zeros, which are codes like others, so
//! that a picture that was cut, or whose header lies, comes out whole and partly grey. Here the
//! data is followed by ones: no code is all ones (ITU-T T.81, C.2), so a decoder that reads on stops.
//!
//! ```text
//!   SOI … SOF … SOS data RST data RST data ones EOI
//! ```
//!
//! Between restarts it would skip them; so the restarts are counted, too.

use super::density::Density;
use crate::length::Unit;

/// Ones behind the data, as bytes; a zero behind each says that it is no marker. The longest that is
/// read without a code are the 63 bits of a block that is refined.
const ONES: [u8; 32] = {
    let mut ones = [0xff; 32];
    let mut i = 1;
    while i < ones.len() {
        ones[i] = 0;
        i += 2;
    }
    ones
};

/// What lies between a JPEG's markers.
#[derive(Default)]
pub(super) struct Parts {
    pub(super) density: Option<Density>,
    /// It has data and its end.
    pub(super) whole: bool,
    frame: Option<Frame>,
    scans: Vec<Scan>,
}

/// What its header says.
struct Frame {
    progressive: bool,
    /// Down and across.
    size: [usize; 2],
    /// Number, and blocks across and down in the unit that all share.
    components: Vec<(u8, [usize; 2])>,
}

/// One pass over the picture.
struct Scan {
    /// The components that it is of.
    of: Vec<u8>,
    /// Where its data ends.
    end: usize,
    /// Units from one restart to the next; 0 if there are none.
    interval: usize,
    restarts: usize,
}

impl Parts {
    pub(super) fn of(bytes: &[u8]) -> Parts {
        let mut parts = Parts::default();
        let (mut at, mut interval) = (2, 0);
        while let Some(&[0xff, marker]) = bytes.get(at..at + 2) {
            if marker == 0xff {
                at += 1; // a fill byte
                continue;
            }
            if marker == 0xd9 {
                parts.whole = !parts.scans.is_empty();
                break;
            }
            let Some(length) = short(bytes, at + 2) else { break };
            let body = bytes.get(at + 4..at + 2 + length.max(2)).unwrap_or_default();
            at += 2 + length.max(2);
            match marker {
                0xe0 if body.starts_with(b"JFIF\0") => parts.density = jfif(body),
                0xc0..=0xc2 => parts.frame = Frame::of(body, marker == 0xc2),
                0xdd => interval = short(body, 0).unwrap_or(0),
                0xda => {
                    let of = body.get(1..).unwrap_or_default().chunks_exact(2).map(|part| part[0]);
                    let of = of.take(body.first().copied().unwrap_or(0).into()).collect();
                    let (end, restarts) = data(bytes, at);
                    parts.scans.push(Scan { of, end, interval, restarts });
                    at = end;
                }
                _ => {}
            }
        }
        parts
    }

    /// The file with ones behind its data, where the decoder does not have to come upon the end
    /// itself: it is told so of the last pass, and of all but the first where they refine each other.
    pub(super) fn followed_by_ones(&self, bytes: &[u8]) -> Vec<u8> {
        let first = if self.frame.as_ref().is_some_and(|frame| frame.progressive) {
            1
        } else {
            self.scans.len().saturating_sub(1)
        };
        let mut out = Vec::with_capacity(bytes.len() + ONES.len() * self.scans.len());
        let mut done = 0;
        for scan in self.scans.iter().skip(first) {
            out.extend_from_slice(&bytes[done..scan.end]);
            out.extend(ONES);
            done = scan.end;
        }
        out.extend_from_slice(&bytes[done..]);
        out
    }

    /// Whether the decoder knows where the parts of each color belong. Where each has a pass of its own and they
    /// don't refine each other, it loses its place at restarts and in colors of half the size, and says nothing.
    pub(super) fn are_read_right(&self) -> bool {
        let Some(frame) = &self.frame else { return false };
        let one = |scan: &Scan| scan.of.len() == 1 && scan.interval == 0;
        frame.progressive
            || self.scans.first().is_some_and(|scan| scan.of.len() == frame.components.len())
            || (self.scans.iter().all(one) && frame.components.iter().all(|(_, blocks)| *blocks == [1, 1]))
    }

    /// Whether there are as many restarts as so many pixels have.
    pub(super) fn has_its_restarts(&self) -> bool {
        let Some(frame) = &self.frame else { return false };
        self.scans
            .iter()
            .all(|scan| scan.interval == 0 || scan.restarts + 1 >= frame.units(&scan.of).div_ceil(scan.interval))
    }
}

impl Frame {
    fn of(body: &[u8], progressive: bool) -> Option<Frame> {
        let parts = body.get(6..)?.chunks_exact(3);
        let components = parts.map(|part| (part[0], [part[1] >> 4, part[1] & 15].map(usize::from))).collect();
        Some(Frame { progressive, size: [short(body, 1)?, short(body, 3)?], components })
    }

    /// The units of a scan: of one component its blocks, of several what holds blocks of each (A.2).
    fn units(&self, of: &[u8]) -> usize {
        let most = |i: usize| self.components.iter().map(|(_, blocks)| blocks[i]).max().unwrap_or(1).max(1);
        let [down, across] = self.size;
        let own = match of {
            [number] => self.components.iter().find(|(n, _)| n == number).map_or([1, 1], |(_, blocks)| *blocks),
            _ => [1, 1],
        };
        (across * own[0]).div_ceil(8 * most(0)) * (down * own[1]).div_ceil(8 * most(1))
    }
}

/// Where coded data ends, and how many restarts are in it.
fn data(bytes: &[u8], from: usize) -> (usize, usize) {
    let (mut at, mut restarts) = (from.min(bytes.len()), 0);
    while let Some(next) = bytes[at..].iter().position(|byte| *byte == 0xff) {
        at += next;
        match bytes.get(at + 1) {
            Some(0) => at += 2,
            Some(0xff) => at += 1,
            Some(0xd0..=0xd7) => (at, restarts) = (at + 2, restarts + 1),
            _ => return (at, restarts),
        }
    }
    (bytes.len(), restarts)
}

fn jfif(body: &[u8]) -> Option<Density> {
    let whole = |at: usize| short(body, at).and_then(|n| u32::try_from(n).ok());
    let unit = match body.get(7)? {
        1 => Unit::In,
        2 => Unit::Cm,
        _ => return None, // only how its sides relate
    };
    Density::whole(whole(8)?, whole(10)?, unit)
}

fn short(bytes: &[u8], at: usize) -> Option<usize> {
    bytes.get(at..at + 2).map(|b| usize::from(u16::from_be_bytes([b[0], b[1]])))
}
