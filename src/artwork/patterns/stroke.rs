//! What a stroke covers, exactly: a pattern is seen through it, or it is laid in many cells.

use kurbo::BezPath;
use usvg::tiny_skia_path::{StrokeDash, Transform};
use usvg::{LineJoin, Path};

use super::super::error::ArtworkError;
use super::super::ink::outline;
use super::super::source::too_much;
use super::art::Means;

/// The outline of a path's stroke in the path's own space, contours closed, non-zero;
/// `None` without a stroke.
pub(super) fn stroked(path: &Path, accuracy: f64, means: Means) -> Result<Option<BezPath>, ArtworkError> {
    let Some(stroke) = path.stroke() else { return Ok(None) };
    let centre = outline::bez(path.data());
    let width = f64::from(stroke.width().get());
    let extent = path.stroke_bounding_box();
    let accuracy = accuracy.max(1e-6 * f64::from(extent.width().max(extent.height())));
    if !accuracy.is_finite() || width <= 0.0 {
        return Ok(None);
    }
    if stroke.linejoin() == LineJoin::MiterClip {
        return Ok(clipped_miters(path, stroke));
    }
    match outline::widened(&centre, stroke, accuracy, means.budget) {
        Some(outline) => Ok(Some(outline::close(&outline))),
        None => {
            let limit = means.budget.limits.dashes;
            Err(too_much(means.name, "dashes in and on patterns", format!("more than {limit}"), limit))
        }
    }
}

/// Miters cut at their limit. The painter's own stroker makes these; it works to a quarter of
/// a unit, so the path is blown up first.
fn clipped_miters(path: &Path, stroke: &usvg::Stroke) -> Option<BezPath> {
    const BLOWN_UP: f32 = 256.0;
    let mut style = stroke.to_tiny_skia();
    style.width *= BLOWN_UP;
    style.dash = stroke.dasharray().and_then(|array| {
        StrokeDash::new(array.iter().map(|d| d * BLOWN_UP).collect(), stroke.dashoffset() * BLOWN_UP)
    });
    let mut large = path.data().clone().transform(Transform::from_scale(BLOWN_UP, BLOWN_UP))?;
    if let Some(dash) = style.dash.take() {
        large = large.dash(&dash, 1.0)?;
    }
    let outline = large.stroke(&style, 1.0)?;
    let back = kurbo::Affine::scale(1.0 / f64::from(BLOWN_UP));
    Some(back * outline::close(&outline::bez(&outline)))
}
