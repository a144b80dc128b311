//! What can't be curves is painted: asked for here, done by whoever has a painter of pixels.

use kurbo::Affine;
use usvg::Node;

/// Paints one node of the drawing with this name; the transform goes from the node's parent to pixels,
/// and the sides are those of the canvas. Gives straight RGBA in rows; `None` if there is nothing to see.
pub type Painter<'a> = dyn Fn(&str, &Node, Affine, [u32; 2]) -> Option<Vec<u8>> + 'a;

/// A painting has at most so many pixels a side, as in the raster files.
pub(super) const MOST_SIDE: f64 = 8_192.0;
/// All paintings of a file have at most so many pixels; what is more is painted coarser, and said.
pub(super) const MOST_PIXELS: f64 = 256e6;
/// None is coarser than so many pixels a side, or it would be no picture.
pub(super) const FEWEST: f64 = 16.0;
