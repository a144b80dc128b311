//! `seamfast size`: length ↔ pixels ↔ resolution, for a layout, and tiles on a cloth.

use seamfast::design::Arrangement;
use seamfast::length::{Length, Unit};
use seamfast::pixels::{PixelGrid, Resolution, Side, exact_resolutions, exact_sizes};
use seamfast::repeat::{Layout, Symmetry};
use serde_json::{Value, json};

use super::args::SizeArgs;
use super::say::{Failure, Outcome, failure, failure_with, line};
use super::summary::{difference, hexagons, round};

/// Answers one question of sizes.
pub(super) fn run(args: &SizeArgs) -> Outcome {
    let arrangement = arrangement(args)?;
    let dpi = |text: &String| text.parse::<Resolution>().map_err(|e| failure(format!("--dpi: {e}")));
    let (sides, dpi) = match (&args.lengths[..], &args.dpi) {
        ([_, _], Some(_)) => {
            let what = "--dpi: a length and its pixels have one resolution already";
            return Err(failure_with(what, "leave out --dpi, or the length, or the pixels"));
        }
        ([length, pixels], None) => resolution_of(length, pixels)?,
        ([one, ..], typed) => (both(one)?, typed.as_ref().map_or_else(|| Resolution::dpi(150).map_err(failure), dpi)?),
        ([], _) => return Err(failure("a length is missing; write for example 8in, 20x25cm or 2048px")),
    };
    let multiples = arrangement.scheme().multiples(arrangement.scheme().tile_blocks());
    let (grid, sides) = arrangement.smallest(sides, dpi).map_err(failure)?;
    let cloth = args.cloth.as_deref().map(cloth).transpose()?;
    let answer = Answer { arrangement, multiples, grid, sides, cloth, finding_dpi: args.lengths.len() == 2 };
    if args.json { line(&answer.json().to_string()) } else { line(answer.words().trim_end()) }
}

fn both(text: &str) -> Result<[Side; 2], Failure> {
    Side::parse_both(text).map_err(failure)
}

/// `8in 2400px`: the resolution at which this many pixels are this long.
fn resolution_of(one: &str, other: &str) -> Result<([Side; 2], Resolution), Failure> {
    // A shell takes 7 1/2in for two words.
    let together = format!("{one} {other}");
    if both(one).is_err() && both(&together).is_ok() {
        let what = format!("{one:?} and {other:?} are one length, and came as two");
        return Err(failure_with(what, format!("write it in quotes: seamfast size \"{together}\"")));
    }
    let (lengths, pixels) = match (both(one)?, both(other)?) {
        ([Side::Length(w), Side::Length(h)], [Side::Pixels(x), Side::Pixels(y)])
        | ([Side::Pixels(x), Side::Pixels(y)], [Side::Length(w), Side::Length(h)]) => ([w, h], [x, y]),
        _ => {
            let what = format!("{one:?} and {other:?} are not a length and its pixels");
            return Err(failure_with(
                what,
                "write for example seamfast size 8in 2400px; two sides of one size are written 8x10in",
            ));
        }
    };
    let across = Resolution::of(pixels[0], lengths[0]).map_err(failure)?;
    let down = Resolution::of(pixels[1], lengths[1]).map_err(failure)?;
    if across != down {
        let what = format!("{one} and {other} come to {across} dpi across and {down} dpi down, and a pixel is square");
        let better = across.pixels_of(lengths[1]).round();
        return Err(failure_with(what, format!("write for example {}x{better}px", pixels[0])));
    }
    Ok((pixels.map(Side::Pixels), across))
}

fn cloth(text: &str) -> Result<[Length; 2], Failure> {
    let sides = Side::parse_both(text).map_err(|e| failure(format!("--cloth: {e}")))?;
    match sides {
        [Side::Length(w), Side::Length(h)] => Ok([w, h]),
        _ => Err(failure(format!("--cloth: {text:?} is in pixels; write for example 54inx3yd"))),
    }
}

/// The layout and symmetry that were typed.
fn arrangement(args: &SizeArgs) -> Result<Arrangement, Failure> {
    let layout = args.layout.as_ref().map(|text| text.parse::<Layout>().map_err(|e| failure(format!("--layout: {e}"))));
    let symmetry =
        args.symmetry.as_ref().map(|text| text.parse::<Symmetry>().map_err(|e| failure(format!("--symmetry: {e}"))));
    let (layout, symmetry) = (layout.transpose()?, symmetry.transpose()?);
    let layout = layout.or(if symmetry.is_none() { Some(Layout::Straight) } else { None });
    Arrangement::new(layout, symmetry).map_err(|e| failure(format!("--symmetry: {e}")))
}

struct Answer {
    arrangement: Arrangement,
    multiples: [i64; 2],
    grid: PixelGrid,
    sides: [Side; 2],
    cloth: Option<[Length; 2]>,
    /// Length and pixels were given, and the resolution is the answer.
    finding_dpi: bool,
}

/// One side of the answer.
struct Axis {
    asked: Side,
    length: Length,
    adopted: Length,
    pixels: i64,
    multiple: i64,
}

