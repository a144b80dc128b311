//! The ink of a picture: where it is not wholly transparent.
//!
//! ```text
//!   ┌──────────────┐
//!   │     ┌──┐     │   For each of some bands of rows, the rectangle from the first to the
//!   │  ┌──┘▒▒└───┐ │   last pixel that is seen. Bands without any are left out.
//!   │  └───┐▒▒┌──┘ │
//!   └──────┴──┴────┘
//! ```

use kurbo::{BezPath, Rect, Shape as _};

use super::{Ink, Rule, Shape};

/// Bands that a picture is cut into, at most.
const BANDS: usize = 64;
/// A painter that smooths spreads a pixel half its width beyond its own edge.
const SPREAD: f64 = 0.5;

impl Ink {
    /// The ink of a picture of so many pixels across, four bytes each, the last their opacity.
    pub(in super::super) fn of_picture(width: u32, bytes: &[u8]) -> Ink {
        let length = width as usize * 4;
        let height = bytes.len() / length.max(1);
        let page = Rect::new(0.0, 0.0, f64::from(width), height as f64);
        let rows = height.div_ceil(BANDS).max(1);
        let mut bands: Vec<Rect> = Vec::new();
        for (index, band) in bytes.chunks(length * rows).enumerate() {
            let mut seen: Option<Rect> = None;
            for (y, row) in band.chunks_exact(length).enumerate() {
                let visible = |p: &[u8]| p[3] > 0;
                let Some(first) = row.chunks_exact(4).position(visible) else { continue };
                let last = row.chunks_exact(4).rposition(visible).unwrap_or(first);
                let y = (index * rows + y) as f64;
                let part = Rect::new(first as f64, y, (last + 1) as f64, y + 1.0);
                seen = Some(seen.map_or(part, |all| all.union(part)));
            }
            let Some(seen) = seen.map(|rect| rect.inflate(SPREAD, SPREAD).intersect(page)) else { continue };
            match bands.last_mut() {
                // An opaque picture is one rectangle.
                Some(above) if above.x0 == seen.x0 && above.x1 == seen.x1 && above.y1 >= seen.y0 => above.y1 = seen.y1,
                _ => bands.push(seen),
            }
        }
        let mut path = BezPath::new();
        for band in &bands {
            path.extend(band.path_elements(0.1));
        }
        let shapes: Vec<Shape> = Shape::new(path, Rule::NonZero, 0.0).into_iter().collect();
        let bounds = bands.into_iter().reduce(|a, b| a.union(b));
        Ink { shapes, bounds }
    }
}

#[cfg(test)]
mod tests {
    use kurbo::Affine;

    use super::*;

    fn picture(width: u32, height: u32, seen: impl Fn(u32, u32) -> bool) -> Ink {
        let places = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        let bytes: Vec<u8> = places.flat_map(|(x, y)| [0, 0, 0, u8::from(seen(x, y))]).collect();
        Ink::of_picture(width, &bytes)
    }

    #[test]
    fn an_opaque_picture_is_its_page() {
        let ink = picture(300, 200, |_, _| true);
        assert_eq!(ink.rectangle(), Some(Rect::new(0.0, 0.0, 300.0, 200.0)));
    }

    #[test]
    fn nothing_seen_is_no_ink() {
        let ink = picture(30, 20, |_, _| false);
        assert!(ink.is_empty() && ink.bounds(Affine::IDENTITY).is_none());
    }

    #[test]
    fn ink_is_tight_around_what_is_seen() {
        let disc = |x: u32, y: u32| (f64::from(x) - 99.5).hypot(f64::from(y) - 79.5) < 50.0;
        let ink = picture(200, 160, disc);
        assert_eq!(ink.bounds(Affine::IDENTITY), Some(Rect::new(49.5, 29.5, 150.5, 130.5)));
        // In a corner of the bounds, but not of the disc.
        assert!(!ink.touches(Affine::IDENTITY, Rect::new(49.0, 29.0, 60.0, 38.0)));
        assert!(ink.touches(Affine::IDENTITY, Rect::new(90.0, 25.0, 110.0, 32.0)));
        // Turned by an eighth it is hardly wider.
        let turned = ink.bounds(Affine::rotate(std::f64::consts::FRAC_PI_4)).expect("ink");
        assert!((101.0..109.0).contains(&turned.width()), "{turned:?}");
    }
}
