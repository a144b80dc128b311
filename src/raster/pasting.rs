//! Painting a picture: the half of it that fits the size, only the part that is looked at.
//!
//! The renderer of drawings would decode the whole picture again for each piece of a painting,
//! and would step over pixels when it makes one smaller. Here the picture is decoded once; it is
//! painted from the half that is more than half and at most as large as it will be seen, between
//! whose pixels interpolating is enough; and only the window under the canvas is taken, with its
//! corner as the origin, so that the renderer's `f32` numbers stay small.

use kurbo::{Affine, Rect};
use resvg::tiny_skia::{FilterQuality, IntSize, Paint, Pattern, Pixmap, Rect as SkiaRect, SpreadMode, Transform};

use crate::artwork::Picture;

/// Pixels that interpolation may look at beyond the canvas, and some more.
const AROUND: f64 = 4.0;

/// Paints a picture; `to_pixels` takes its pixels to the canvas. A picture that is
/// turned on its edge, or lies elsewhere, paints nothing.
pub(super) fn paste(picture: &Picture, to_pixels: Affine, canvas: &mut Pixmap) -> Option<()> {
    let [a, b, c, d, ..] = to_pixels.as_coeffs();
    let (mut scale, mut halvings) = (a.hypot(b).max(c.hypot(d)), 0);
    while scale <= 0.5 && halvings < picture.most_halvings() {
        (scale, halvings) = (scale * 2.0, halvings + 1);
    }
    let pixels = picture.halved(halvings);
    let step = (1u64 << halvings) as f64;
    let to_canvas = to_pixels * Affine::scale(step);
    if to_canvas.determinant().abs() < 1e-12 {
        return None;
    }
    // What is seen of it: an odd side's last pixel counts in part.
    let whole = picture.halved(0);
    let page = Rect::new(0.0, 0.0, f64::from(whole.width) / step, f64::from(whole.height) / step);
    let view = Rect::new(0.0, 0.0, f64::from(canvas.width()), f64::from(canvas.height()));
    let view = to_canvas.inverse().transform_rect_bbox(view).inflate(AROUND, AROUND);
    let part = view.intersect(page);
    if part.is_zero_area() {
        return None;
    }
    let [left, top] = [part.x0, part.y0].map(|n| n.floor() as usize);
    let right = (part.x1.ceil() as usize).min(pixels.width as usize);
    let bottom = (part.y1.ceil() as usize).min(pixels.height as usize);
    let window = IntSize::from_wh(u32::try_from(right - left).ok()?, u32::try_from(bottom - top).ok()?)?;
    let mut bytes = Vec::with_capacity((right - left) * (bottom - top) * 4);
    for y in top..bottom {
        let row = y * pixels.width as usize;
        bytes.extend_from_slice(&pixels.bytes[(row + left) * 4..(row + right) * 4]);
    }
    let window = Pixmap::from_vec(bytes, window)?;
    let [xx, yx, xy, yy, x, y] =
        (to_canvas * Affine::translate((left as f64, top as f64))).as_coeffs().map(|n| n as f32);
    let transform = Transform { sx: xx, ky: yx, kx: xy, sy: yy, tx: x, ty: y };
    let side = |from: usize, to: usize, page: f64| ((to as f64).min(page) - from as f64) as f32;
    let rect = SkiaRect::from_xywh(0.0, 0.0, side(left, right, page.x1), side(top, bottom, page.y1))?;
    let shader = Pattern::new(window.as_ref(), SpreadMode::Pad, FilterQuality::Bilinear, 1.0, Transform::identity());
    canvas.fill_rect(rect, &Paint { shader, ..Paint::default() }, transform, None);
    Some(())
}
