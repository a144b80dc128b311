//! Rows that are at hand already, written as a file: pictures for the eye, and tiles of anyone's.

use rayon::prelude::*;

use super::seams::Seams;
use super::sheet::{Packed, SheetSpec};
use super::weave::Woven;
use super::{Opened, RasterError, Target};
use crate::progress::Progress;

/// Writes rows to a target: `row` fills row y, in the channels of the spec.
///
/// # Errors
/// What the disk says, or that it was stopped; the file is then not whole.
pub fn write(
    row: &(dyn Fn(usize, &mut [u8]) + Sync),
    spec: SheetSpec,
    target: Target,
    progress: &dyn Progress,
) -> Result<Woven, RasterError> {
    let mut opened = Opened::begin(target, &spec)?;
    let mut sheet = opened.sheet(&spec)?;
    let mut woven = Woven { spec, checks: Vec::with_capacity(spec.strips()), seams: Seams::new(&spec) };
    let strips: Vec<usize> = (0..spec.strips()).collect();
    for group in strips.chunks(rayon::current_num_threads() * 4) {
        let packed = group.par_iter().map(|strip| {
            let [first, end] = spec.strip(*strip);
            let mut rows = vec![0; spec.row_bytes() * (end - first) as usize];
            for (y, out) in (first as usize..).zip(rows.chunks_exact_mut(spec.row_bytes())) {
                row(y, out);
            }
            (*strip, crc32fast::hash(&rows), Seams::of_strip(&spec, first, &rows), sheet.pack(&rows, &spec))
        });
        for (strip, check, lines, packed) in packed.collect::<Vec<(usize, u32, Seams, Packed)>>() {
            woven.checks.push(check);
            woven.seams.take(lines);
            sheet.put(strip, packed)?;
        }
        if progress.stopped() {
            return Err(RasterError::Stopped);
        }
    }
    sheet.finish()?;
    Ok(woven)
}
