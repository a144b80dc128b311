//! One node of a drawing painted alone, for vector files that can't hold it as curves.

use kurbo::Affine;
use resvg::tiny_skia::{Pixmap, Transform};
use usvg::Node;

/// Paints a node; `to` goes from its parent to pixels. Straight RGBA in rows; `None` if there is nothing to see, or
/// no canvas has so many pixels.
pub fn node(node: &Node, to: Affine, [width, height]: [u32; 2]) -> Option<Vec<u8>> {
    let mut canvas = Pixmap::new(width, height)?;
    let corner = node.abs_layer_bounding_box()?;
    // The renderer moves a node's own corner to the origin, though it leaves out what lies around the node.
    let to = to * Affine::translate((f64::from(corner.x()), f64::from(corner.y())));
    let [xx, yx, xy, yy, x, y] = to.as_coeffs().map(|n| n as f32);
    resvg::render_node(node, Transform { sx: xx, ky: yx, kx: xy, sy: yy, tx: x, ty: y }, &mut canvas.as_mut())?;
    Some(canvas.take_demultiplied())
}