impl Answer {
    /// Whole pixels nearest to what was asked, and those that leave nothing over.
    fn words(&self) -> String {
        let [across, down] = [self.axis(0), self.axis(1)];
        let mut out =
            if across.pixels == down.pixels && across.length == down.length && across.multiple == down.multiple {
                self.side_words("", 0)
            } else {
                self.side_words("across: ", 0) + &self.side_words("down:   ", 1)
            };
        if self.multiples != [1, 1] {
            let [x, y] = self.multiples;
            out += &format!("Pixels of a {} tile: a multiple of {x} across and of {y} down.\n", self.arrangement);
        }
        let blocks = self.arrangement.scheme().tile_blocks();
        let block = [self.grid.width() / blocks[0], self.grid.height() / blocks[1]];
        if let Some(ppm) = self.arrangement.distortion_ppm(&self.grid, block) {
            out += &format!("{}.\n", hexagons(ppm));
        }
        if let Some([across, down]) = self.tiles_on_cloth() {
            let whole = self.whole_tiles().unwrap_or_default();
            out += &format!(
                "On the cloth: {} tiles across and {} down; {whole} of them whole.\n",
                round(across, 3),
                round(down, 3)
            );
        }
        out
    }

    fn side_words(&self, name: &str, axis: usize) -> String {
        let dpi = self.grid.resolution();
        let side = self.axis(axis);
        let length = show(side.length);
        let left = self.grid.remainder()[axis];
        match side.asked {
            Side::Pixels(n) if self.finding_dpi => return format!("{name}{n} px over {length} is {dpi} dpi\n"),
            Side::Pixels(n) => return format!("{name}{n} px at {dpi} dpi is {length}\n"),
            Side::Length(_) if left.is_zero() => {
                return format!("{name}{length} at {dpi} dpi is {} px, exactly\n", side.pixels);
            }
            Side::Length(_) => {}
        }
        let whole = |pixels: i64, length: Length| format!("{pixels} px = {}", show(length));
        let [below, above] = exact_sizes(side.length, dpi, side.multiple).map(|s| whole(s.pixels, s.length));
        let found = exact_resolutions(side.length, dpi, side.multiple, 3);
        let found: Vec<String> = found.iter().map(ToString::to_string).collect();
        let found = match &found[..] {
            [] => String::new(),
            [one] => format!("  this length is whole at {one} dpi\n"),
            [head @ .., last] => format!("  this length is whole at {} or {last} dpi\n", head.join(", ")),
        };
        format!(
            "{name}{length} at {dpi} dpi is {} px; whole pixels make it {}\n  each tile is {}\n  \
             at {dpi} dpi these are whole: {below}, or {above}\n{found}",
            round(dpi.pixels_of(side.length), 3),
            whole(side.pixels, side.adopted),
            difference(left),
        )
    }

    fn axis(&self, axis: usize) -> Axis {
        let (asked, size) = (self.grid.asked(), self.grid.size());
        let (length, adopted, pixels) = match axis {
            0 => (asked.width, size.width, self.grid.width()),
            _ => (asked.height, size.height, self.grid.height()),
        };
        Axis { asked: self.sides[axis], length, adopted, pixels, multiple: self.multiples[axis] }
    }

    fn tiles_on_cloth(&self) -> Option<[f64; 2]> {
        let [w, h] = self.cloth?;
        let size = self.grid.size();
        let count = |cloth: Length, tile: Length| cloth.emu() as f64 / tile.emu() as f64;
        Some([count(w, size.width), count(h, size.height)])
    }

    /// Tiles that the cloth holds uncut.
    fn whole_tiles(&self) -> Option<i64> {
        let [w, h] = self.cloth?;
        let size = self.grid.size();
        Some((w.emu() / size.width.emu()) * (h.emu() / size.height.emu()))
    }

    fn json(&self) -> Value {
        let dpi = self.grid.resolution();
        let side = |axis: usize| {
            let side = self.axis(axis);
            let sizes = exact_sizes(side.length, dpi, side.multiple)
                .map(|s| json!({ "px": s.pixels, "in": s.length.to(Unit::In), "mm": s.length.to(Unit::Mm) }));
            let found = exact_resolutions(side.length, dpi, side.multiple, 3);
            let left = self.grid.remainder()[axis];
            json!({
                "asked_in": side.length.to(Unit::In),
                "asked_px": dpi.pixels_of(side.length),
                "px": side.pixels,
                "in": side.adopted.to(Unit::In),
                "mm": side.adopted.to(Unit::Mm),
                "um_per_tile": left.um_per_tile(),
                "mm_per_10_m": left.mm_per_10_m(),
                "multiple_px": side.multiple,
                "exact_sizes": sizes,
                "exact_dpi": found.iter().map(|r| r.value()).collect::<Vec<_>>(),
            })
        };
        let cloth = self
            .tiles_on_cloth()
            .map(|[across, down]| json!({ "across": across, "down": down, "whole_tiles": self.whole_tiles() }));
        json!({
            "dpi": dpi.value(),
            "layout": self.arrangement.to_string(),
            "width": side(0),
            "height": side(1),
            "tiles_on_cloth": cloth,
        })
    }
}

/// `25.2in = 640.08mm`.
fn show(length: Length) -> String {
    format!("{} = {}", length.show(Unit::In, 3), length.show(Unit::Mm, 3))
}
