//! How much of the ink lies on the same ink a step away: whether a motif overlaps its own copies.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::Vec2;

use super::super::thin::Contours;
use super::clip::{followed, is_tangled};
use super::{Ink, Paint};

impl Ink {
    /// The area that this ink shares with itself moved by `way`, in square pixels of the tree; curves are chords no
    /// more than `tolerance` off.
    ///
    /// Never too much: what is only bounded (filters, soft masks, pictures) does not count, nor what is too tangled.
    pub fn shared(&self, way: Vec2, tolerance: f64) -> f64 {
        let known = self.shapes.iter().filter(|shape| shape.paint != Paint::Bound);
        let here: Contours = known.filter_map(|shape| followed(shape, tolerance)).flatten().collect();
        let there: Contours =
            here.iter().map(|contour| contour.iter().map(|[x, y]| [x + way.x, y + way.y]).collect()).collect();
        if is_tangled(here.iter().chain(&there)) {
            return 0.0;
        }
        let both = here.overlay_as::<i64>(&there, OverlayRule::Intersect, FillRule::NonZero);
        let area = |contour: &Vec<[f64; 2]>| -> f64 {
            let next = contour.iter().cycle().skip(1);
            contour.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>() / 2.0
        };
        // Holes turn the other way.
        both.iter().flatten().map(area).sum::<f64>().abs()
    }
}
