//! A drawing's page as it is seen in other programs: painted once, cut at the page's edges.

use resvg::tiny_skia;

use super::RasterError;
use crate::artwork::Motif;
use crate::limits::Limit;

/// Refuses a tile with more pixels than are held in memory.
///
/// # Errors
/// [`RasterError::TooLargeToJudge`].
pub fn hold_size([width, height]: [u64; 2], limit: Limit) -> Result<(), RasterError> {
    if width.saturating_mul(height) <= limit.most {
        return Ok(());
    }
    Err(RasterError::TooLargeToJudge { width, height, limit })
}

/// Paints the page on so many pixels across and down, to the nearest whole ones: its width and height in
/// pixels, and straight RGBA in rows.
///
/// # Errors
/// A page with too many pixels.
pub fn page(motif: &Motif, pixels: [f64; 2], limit: Limit) -> Result<(u32, u32, Vec<u8>), RasterError> {
    let page = motif.page_px();
    let [width, height] = pixels.map(|n| n.round().max(1.0));
    hold_size([width as u64, height as u64], limit)?;
    let too_large = || RasterError::TooLarge { width: width as i64, height: height as i64 };
    let mut canvas = tiny_skia::Pixmap::new(width as u32, height as u32).ok_or_else(too_large)?;
    let scale = tiny_skia::Transform::from_scale((width / page.width) as f32, (height / page.height) as f32);
    resvg::render(motif.tree(), scale, &mut canvas.as_mut());
    Ok((width as u32, height as u32, canvas.take_demultiplied()))
}
