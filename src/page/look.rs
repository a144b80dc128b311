//! All that the page shows of a design beside its pixels, as JSON.

use std::collections::BTreeSet;

use kurbo::{Affine, Rect};
use seamfast::artwork::{InkName, Motif, Patterns};
use seamfast::design::{Design, Order};
use seamfast::length::Unit;
use seamfast::repeat::{Linear, Placement, Repeat, Spot};
use serde_json::{Value, json};

/// How exactly strokes are widened while colors are looked for, in pixels of a drawing: their shapes are not used.
const ROUGH: f64 = 1.0;

/// The facts, the motifs with their places, and what is to be said.
pub(super) fn look(design: &Design, order: &Order) -> Value {
    let delivery = &order.deliveries[0];
    let (grid, repeat) = (&delivery.grid, &delivery.repeat);
    let size = grid.size();
    let dpi = grid.resolution().value();
    let text = |text: &Option<toml::Spanned<String>>| text.as_ref().map(|text| text.get_ref().clone());
    let (first, written) = (design.deliveries.first(), &design.repeat);
    json!({
        "name": order.name,
        "layout": order.arrangement.to_string(),
        "border": order.arrangement.is_border(),
        "croquis": design.croquis.is_some(),
        "tossed": design.toss.is_some(),
        "ground": repeat.ground.map(color),
        "written": {
            "layout": text(&written.layout), "symmetry": text(&written.symmetry), "alternate": text(&written.alternate),
            "block": text(&written.block), "tile": text(&written.tile), "ground": text(&design.ground),
            "dpi": first.and_then(|d| d.dpi.as_ref()).map(|dpi| dpi.get_ref().to_string()),
            "deliveries": design.deliveries.len(),
        },
        "tile": {
            "px": [grid.width(), grid.height()],
            "in": [size.width.to(Unit::In), size.height.to(Unit::In)],
            "um": grid.remainder().map(|r| r.um_per_tile()),
            "mm_per_10_m": grid.remainder().map(|r| r.mm_per_10_m()),
        },
        "dpi": dpi,
        "block": repeat.block,
        "lattice": repeat.lattice.steps(),
        "row": [repeat.lattice.across(), repeat.lattice.shift(), repeat.lattice.down()],
        "images": images(repeat),
        "kinds": delivery.kinds.iter().map(|kind| kind.name()).collect::<Vec<_>>(),
        "copies": repeat.on_a_tile(),
        "places": order.arrangement.scheme().places(),
        "motifs": motifs(design, order),
        "inks": inks(order),
        "warnings": order.warnings,
        "sources": order.sources,
    })
}

/// The motifs as they are written, with where they lie on the delivery's grid.
fn motifs(design: &Design, order: &Order) -> Vec<Value> {
    let repeat = &order.deliveries[0].repeat;
    let entries = order.entries();
    let scale = order.deliveries[0].grid.resolution().value();
    let told = design.motifs.iter().enumerate().map(|(index, entry)| {
        let own = |(_, of): &(usize, &usize)| **of == index;
        let places: Vec<&Placement> = entries.iter().enumerate().filter(own).map(|(n, _)| &repeat.placements[n]).collect();
        let first = places.first();
        let motif = first.map(|placement| &order.motifs[placement.motif]);
        let page = motif.map(|motif| motif.page_px());
        let size = first.zip(page).map(|(placement, page)| {
            let [xx, yx, xy, yy] = placement.linear;
            [xx.hypot(yx) * page.width / scale, xy.hypot(yy) * page.height / scale]
        });
        let turn = entry.turn.as_ref().map_or(0.0, |turn| *turn.get_ref());
        let ink = |linear: fn(Linear, f64) -> Linear| {
            let ink = motif.zip(first).and_then(|(motif, placement)| ink_about_middle(motif, linear(placement.linear, turn)));
            ink.map(|ink| [ink.x0, ink.y0, ink.x1, ink.y1])
        };
        json!({
            "file": entry.file.get_ref(),
            "name": motif.map(|motif| motif.name()),
            "in": size,
            "turn": turn,
            "flip": entry.flip.as_ref().map(|flip| flip.get_ref().clone()),
            "layer": entry.layer,
            "tossed": entry.tossed,
            "written": {
                "width": entry.width.as_ref().map(|t| t.get_ref()), "height": entry.height.as_ref().map(|t| t.get_ref()),
                "scale": entry.scale.as_ref().map(|s| s.get_ref()), "trim": entry.trim,
                "place": entry.place.as_ref().map(|place| place.get_ref()), "overlap": entry.overlap,
                "at": entry.at.as_ref().map(|at| at.get_ref().iter().map(|one| one.get_ref().clone()).collect::<Vec<_>>()),
            },
            "linear": first.map(|placement| placement.linear),
            "places": places.iter().map(|placement| placement.at.units()).collect::<Vec<_>>(),
            "ink": ink(|linear, _| linear),
            "upright": ink(unturned),
        })
    });
    told.collect()
}

/// What carries a place to its images within the lattice's cell, as `[xx, yx, xy, yy, x, y]`: turns by a third first,
/// then mirrors and turns. The order is that of the marks of a placement.
fn images(repeat: &Repeat) -> Vec<[f64; 6]> {
    let identity = [1.0, 0.0, 0.0, 1.0];
    let all = repeat.turns.iter().flat_map(|turn| {
        repeat.symmetry.iter().map(move |operator| {
            let [x, y] = operator.carry_spot(turn.carry(Spot::from_parts(0, 0))).units();
            let [xx, yx, xy, yy] = operator.after(turn.after(identity));
            [xx, yx, xy, yy, x, y]
        })
    });
    all.collect()
}

/// The flat colors of all drawings, most used first; gradients by their names behind them.
fn inks(order: &Order) -> Vec<Value> {
    let mut found: Vec<(InkName, usize)> = Vec::new();
    for motif in &order.motifs {
        let own: BTreeSet<InkName> =
            motif.seen(ROUGH, Patterns::Shapes, &order.limits).shapes.into_iter().map(|shape| shape.ink).collect();
        for ink in own {
            match found.iter_mut().find(|(known, _)| *known == ink) {
                Some((_, count)) => *count += 1,
                None => found.push((ink, 1)),
            }
        }
    }
    found.sort_by(|(a, m), (b, n)| n.cmp(m).then_with(|| a.cmp(b)));
    let told = found.into_iter().map(|(ink, motifs)| match ink {
        InkName::Color(rgb) => json!({ "color": color(rgb), "motifs": motifs }),
        InkName::Named(name) => json!({ "name": name, "motifs": motifs }),
    });
    told.collect()
}

/// Where a placement's ink reaches, from its spot, in units.
pub(super) fn ink_about_middle(motif: &Motif, linear: Linear) -> Option<Rect> {
    motif.ink().bounds(whole(linear) * Affine::translate(-motif.middle()))
}

/// A linear part before it was turned by so many degrees.
fn unturned(linear: Linear, turn: f64) -> Linear {
    let [xx, yx, xy, yy, ..] = (Affine::rotate(-turn.to_radians()) * whole(linear)).as_coeffs();
    [xx, yx, xy, yy]
}

fn whole([xx, yx, xy, yy]: Linear) -> Affine {
    Affine::new([xx, yx, xy, yy, 0.0, 0.0])
}

fn color([r, g, b]: [u8; 3]) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}
