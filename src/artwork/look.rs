//! How far around a point a drawing's filters look: what must be painted with a piece of it
//! so that the piece is what it would be in the whole.

use kurbo::Affine;
use usvg::filter::Kind;
use usvg::{Group, Node, Tree};

use super::ink::outline::affine;

/// A blur looks this many deviations around (three boxes in its place reach 2.82).
const BLUR: f64 = 3.0;

/// The farthest that anything looks, in pixels of the tree; 0 without filters, `None` where
/// the whole must be known.
pub(super) fn look(tree: &Tree) -> Option<f64> {
    let mut seen = 0;
    let far = group(tree.root(), Affine::IDENTITY, &mut seen)?;
    // Those inside masks, clips and patterns were not seen.
    (seen >= tree.filters().len()).then_some(far)
}

/// Filters of nested groups look through one another, so their reaches add up.
fn group(g: &Group, to: Affine, seen: &mut usize) -> Option<f64> {
    let to = to * affine(g.transform());
    let inside = g.children().iter().try_fold(0.0, |far: f64, node| match node {
        Node::Group(inner) => Some(far.max(group(inner, to, seen)?)),
        Node::Text(text) => Some(far.max(group(text.flattened(), to, seen)?)),
        Node::Path(_) | Node::Image(_) => Some(far),
    })?;
    let [a, b, c, d, ..] = to.as_coeffs();
    let scale = a.hypot(b).max(c.hypot(d));
    let mut own = 0.0;
    for filter in g.filters() {
        *seen += 1;
        for primitive in filter.primitives() {
            own += step(primitive.kind())?;
        }
    }
    Some(inside + own * scale)
}

/// One step of a filter, in user units.
fn step(kind: &Kind) -> Option<f64> {
    let most = |a: f32, b: f32| f64::from(a.abs().max(b.abs()));
    Some(match kind {
        Kind::GaussianBlur(b) => BLUR * most(b.std_dev_x().get(), b.std_dev_y().get()),
        Kind::DropShadow(s) => BLUR * most(s.std_dev_x().get(), s.std_dev_y().get()) + most(s.dx(), s.dy()),
        Kind::Offset(o) => most(o.dx(), o.dy()),
        Kind::Morphology(m) => most(m.radius_x().get(), m.radius_y().get()),
        Kind::Merge(_)
        | Kind::Blend(_)
        | Kind::Composite(_)
        | Kind::ColorMatrix(_)
        | Kind::ComponentTransfer(_)
        | Kind::Flood(_) => 0.0,
        // Turbulence, tiles, images, light, displacement and convolution are tied to the whole.
        _ => return None,
    })
}
