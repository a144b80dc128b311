//! A drawing's page as it is seen in other programs: painted once, cut at the page's edges.

use resvg::tiny_skia;

use super::RasterError;
use crate::artwork::Motif;
use crate::length::Unit;
use crate::limits::Limit;

/// CSS pixels in an inch, for drawings without a true size.
const CSS: f64 = 96.0;

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

/// Paints the page at so many pixels an inch, to the nearest whole pixel a side: its width and height in pixels,
/// and straight RGBA in rows.
///
/// # Errors
/// A page with too many pixels.
pub fn page(motif: &Motif, dpi: f64, limit: Limit) -> Result<(u32, u32, Vec<u8>), RasterError> {
    let page = motif.page_px();
    let inches = match motif.size() {
        Some(size) => [size.width.to(Unit::In), size.height.to(Unit::In)],
        None => [page.width / CSS, page.height / CSS],
    };
    let [width, height] = inches.map(|inches| (inches * dpi).round().max(1.0));
    hold_size([width as u64, height as u64], limit)?;
    let too_large = || RasterError::TooLarge { width: width as i64, height: height as i64 };
    let mut canvas = tiny_skia::Pixmap::new(width as u32, height as u32).ok_or_else(too_large)?;
    let scale = tiny_skia::Transform::from_scale((width / page.width) as f32, (height / page.height) as f32);
    resvg::render(motif.tree(), scale, &mut canvas.as_mut());
    Ok((width as u32, height as u32, canvas.take_demultiplied()))
}
