//! What would take for ever, or all memory, to paint is refused once it is resolved.

use usvg::{ClipPath, Group, ImageKind, Node, Paint, Path, Transform, Tree, filter};

use super::budget::Budget;
use super::error::ArtworkError;
use super::source::too_much;
use crate::limits::Limit;

/// Checks depth, images, patterns and filters of a tree.
pub(crate) fn check(name: &str, tree: &Tree, budget: &Budget) -> Result<(), ArtworkError> {
    let side = f64::from(tree.size().width().max(tree.size().height()));
    let check = Check { name, side, budget };
    check.group(tree.root(), Place { transform: Transform::identity(), depth: 0, patterns: 0 })
}

struct Check<'a> {
    name: &'a str,
    side: f64,
    budget: &'a Budget,
}

#[derive(Clone, Copy)]
struct Place {
    transform: Transform,
    depth: usize,
    patterns: usize,
}

impl Check<'_> {
    fn group(&self, group: &Group, place: Place) -> Result<(), ArtworkError> {
        let place = Place { transform: place.transform.pre_concat(group.transform()), depth: place.depth + 1, ..place };
        if place.depth > self.budget.limits.tree_depth.size() {
            return Err(too_much(
                self.name,
                "groups inside one another",
                format!("more than {}", self.budget.limits.tree_depth),
                self.budget.limits.tree_depth,
            ));
        }
        for filter in group.filters() {
            self.filter(filter, place.transform)?;
        }
        let mut mask = group.mask();
        while let Some(inner) = mask {
            self.group(inner.root(), place)?;
            mask = inner.mask();
        }
        let mut clip: Option<&ClipPath> = group.clip_path();
        while let Some(inner) = clip {
            self.group(inner.root(), place)?;
            clip = inner.clip_path();
        }
        if !Budget::spend(&self.budget.things, group.children().len()) {
            return Err(too_much(
                self.name,
                "things to paint, with every use of a pattern, mask or clip",
                format!("more than {}", self.budget.limits.things),
                self.budget.limits.things,
            ));
        }
        for node in group.children() {
            match node {
                Node::Group(g) => self.group(g, place)?,
                Node::Path(path) => self.path(path, place)?,
                Node::Text(text) => self.group(text.flattened(), place)?,
                Node::Image(image) => {
                    if let ImageKind::SVG(tree) = image.kind() {
                        self.group(tree.root(), place)?;
                    }
                }
            }
        }
        Ok(())
    }

    fn path(&self, path: &Path, place: Place) -> Result<(), ArtworkError> {
        let paints = [path.fill().map(usvg::Fill::paint), path.stroke().map(usvg::Stroke::paint)];
        for paint in paints.into_iter().flatten() {
            let Paint::Pattern(pattern) = paint else { continue };
            if place.patterns >= self.budget.limits.pattern_depth.size() {
                return Err(too_much(
                    self.name,
                    "patterns inside patterns",
                    place.patterns + 1,
                    self.budget.limits.pattern_depth,
                ));
            }
            let (sx, sy) = place.transform.pre_concat(pattern.transform()).get_scale();
            let (w, h) = (f64::from(pattern.rect().width() * sx), f64::from(pattern.rect().height() * sy));
            let most = self.budget.limits.pattern_size.of(self.side);
            if !(w <= most && h <= most) {
                return Err(too_much(
                    self.name,
                    "the side of a pattern's tile",
                    format!("{:.0}% of the page's", (w.max(h) / self.side * 100.0).ceil()),
                    self.budget.limits.pattern_size,
                ));
            }
            self.group(pattern.root(), Place { patterns: place.patterns + 1, ..place })?;
        }
        Ok(())
    }

    fn filter(&self, filter: &filter::Filter, to: Transform) -> Result<(), ArtworkError> {
        let limits = &self.budget.limits;
        let too_much = |what, value: String, limit: Limit| Err(too_much(self.name, what, value, limit));
        let steps = filter.primitives().len();
        if steps > limits.filter_steps.size() {
            return too_much("steps in one filter", steps.to_string(), limits.filter_steps);
        }
        if !Budget::spend(&self.budget.steps, steps) {
            return too_much("steps in all filters", format!("more than {}", limits.all_steps), limits.all_steps);
        }
        for step in filter.primitives() {
            match step.kind() {
                filter::Kind::Turbulence(t) if u64::from(t.num_octaves()) > limits.octaves.most => {
                    return too_much("octaves of noise", t.num_octaves().to_string(), limits.octaves);
                }
                filter::Kind::Morphology(m) => {
                    let (sx, sy) = to.get_scale();
                    let radius = f64::from((m.radius_x().get() * sx).max(m.radius_y().get() * sy));
                    if radius > limits.morphology.of(self.side) {
                        let share = format!("{:.0}% of the page's side", (radius / self.side * 100.0).ceil());
                        return too_much("the radius of feMorphology", share, limits.morphology);
                    }
                }
                filter::Kind::ConvolveMatrix(c) => {
                    let side = c.matrix().columns().max(c.matrix().rows());
                    if u64::from(side) > limits.matrix.most {
                        return too_much("the order of feConvolveMatrix", side.to_string(), limits.matrix);
                    }
                }
                filter::Kind::Image(image) => {
                    self.group(image.root(), Place { transform: Transform::identity(), depth: 0, patterns: 0 })?;
                }
                _ => {}
            }
        }
        Ok(())
    }
}
