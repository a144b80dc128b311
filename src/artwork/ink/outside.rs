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
            let (contours, off) = flat(shape, tolerance / 2.0);
            slack = slack.max(off + tolerance / 2.0);
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
        // What lay in a hole is now in the middle of ink; corners that stand for nothing, as those of a widened line's
        // many short curves, go.
        let outer = whole(outer).unwrap_or(welded);
        // They are not welded again: a thread that is now a line to and fro would be lost.
        (outer.iter().map(|contour| plainer(contour, tolerance / 2.0)).collect(), slack)
    }
}

/// The contour with fewer corners, nowhere farther from the old one than `off` (D. Douglas and T. Peucker, 1973).
fn plainer(contour: &[[f64; 2]], off: f64) -> Vec<[f64; 2]> {
    let count = contour.len();
    if count < 4 {
        return contour.to_vec();
    }
    let square = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2);
    // From the first corner to the one farthest from it, and back.
    let far = (1..count).max_by(|i, j| square(contour[0], contour[*i]).total_cmp(&square(contour[0], contour[*j])));
    let far = far.unwrap_or(count / 2);
    let at = |i: usize| contour[i % count];
    let mut kept = vec![false; count];
    (kept[0], kept[far]) = (true, true);
    let mut open = vec![(0, far), (far, count)];
    while let Some((first, last)) = open.pop() {
        let (a, b) = (at(first), at(last));
        let long = square(a, b);
        let away = |i: usize| {
            let p = at(i);
            let along = ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / long;
            let along = if long > 0.0 { along.clamp(0.0, 1.0) } else { 0.0 };
            square(p, [a[0] + along * (b[0] - a[0]), a[1] + along * (b[1] - a[1])])
        };
        let worst = (first + 1..last).map(|i| (away(i), i)).max_by(|x, y| x.0.total_cmp(&y.0));
        if let Some((_, i)) = worst.filter(|(square, _)| *square > off * off) {
            kept[i] = true;
            open.extend([(first, i), (i, last)]);
        }
    }
    let plain: Vec<[f64; 2]> = (0..count).filter(|i| kept[*i]).map(at).collect();
    if plain.len() > 2 { plain } else { contour.to_vec() }
}
