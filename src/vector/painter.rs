//! What can't be curves is painted: asked for here, done by whoever has a painter of pixels. And how much of anything
//! goes into a vector file.

use kurbo::Affine;
use usvg::Node;

/// Paints one node of the drawing with this name; the transform goes from the node's parent to pixels,
/// and the sides are those of the canvas. Gives straight RGBA in rows; `None` if there is nothing to see.
pub type Painter<'a> = dyn Fn(&str, &Node, Affine, [u32; 2]) -> Option<Vec<u8>> + 'a;

/// A painting has at most so many pixels a side, as in the raster files.
pub(super) const MOST_SIDE: f64 = 8_192.0;
/// All paintings of a file have at most so many pixels; what is more is painted coarser, and said.
pub(super) const MOST_PIXELS: f64 = 256e6;
/// A file has at most so many bytes before it is packed, so that no drawing takes all memory.
pub(super) const MOST_BYTES: usize = 1 << 30;
/// All gradients of a file have at most so many stops, each counted again where it is repeated.
pub(super) const MOST_STOPS: usize = 2_000_000;
/// So many dashes are worked out in a file, where lines become areas.
pub(super) const MOST_DASHES: f64 = 200_000.0;
/// So many elements of paths are cut by clips in a file; what comes after keeps its clip.
pub(super) const MOST_CUT: usize = 2_000_000;
/// None is coarser than so many pixels a side, or it would be no picture.
pub(super) const FEWEST: f64 = 16.0;
