//! Laid out art as SVG text: one path for all copies of a thing, a group for a layer, and a
//! `<use>` for each place of what is repeated whole.

use std::fmt::Write as _;

use kurbo::{Affine, BezPath};
use usvg::Paint;

use super::super::ink::Rule;
use super::art::{Area, Art, Layer, Leaf, Place, What};
use super::text;
use super::write::{Done, Writer};

impl Writer<'_> {
    /// Writes art; a layer with an id, if it is given one.
    pub(super) fn art(&mut self, art: &Art, id: Option<&str>, on: Affine, out: &mut String) -> Done {
        match art {
            Art::Flat(flat) => {
                out.push_str("<path");
                self.paint("fill", &Paint::Color(flat.color), flat.opacity, out);
                area(&flat.area, "fill-rule", out);
                Ok(())
            }
            Art::Layer(layer) => self.layer(layer, id, on, out),
            Art::Leaf(leaf) => self.leaf(leaf, on, out),
        }
    }

    fn layer(&mut self, layer: &Layer, id: Option<&str>, on: Affine, out: &mut String) -> Done {
        let mut outer: Option<String> = None;
        for clip in layer.clips.iter().rev() {
            outer = Some(self.clip_of(clip, outer));
        }
        out.push_str("<g");
        if let Some(id) = id {
            let _ = write!(out, " id=\"{id}\"");
        }
        if let Some(id) = outer {
            let _ = write!(out, " clip-path=\"url(#{id})\"");
        }
        text::effects(layer.opacity, layer.blend, layer.isolate, out);
        out.push('>');
        for child in &layer.children {
            self.art(child, None, on, out)?;
        }
        out.push_str("</g>");
        Ok(())
    }

    /// A clip of areas side by side.
    fn clip_of(&mut self, areas: &[Area], outer: Option<String>) -> String {
        let id = self.new_id();
        let _ = write!(self.defs, "<clipPath id=\"{id}\"");
        if let Some(outer) = outer {
            let _ = write!(self.defs, " clip-path=\"url(#{outer})\"");
        }
        self.defs.push('>');
        for shape in areas {
            self.defs.push_str("<path");
            area(shape, "clip-rule", &mut self.defs);
        }
        self.defs.push_str("</clipPath>");
        id
    }

    /// Written once, and used at every place.
    fn leaf(&mut self, leaf: &Leaf, on: Affine, out: &mut String) -> Done {
        let id = self.new_id();
        let mut once = format!("<g id=\"{id}\">");
        let first = leaf.places.first().map_or(Affine::IDENTITY, |place| place.to);
        match leaf.what {
            What::Group(group) => self.group(group, on * first, &mut once)?,
            What::Image(image) => self.image(image, &mut once)?,
            What::Fill(path) => self.plain(path, (true, false), &mut once)?,
            What::Stroke(path) => self.plain(path, (false, true), &mut once)?,
        }
        once.push_str("</g>");
        self.defs.push_str(&once);
        for Place { to, within } in &leaf.places {
            for cell in within {
                let clip = self.clip_of(&[crisp(cell)], None);
                let _ = write!(out, "<g clip-path=\"url(#{clip})\">");
            }
            let _ = write!(out, "<use xlink:href=\"#{id}\"");
            text::transform(out, "transform", *to);
            out.push_str("/>");
            out.push_str(&"</g>".repeat(within.len()));
        }
        Ok(())
    }
}

/// A cell's edge is hard, so that each pixel belongs to one cell and no hairline shows.
fn crisp(cell: &BezPath) -> Area {
    Area { path: cell.clone(), rule: Rule::NonZero, crisp: true }
}

/// The rest of a `<path`.
fn area(area: &Area, rule: &str, out: &mut String) {
    if area.rule == Rule::EvenOdd {
        let _ = write!(out, " {rule}=\"evenodd\"");
    }
    if area.crisp {
        out.push_str(" shape-rendering=\"crispEdges\"");
    }
    out.push_str(" d=\"");
    text::path(out, &area.path);
    out.push_str("\"/>");
}
