//! One placement painted alone, near the origin, with room for all its ink.
//!
//! What is painted depends on the motif, its linear part and its sub-pixel phase, and on
//! nothing else; so two places that share these share the pixels, bit for bit, and moving
//! a placement by whole pixels moves its pixels. A large painting is cut into pieces on a
//! grid tied to the placement, never to the tile, so the same holds for it.

use kurbo::{Affine, Rect, Vec2};
use resvg::tiny_skia;

use super::{RasterError, pasting};
use crate::artwork::Motif;
use crate::repeat::{Linear, Operator, PARTS};
use crate::wrap::Mark;

/// A painting up to this many pixels a side is one piece.
const WHOLE: i64 = 1024;
/// The pieces of a larger one.
const PIECE: i64 = 1024;
/// The largest canvas: a drawing that can't be painted in pieces may not be larger.
const LARGEST: i64 = 8192;
/// A filter may be worked out over so many times a piece before pieces are made larger.
const MANY_TIMES: f64 = 4.0;
/// Pixels painted beyond a piece's edge and cut away: curves are chopped at a canvas's edge, and
/// that shows up to here (measured in tests/craft/pieces.rs; with 8 the cuts differ five times more).
const MARGIN: i64 = 64;
/// Anti-aliasing and hairlines reach this far beyond the outline.
const FRINGE: f64 = 2.0;

/// A box of pixels: left, top, right, bottom.
pub(super) type Box4 = [i64; 4];

/// One motif at one turn, scale and phase: what is painted once.
#[derive(Clone, Debug)]
pub(super) struct Painting {
    motif: usize,
    to_pixels: Affine,
    pieces: Vec<Box4>,
    bounds: Box4,
    margin: i64,
}

/// The painted pixels of one piece, premultiplied RGBA.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) pixels: Vec<u8>,
}

impl Painting {
    /// The painting that a mark needs; `None` if the motif has no ink.
    pub(super) fn of(mark: &Mark, motif: &Motif) -> Option<Painting> {
        let middle = motif.middle();
        let phase = mark.at.phase();
        let [xx, yx, xy, yy] = mark.linear;
        let shift = Vec2::new(phase[0] as f64, phase[1] as f64) / PARTS as f64;
        let to_pixels = Affine::translate(shift) * Affine::new([xx, yx, xy, yy, 0.0, 0.0]) * Affine::translate(-middle);
        let ink = motif.ink().bounds(to_pixels)?.inflate(FRINGE, FRINGE);
        let bounds = [ink.x0.floor(), ink.y0.floor(), ink.x1.ceil(), ink.y1.ceil()].map(|n| n as i64);
        // A piece of a blurred drawing is painted with all that the blur looks at.
        let look = motif.look().map(|look| (look * norm(mark.linear)).ceil() as i64).filter(|look| *look < LARGEST / 4);
        let margin = MARGIN + look.unwrap_or(0);
        let (whole, size) = match look {
            Some(look) if !wide_filters(motif, to_pixels, bounds, PIECE.max(look) + 2 * margin) => {
                (WHOLE, PIECE.max(look))
            }
            _ => (LARGEST, LARGEST),
        };
        let pieces = cut(bounds, whole, size, |piece| {
            let [l, t, r, b] = piece.map(|n| n as f64);
            motif.ink().touches(to_pixels, Rect::new(l, t, r, b).inflate(FRINGE, FRINGE))
        });
        Some(Painting { motif: mark.motif, to_pixels, pieces, bounds, margin })
    }

    /// The box of all its ink, from the placement's whole pixel.
    pub(super) fn bounds(&self) -> Box4 {
        self.bounds
    }

    /// Which motif it is of.
    pub(super) fn motif(&self) -> usize {
        self.motif
    }

    /// The pixels that painting it takes, as [`Effort`](crate::artwork::Effort) counts them.
    pub(super) fn effort(&self, motif: &Motif) -> f64 {
        let margin = self.margin();
        let side = |low: i64, high: i64| (high - low + 2 * margin) as f64;
        let canvas = self.pieces.iter().map(|[l, t, r, b]| side(*l, *r) * side(*t, *b)).fold(0.0, f64::max);
        motif.effort().pixels(self.to_pixels.determinant().abs(), self.pieces.len(), canvas)
    }

    /// Whether it is painted in one piece.
    fn is_whole(&self) -> bool {
        self.pieces == [self.bounds]
    }

    /// What is painted around each piece and cut away.
    fn margin(&self) -> i64 {
        if self.is_whole() { 0 } else { self.margin }
    }

    /// The boxes it is painted in.
    pub(super) fn pieces(&self) -> &[Box4] {
        &self.pieces
    }

    /// Paints one of its pieces.
    pub(super) fn paint(&self, piece: usize, motifs: &[Motif]) -> Result<Piece, RasterError> {
        let [l, t, r, b] = self.pieces[piece];
        let margin = self.margin();
        let (width, height) = (r - l + 2 * margin, b - t + 2 * margin);
        let too_large = || RasterError::TooLarge { width, height };
        if motifs[self.motif].look().is_none() && !self.is_whole() {
            let [l, t, r, b] = self.bounds;
            let name = motifs[self.motif].name().into();
            return Err(RasterError::Unsplittable { name, width: r - l, height: b - t, most: LARGEST });
        }
        let sizes = (u32::try_from(width).ok(), u32::try_from(height).ok());
        let (Some(w), Some(h)) = sizes else { return Err(too_large()) };
        let mut canvas = tiny_skia::Pixmap::new(w, h).ok_or_else(too_large)?;
        let origin = Vec2::new((margin - l) as f64, (margin - t) as f64);
        let (motif, to_canvas) = (&motifs[self.motif], Affine::translate(origin) * self.to_pixels);
        if let Some(picture) = motif.picture() {
            pasting::paste(picture, to_canvas, &mut canvas);
        } else {
            let [xx, yx, xy, yy, x, y] = to_canvas.as_coeffs().map(|n| n as f32);
            let transform = tiny_skia::Transform { sx: xx, ky: yx, kx: xy, sy: yy, tx: x, ty: y };
            resvg::render(motif.tree(), transform, &mut canvas.as_mut());
        }
        let painted = Piece { width: w as usize, height: h as usize, pixels: canvas.take() };
        Ok(if margin == 0 { painted } else { painted.inner(margin as usize) })
    }
}

