//! The silhouette that other motifs keep away from: the outside of all ink, whatever it is painted with.

use i_overlay::core::fill_rule::FillRule;

use super::super::thin::Contours;
use super::Ink;
use super::clip::{flat, weld};

impl Ink {
    /// The outermost contours of all ink together, in pixels of the tree, with holes filled; curves are chords no more
    /// than `tolerance` off. What is only bounded counts with its bounds, what is too tangled with the rectangle around it.
    ///
    /// The second is how far ink may lie outside the contours at most: add it to whatever keeps away from them.
    pub fn outside(&self, tolerance: f64) -> (Contours, f64) {
        let (mut all, mut slack) = (Contours::new(), 0.0_f64);
        for shape in &self.shapes {
            let (contours, off) = flat(shape, tolerance);
            slack = slack.max(off);
            all.extend(contours);
        }
        let whole = |contours: Contours| weld(contours, FillRule::NonZero);
        let Some(welded) = whole(all) else {
            let bounds = self.bounds.map(|b| vec![[b.x0, b.y0], [b.x1, b.y0], [b.x1, b.y1], [b.x0, b.y1]]);
            return (bounds.into_iter().collect(), 0.0);
        };
        let signed = |contour: &Vec<[f64; 2]>| -> f64 {
            let next = contour.iter().cycle().skip(1);
            contour.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum()
        };
        // The largest of all is no hole, and holes turn the other way.
        let way = welded.iter().map(signed).max_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or_default();
        let outer: Contours = welded.iter().filter(|contour| signed(contour) * way > 0.0).cloned().collect();
        // What lay in a hole is now in the middle of ink.
        (whole(outer).unwrap_or(welded), slack)
    }
}
