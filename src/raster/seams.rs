//! The lines of pixels on both sides of the joins, and of a few places inside for comparison:
//! what compression did there shows whether it made a join visible.

use super::sheet::SheetSpec;

/// Pairs of neighboring lines: the joins, and inside pairs that also lie between two squares
/// of 8 pixels, as compression has them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seams {
    columns: Vec<Line>,
    rows: Vec<Line>,
}

/// One line of pixels; those before and after its part are left out.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Line {
    at: u32,
    from: usize,
    bytes: Vec<u8>,
}

/// The change of a step from one line to the next that an eye at arm's length may see, as a
/// root mean square of 255 levels (our own choice, no source).
const VISIBLE: f64 = 4.0;

impl Seams {
    /// Nothing yet.
    pub(super) fn new(spec: &SheetSpec) -> Seams {
        let lines = |side: u32, length: u32| {
            let bytes = vec![0; length as usize * spec.channels.bytes()];
            places(side).into_iter().map(|at| Line { at, from: 0, bytes: bytes.clone() }).collect()
        };
        Seams { columns: lines(spec.width, spec.height), rows: lines(spec.height, spec.width) }
    }

    /// The parts of the lines that lie in a run of whole rows.
    pub(super) fn of_strip(spec: &SheetSpec, first: i64, rows: &[u8]) -> Seams {
        let (bytes, row_bytes) = (spec.channels.bytes(), spec.row_bytes());
        let count = (rows.len() / row_bytes) as i64;
        let column = |at: u32| {
            let part = rows.chunks_exact(row_bytes).flat_map(|row| row[at as usize * bytes..][..bytes].to_vec());
            Line { at, from: first as usize * bytes, bytes: part.collect() }
        };
        let row = |at: u32| {
            let y = i64::from(at) - first;
            (0..count).contains(&y).then(|| {
                let start = y as usize * row_bytes;
                Line { at, from: 0, bytes: rows[start..start + row_bytes].to_vec() }
            })
        };
        Seams {
            columns: places(spec.width).into_iter().map(column).collect(),
            rows: places(spec.height).into_iter().filter_map(row).collect(),
        }
    }

    /// Puts parts into their lines.
    pub(super) fn take(&mut self, parts: Seams) {
        for (lines, parts) in [(&mut self.columns, parts.columns), (&mut self.rows, parts.rows)] {
            for part in parts {
                if let Some(line) = lines.iter_mut().find(|line| line.at == part.at) {
                    line.bytes[part.from..part.from + part.bytes.len()].copy_from_slice(&part.bytes);
                }
            }
        }
    }

    /// A remark if the same lines, decoded, step visibly otherwise at a join than these do.
    pub(super) fn changed_by(&self, decoded: &Seams) -> Option<String> {
        let mut remarks = Vec::new();
        for (name, before, after) in
            [("left-right", &self.columns, &decoded.columns), ("top-bottom", &self.rows, &decoded.rows)]
        {
            let changes: Vec<f64> = before
                .chunks_exact(2)
                .zip(after.chunks_exact(2))
                .map(|(before, after)| change(before, after))
                .collect();
            let [join, inside @ ..] = &changes[..] else { continue };
            let usual = inside.iter().copied().fold(0.0, f64::max);
            // Where the inside is worse, the join is not what is seen.
            if *join > VISIBLE && *join > 1.2 * usual {
                remarks.push(format!("the {name} join by {join:.1} of 255 levels, the inside by {usual:.1}"));
            }
        }
        (!remarks.is_empty()).then(|| {
            format!("compression may show at the join (it changes {}); write a higher quality", remarks.join(" and "))
        })
    }
}

/// Both lines of the join, then pairs inside at multiples of 8.
fn places(side: u32) -> Vec<u32> {
    let inside = [1, 2, 3].map(|part| side / 4 * part / 8 * 8).into_iter().filter(|at| *at > 0);
    [side - 1, 0].into_iter().chain(inside.flat_map(|at| [at - 1, at])).collect()
}

/// How much the step between two lines was changed: root mean square over pixels and channels.
fn change(before: &[Line], after: &[Line]) -> f64 {
    let step = |pair: &[Line], i: usize| f64::from(pair[1].bytes[i]) - f64::from(pair[0].bytes[i]);
    let count = before[0].bytes.len().min(after[0].bytes.len());
    let sum: f64 = (0..count).map(|i| (step(after, i) - step(before, i)).powi(2)).sum();
    (sum / count.max(1) as f64).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pixels::Resolution;
    use crate::raster::Channels;

    fn picture(change_last_column: u8) -> (SheetSpec, Vec<u8>) {
        let resolution = Resolution::dpi(150).expect("in range");
        let spec = SheetSpec { width: 64, height: 48, resolution, channels: Channels::Rgb };
        let mut bytes: Vec<u8> = (0..64 * 48 * 3).map(|i| (i / 7 % 200) as u8).collect();
        for row in bytes.chunks_exact_mut(64 * 3) {
            row[63 * 3..].iter_mut().for_each(|c| *c = c.wrapping_add(change_last_column));
        }
        (spec, bytes)
    }

    #[test]
    fn parts_of_lines_come_together() {
        let (spec, bytes) = picture(0);
        let mut joined = Seams::new(&spec);
        for (strip, rows) in bytes.chunks(64 * 3 * 16).enumerate() {
            joined.take(Seams::of_strip(&spec, strip as i64 * 16, rows));
        }
        assert_eq!(joined, Seams::of_strip(&spec, 0, &bytes));
    }

    #[test]
    fn a_changed_join_is_remarked_and_an_unchanged_one_is_not() {
        let ((spec, before), (_, after)) = (picture(0), picture(9));
        let seams = |bytes: &[u8]| Seams::of_strip(&spec, 0, bytes);
        assert_eq!(seams(&before).changed_by(&seams(&before)), None);
        let remark = seams(&before).changed_by(&seams(&after)).expect("a remark");
        assert!(remark.contains("the left-right join by 9.0 of 255 levels, the inside by 0.0"), "{remark}");
    }
}