/// Whether filters would be worked out over far more than the pieces of this size have to show, so
/// that fewer, larger pieces take less; only where the canvases then needed are no larger than one
/// piece may be.
fn wide_filters(motif: &Motif, to_pixels: Affine, [l, t, r, b]: Box4, piece: i64) -> bool {
    let area = |side: i64| (side * side) as f64;
    let (scale, shown) = (to_pixels.determinant().abs(), ((r - l) * (b - t)) as f64);
    let widest = motif.effort().widest(scale, area(piece));
    widest > MANY_TIMES * area(piece) && motif.effort().widest(scale, shown) <= area(LARGEST)
}

/// Cuts a box into pieces on a grid through the placement's own origin; keeps those with ink.
fn cut(bounds: Box4, whole: i64, size: i64, has_ink: impl Fn(Box4) -> bool) -> Vec<Box4> {
    let [l, t, r, b] = bounds;
    if r - l <= whole && b - t <= whole {
        return vec![bounds];
    }
    let mut pieces = Vec::new();
    for row in t.div_euclid(size)..=(b - 1).div_euclid(size) {
        for column in l.div_euclid(size)..=(r - 1).div_euclid(size) {
            let (x, y) = (column * size, row * size);
            let piece = [x.max(l), y.max(t), (x + size).min(r), (y + size).min(b)];
            if has_ink(piece) {
                pieces.push(piece);
            }
        }
    }
    pieces
}

/// The most that a linear part stretches.
fn norm([xx, yx, xy, yy]: Linear) -> f64 {
    xx.hypot(yx).max(xy.hypot(yy))
}

impl Piece {
    fn inner(&self, margin: usize) -> Piece {
        let (width, height) = (self.width - 2 * margin, self.height - 2 * margin);
        let mut pixels = Vec::with_capacity(width * height * 4);
        for row in margin..margin + height {
            let start = (row * self.width + margin) * 4;
            pixels.extend_from_slice(&self.pixels[start..start + width * 4]);
        }
        Piece { width, height, pixels }
    }

    /// As [`Piece::turned`], at no cost where nothing turns.
    pub(super) fn into_turned(self, m: [[i64; 2]; 2]) -> Piece {
        if m == Operator::IDENTITY.m { self } else { self.turned(m) }
    }

    /// The same pixels mirrored or turned: `m` is one of the eight ways a square lies on itself.
    pub(super) fn turned(&self, m: [[i64; 2]; 2]) -> Piece {
        let swap = m[0][0] == 0;
        let (width, height) = if swap { (self.height, self.width) } else { (self.width, self.height) };
        let mut pixels = vec![0; self.pixels.len()];
        for y in 0..self.height {
            for x in 0..self.width {
                // Twice the distance from the middle stays whole for odd and even sizes alike.
                let (u, v) = (2 * x as i64 + 1 - self.width as i64, 2 * y as i64 + 1 - self.height as i64);
                let (p, q) = (m[0][0] * u + m[0][1] * v, m[1][0] * u + m[1][1] * v);
                let to_x = ((p + width as i64 - 1) / 2) as usize;
                let to_y = ((q + height as i64 - 1) / 2) as usize;
                let (from, to) = ((y * self.width + x) * 4, (to_y * width + to_x) * 4);
                pixels[to..to + 4].copy_from_slice(&self.pixels[from..from + 4]);
            }
        }
        Piece { width, height, pixels }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_large_box_is_cut_on_the_placements_own_grid() {
        assert_eq!(cut([-300, -300, 300, 300], WHOLE, PIECE, |_| true), [[-300, -300, 300, 300]]);
        let pieces = cut([-700, 10, 700, 20], WHOLE, 512, |_| true);
        assert_eq!(pieces, [[-700, 10, -512, 20], [-512, 10, 0, 20], [0, 10, 512, 20], [512, 10, 700, 20]]);
        assert_eq!(cut([-700, 10, 700, 20], WHOLE, 512, |[l, ..]| l == 0), [[0, 10, 512, 20]]);
    }

    #[test]
    fn turned_pixels_go_where_the_matrix_says() {
        let pixels = (0..6).flat_map(|n| [n, n, n, 255]).collect();
        let piece = Piece { width: 3, height: 2, pixels };
        let order = |m| piece.turned(m).pixels.chunks(4).map(|p| p[0]).collect::<Vec<_>>();
        assert_eq!(order([[1, 0], [0, 1]]), [0, 1, 2, 3, 4, 5]);
        assert_eq!(order([[-1, 0], [0, 1]]), [2, 1, 0, 5, 4, 3]);
        assert_eq!(order([[1, 0], [0, -1]]), [3, 4, 5, 0, 1, 2]);
        assert_eq!(order([[0, 1], [1, 0]]), [0, 3, 1, 4, 2, 5]);
        // A quarter turn clockwise (y down): x' = -y, y' = x.
        assert_eq!(order([[0, -1], [1, 0]]), [3, 0, 4, 1, 5, 2]);
        assert_eq!(piece.turned([[0, -1], [1, 0]]).width, 2);
    }
}
