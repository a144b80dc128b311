//! The text of a design file → an order.

use std::path::{Path, PathBuf};

use seamfast::design::{Design, DesignError, Order};
use seamfast::pixels::MOST_PIXELS;
use seamfast::wrap::Copies;
use toml::Spanned;

/// What every `file` leads to: nothing of this machine is read by a name that was made up.
const ART: [&str; 3] = ["dot.svg", "buoy.svg", "no-such-file.svg"];

/// Errors have their places in the text; what is decided is whole.
pub fn design(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    let file = Path::new("fuzz.toml");
    let mut design = match Design::parse(text, file) {
        Ok(design) => design,
        Err(e) => return placed(&e, text),
    };
    for motif in &mut design.motifs {
        let art = ART[motif.file.get_ref().len() % ART.len()];
        motif.file = Spanned::new(motif.file.span(), art.into());
    }
    if let Some(croquis) = &mut design.croquis {
        *croquis = Spanned::new(croquis.span(), "page.svg".into());
    }
    match Order::decide(&design, &art(), "fuzz") {
        Ok(order) => whole(&order),
        Err(e) => placed(&e.in_file(file, text), text),
    }
}

/// Beside these sources; they are built as a package of their own and with the tests.
fn art() -> PathBuf {
    let package = Path::new(env!("CARGO_MANIFEST_DIR"));
    let own = package.join("art");
    if own.is_dir() { own } else { package.join("fuzz/art") }
}

/// An error is in words, and its place is one of the text.
fn placed(error: &DesignError, text: &str) {
    assert!(!error.what().is_empty());
    if let Some(place) = error.place() {
        assert!(text.get(place.span.clone()).is_some_and(|part| !part.is_empty()), "{error}: {:?}", place.span);
    }
}

fn whole(order: &Order) {
    assert!(!order.name.is_empty() && !order.deliveries.is_empty());
    for delivery in &order.deliveries {
        let (grid, repeat) = (&delivery.grid, &delivery.repeat);
        let scheme = order.arrangement.scheme();
        let [x, y] = scheme.multiples(scheme.tile_blocks());
        for (pixels, multiple) in [(grid.width(), x), (grid.height(), y)] {
            assert!((1..=MOST_PIXELS).contains(&pixels) && pixels % multiple == 0, "{pixels} px by {multiple}");
        }
        assert_eq!([repeat.tile.width, repeat.tile.height], [grid.width(), grid.height()]);
        assert!(repeat.lattice.contains([grid.width(), 0]) && repeat.lattice.contains([0, grid.height()]));
        assert!(repeat.placements.iter().flat_map(|p| p.linear).all(f64::is_finite));
        let copies = Copies::plan(repeat, &order.motifs);
        assert!(copies.copies().iter().all(|copy| copies.lattice().contains(copy.step)));
        // Ink smaller than the tile lies on it somewhere, wherever it was put; on a border it may lie outside.
        if copies.is_border() {
            continue;
        }
        for mark in copies.marks().iter().filter(|m| !order.motifs[m.motif].ink().is_empty()) {
            let index = copies.marks().iter().position(|m| m == mark);
            assert!(copies.copies().iter().any(|copy| Some(copy.mark) == index), "{mark:?} is nowhere on the tile");
        }
    }
}
