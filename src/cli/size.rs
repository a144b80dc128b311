//! `seamfast size`: length ↔ pixels ↔ resolution, for a layout, and tiles on a cloth.

use seamfast::length::{Length, Unit};
use seamfast::pixels::{PixelGrid, Resolution, Side, exact_resolutions, exact_sizes};
use seamfast::repeat::Layout;
use serde_json::{Value, json};

use super::args::SizeArgs;
use super::say::{Failure, Outcome, failure, line};

/// Answers one question of sizes.
pub(super) fn run(args: &SizeArgs) -> Outcome {
    let layout: Layout = args.layout.parse().map_err(|e| failure(format!("--layout: {e}")))?;
    let (sides, dpi) = match &args.lengths[..] {
        [length, pixels] => resolution_of(length, pixels)?,
        _ => {
            let dpi = args.dpi.parse().map_err(|e| failure(format!("--dpi: {e}")))?;
            (Side::parse_both(&args.lengths[0]).map_err(failure)?, dpi)
        }
    };
    let multiples = layout.scheme().multiples(layout.scheme().tile_blocks());
    let grid = PixelGrid::fit(sides, dpi, multiples).map_err(failure)?;
    let answer = Answer { layout, multiples, grid, cloth: args.cloth.as_deref().map(cloth).transpose()? };
    if args.json { line(&answer.json().to_string()) } else { line(answer.words().trim_end()) }
}

/// `8in 2400px`: the resolution at which this many pixels are this long.
fn resolution_of(length: &str, pixels: &str) -> Result<([Side; 2], Resolution), Failure> {
    let (a, b): (Side, Side) = (length.parse().map_err(failure)?, pixels.parse().map_err(failure)?);
    let (length, pixels) = match (a, b) {
        (Side::Length(l), Side::Pixels(p)) | (Side::Pixels(p), Side::Length(l)) => (l, p),
        _ => {
            let hint = "write for example: seamfast size 8in 2400px";
            return Err(Failure::Other("two values must be a length and its pixels".into(), Some(hint.into())));
        }
    };
    let dpi = Resolution::of(pixels, length).map_err(failure)?;
    Ok(([Side::Pixels(pixels); 2], dpi))
}

fn cloth(text: &str) -> Result<[Length; 2], Failure> {
    let sides = Side::parse_both(text).map_err(|e| failure(format!("--cloth: {e}")))?;
    match sides {
        [Side::Length(w), Side::Length(h)] => Ok([w, h]),
        _ => Err(failure(format!("--cloth: {text:?} is in pixels; write for example 54inx3yd"))),
    }
}

struct Answer {
    layout: Layout,
    multiples: [i64; 2],
    grid: PixelGrid,
    cloth: Option<[Length; 2]>,
}

impl Answer {
    /// Whole pixels nearest to what was asked, and those that leave nothing over.
    fn words(&self) -> String {
        let grid = &self.grid;
        let dpi = grid.resolution();
        let mut out = String::new();
        let names = if grid.width() == grid.height() && self.multiples[0] == self.multiples[1] { 1 } else { 2 };
        for (axis, name) in ["across", "down"].into_iter().enumerate().take(names) {
            let name = if names == 1 { "both ways" } else { name };
            let (asked, length, pixels) = self.side(axis);
            out += &format!("{name}\n  {pixels} px at {dpi} dpi = {} = {}\n", length.show(Unit::In, 4), length.show(Unit::Mm, 4));
            let left = grid.remainder()[axis];
            if left.is_zero() {
                out += "  exactly as asked\n";
            } else {
                out += &format!(
                    "  asked {asked} = {:.3} px; the tile is {:+.1} µm, {:+.2} mm in 10 m of cloth\n",
                    dpi.pixels_of(asked),
                    left.um_per_tile(),
                    left.mm_per_10_m()
                );
                let [below, above] = exact_sizes(asked, dpi, self.multiples[axis]);
                out += &format!("  exact sizes at {dpi} dpi: {} ({} px), {} ({} px)\n", below.length, below.pixels, above.length, above.pixels);
                let found = exact_resolutions(asked, dpi, self.multiples[axis], 3);
                let found: Vec<String> = found.iter().map(ToString::to_string).collect();
                out += &format!("  exact resolutions for {asked}: {} dpi\n", found.join(", "));
            }
        }
        if self.multiples != [1, 1] {
            out += &format!("{} needs pixels that are multiples of {} across and {} down\n", self.layout, self.multiples[0], self.multiples[1]);
        }
        if let Some(counts) = self.tiles_on_cloth() {
            let [across, down] = counts;
            out += &format!("cloth: {across:.3} tiles across, {down:.3} down\n");
        }
        out
    }

    fn side(&self, axis: usize) -> (Length, Length, i64) {
        let (asked, size) = (self.grid.asked(), self.grid.size());
        match axis {
            0 => (asked.width, size.width, self.grid.width()),
            _ => (asked.height, size.height, self.grid.height()),
        }
    }

    fn tiles_on_cloth(&self) -> Option<[f64; 2]> {
        let [w, h] = self.cloth?;
        let size = self.grid.size();
        let count = |cloth: Length, tile: Length| cloth.emu() as f64 / tile.emu() as f64;
        Some([count(w, size.width), count(h, size.height)])
    }

    fn json(&self) -> Value {
        let side = |axis: usize| {
            let (asked, length, pixels) = self.side(axis);
            let dpi = self.grid.resolution();
            let sizes = exact_sizes(asked, dpi, self.multiples[axis])
                .map(|s| json!({ "px": s.pixels, "in": s.length.to(Unit::In), "mm": s.length.to(Unit::Mm) }));
            let left = self.grid.remainder()[axis];
            json!({
                "asked_in": asked.to(Unit::In),
                "asked_px": dpi.pixels_of(asked),
                "px": pixels,
                "in": length.to(Unit::In),
                "mm": length.to(Unit::Mm),
                "um_per_tile": left.um_per_tile(),
                "mm_per_10_m": left.mm_per_10_m(),
                "multiple_px": self.multiples[axis],
                "exact_sizes": sizes,
                "exact_dpi": exact_resolutions(asked, dpi, self.multiples[axis], 3).iter().map(|r| r.value()).collect::<Vec<_>>(),
            })
        };
        json!({
            "dpi": self.grid.resolution().value(),
            "layout": self.layout.to_string(),
            "width": side(0),
            "height": side(1),
            "tiles_on_cloth": self.tiles_on_cloth(),
        })
    }
}
