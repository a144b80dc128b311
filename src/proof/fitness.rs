//! Is a tile fit for print? What is looked at, file by file and design by design.

use super::findings::Finding;
use crate::design::CheckEntry;
use crate::fitness::{Fitness, Severity};
use crate::length::{Length, Unit};

mod file;
mod fine;
mod laid;
mod pictures;

pub(super) use file::of_file;
pub(super) use laid::{of_design, of_drawing};

/// What tiles are judged for.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// What drawings are painted at.
    pub dpi: f64,
    /// The limits as typed: they go before those of a design.
    pub check: CheckEntry,
    /// The size that a tile is to be printed at, if not its own. A design has its own.
    pub size: Option<PrintSize>,
    /// No file may be larger.
    pub max_bytes: Option<u64>,
    /// Tiles are borders, repeated across only. A design says itself what it is.
    pub border: bool,
}

impl Wanted {
    /// At this resolution, by the usual limits.
    pub fn new(dpi: f64) -> Wanted {
        Wanted { dpi, check: CheckEntry::default(), size: None, max_bytes: None, border: false }
    }
}

/// How large a tile is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PrintSize {
    /// Across.
    pub width: Length,
    /// Down; without it, as the tile's own shape says.
    pub height: Option<Length>,
}

impl PrintSize {
    /// Both sides in inches, for a tile of this shape.
    pub(super) fn inches(self, [width, height]: [f64; 2]) -> [f64; 2] {
        let across = self.width.to(Unit::In);
        [across, self.height.map_or(across * height / width, |h| h.to(Unit::In))]
    }

    /// Pixels an inch, across and down, of a tile of so many pixels.
    pub(super) fn density(self, pixels: [usize; 2]) -> [f64; 2] {
        let pixels = pixels.map(|n| n as f64);
        let inches = self.inches(pixels);
        [pixels[0] / inches[0], pixels[1] / inches[1]]
    }
}

/// Two resolutions this near are one: what a whole number of pixels per metre is off by.
const ALIKE: f64 = 0.02;

/// A file over the limit of bytes.
pub(super) fn of_bytes(bytes: u64, most: Option<u64>) -> Option<Finding> {
    let most = most.filter(|most| bytes > *most)?;
    Some(Finding::new("large-file", format!("the file has {bytes} bytes; the most is {most}")))
}

/// Pixels through which the goods would show, of straight RGBA.
fn transparent(straight: &[u8], fitness: &Fitness) -> Option<Finding> {
    let clear = straight.chunks_exact(4).filter(|pixel| pixel[3] < 255).count();
    let share = 100.0 * clear as f64 / (straight.len() / 4) as f64;
    let what =
        format!("{clear} pixels ({share:.1} %) are transparent or partly so; printers put white there, or black");
    let found = (clear > 0).then(|| Finding::new("transparent", what))?;
    if fitness.opaque {
        return Some(Finding { severity: Severity::Warning, ..found }.remedy("give it a ground; these goods need one"));
    }
    Some(found)
}

/// Too few pixels an inch, across or down, for pixels printed on so many inches.
fn few_pixels(pixels: [usize; 2], inches: [f64; 2], least: f64) -> Option<Finding> {
    let ppi = [0, 1].map(|axis| pixels[axis] as f64 / inches[axis]);
    let axis = usize::from(ppi[1] < ppi[0]);
    if ppi[axis] > least - ALIKE {
        return None;
    }
    let way = ["across", "down"][axis];
    let [count, long] = [pixels[axis].to_string(), format!("{:.3}", inches[axis])];
    let long = crate::length::trim_zeros(&long);
    let what = format!("{count} px on {long} in {way} are {:.1} an inch; the goods want {}", ppi[axis], short(least));
    let remedy = format!(
        "make it again with at least {:.0} px {way}, or print it at most {:.2} in {}; more pixels made from these do not help",
        (inches[axis] * least - 1e-6).ceil(),
        pixels[axis] as f64 / least,
        ["wide", "high"][axis]
    );
    Some(Finding::new("few-pixels", what).remedy(remedy))
}

/// A number without zeros that say nothing.
fn short(number: f64) -> String {
    crate::length::trim_zeros(&format!("{number:.2}")).into()
}

/// Thinner than that, in points, is said no finer.
const LEAST: f64 = 0.01;

/// A width in points as it is said: `0.12pt (0.042mm)`.
fn said(points: f64) -> String {
    if points < LEAST {
        return format!("less than {}", said(LEAST));
    }
    #[allow(clippy::cast_possible_truncation, reason = "less than a limit, which is a length")]
    let length = Length::from_emu((points * Unit::Pt.emu() as f64).round() as i64);
    format!("{} ({})", length.show(Unit::Pt, 3), length.show(Unit::Mm, 3))
}
