//! What a finished tile's file says of itself, or doesn't.

use super::{ALIKE, Wanted, few_pixels, transparent};
use crate::artwork::{ColorSpace, Finished};
use crate::fitness::Fitness;
use crate::proof::findings::Finding;

/// What is to be said of a finished tile.
pub(in crate::proof) fn of_file(file: &Finished, fitness: &Fitness, wanted: &Wanted) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(resolution(file));
    findings.extend(printed(file, fitness, wanted));
    findings.extend(colors(file));
    if file.bits > 8 {
        let what = format!("the file has {} bits of each channel; judged are the upper eight", file.bits);
        findings.push(Finding::new("sixteen-bits", what));
    }
    if file.channels() == 4 {
        findings.extend(transparent(&file.pixels.bytes, fitness));
    }
    findings.extend(file.losses.iter().map(|loss| match loss.code() {
        "no-profile" => Finding::new("no-profile", "its four inks have no profile: how they look is guessed"),
        _ => Finding::new("not-judged", format!("not judged: {loss}")),
    }));
    if wanted.check.line.is_some() || wanted.check.gap.is_some() {
        let what = "a picture has no outlines: its lines and gaps are not held against the limits that are asked";
        findings.push(Finding::new("not-measured", what));
    }
    findings
}

fn resolution(file: &Finished) -> Option<Finding> {
    match file.dpi {
        None => Some(Finding::new(
            "no-resolution",
            "the file doesn't say its resolution, so every program shows it at another size",
        )),
        Some([x, y]) if (x - y).abs() > ALIKE => Some(
            Finding::new(
                "unequal-resolution",
                format!("{x:.2} dpi across and {y:.2} down: pixels are no squares, and motifs print squeezed"),
            )
            .remedy("write one resolution for both"),
        ),
        Some([x, _]) if (x - x.round()).abs() > ALIKE => Some(Finding::new(
            "odd-resolution",
            format!("{x:.2} dpi is no whole number; shops round it, and the size with it"),
        )),
        Some(_) => None,
    }
}

/// Are there pixels enough for the size that is asked, or else for its own, and does it keep its shape?
fn printed(file: &Finished, fitness: &Fitness, wanted: &Wanted) -> Vec<Finding> {
    let pixels = [file.pixels.width as usize, file.pixels.height as usize];
    let exact = pixels.map(|n| n as f64);
    let asked = wanted.size.map(|size| size.inches(exact));
    let own = file.dpi.map(|dpi| [exact[0] / dpi[0], exact[1] / dpi[1]]);
    let Some(inches) = asked.or(own) else { return Vec::new() };
    let mut findings: Vec<Finding> = few_pixels(pixels, inches, fitness.ppi).into_iter().collect();
    // A pixel more or less is what rounding does.
    let fitting = exact[0] * inches[1] / inches[0];
    if asked.is_some() && (fitting - exact[1]).abs() > 1.0 {
        let what = format!(
            "printed at {:.3} × {:.3} in it would have {:.2} px an inch across and {:.2} down: motifs print squeezed",
            inches[0],
            inches[1],
            exact[0] / inches[0],
            exact[1] / inches[1]
        );
        let remedy = format!("print it {:.3} × {:.3} in, in its own shape", inches[0], inches[0] * exact[1] / exact[0]);
        findings.push(Finding::new("unequal-resolution", what).remedy(remedy));
    }
    findings
}

fn colors(file: &Finished) -> Option<Finding> {
    match &file.colors {
        ColorSpace::Srgb => None,
        // Of inks it is said below.
        ColorSpace::Unsaid if file.losses.iter().any(|loss| loss.code() == "no-profile") => None,
        ColorSpace::Unsaid => Some(Finding::new(
            "no-profile",
            "the file doesn't say which colors its numbers are; most programs take them for sRGB",
        )),
        ColorSpace::Other(name) => Some(Finding::new(
            "other-profile",
            format!("its colors are {name}, not sRGB; a shop that takes no notice prints other colors"),
        )),
    }
}
