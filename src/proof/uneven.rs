//! Evenness of a tile: from its pixels to cells of ink and ground as they show from three metres, what is to be
//! said of them, and the picture that shows it.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::evidence::trimmed;
use super::findings::{Finding, note};
use super::frame::{Frame, FrameError, Held, INDIGO, LINEN, MADDER, WELD, WOAD};
use super::judged::Judged;
use super::subject::Subject;
use super::view::{View, Window};
use crate::evenness::{Evenness, Field, Steps, Way};
use crate::join::{Image, Inner};

/// A cell's side on the goods: half of what an eye tells apart at three metres (one minute of arc).
const CELL_MM: f64 = 0.44;
/// The most cells a side.
const MOST_CELLS: f64 = 1024.0;
/// Levels by which ink differs from the ground, and the share of a cell that makes it ink (our own choice).
const DIFFERS: u8 = 24;
const SHARE: f64 = 0.35;
/// A color with this part of the most pixels may be the ground, too.
const RIVAL: f64 = 0.3;
/// Less ground than this is no ground.
const LEAST_GROUND: f64 = 0.1;
/// A bald spot is so many times the usual pocket; an alley so wide a part of it; lumps spread so far (our own choice).
const BALD: f64 = 2.0;
const ALLEY: f64 = 0.5;
const LUMPY: f64 = 0.35;

/// Measures a tile; `None` where it has no flat ground, or nothing on it.
pub(super) fn measure(subject: &Subject, inner: &Inner) -> Option<Evenness> {
    let tile = &subject.image;
    let field = field(tile, subject.dpi, subject.ground.unwrap_or_else(|| ground(tile)))?;
    let bare = field.bare();
    let [across, shift, down] = inner.lattice;
    (bare >= LEAST_GROUND && bare < 1.0).then(|| Evenness::of(&field, Steps { across, shift, down }))
}

/// The color of the ground: the one that most pixels have, in steps of 16 levels. Where another has nearly as many,
/// the one that hangs together: ground goes on between motifs. Alpha last, 255 where there is none.
fn ground(tile: &Image) -> [u8; 4] {
    let step = ((tile.width() * tile.height()) as f64 / 100_000.0).sqrt().ceil().max(1.0) as usize;
    let size = [tile.width().div_ceil(step), tile.height().div_ceil(step)];
    let mut sampled = Vec::with_capacity(size[0] * size[1]);
    let mut counts: BTreeMap<[u8; 4], (usize, BTreeMap<[u8; 4], usize>)> = BTreeMap::new();
    for y in (0..tile.height()).step_by(step) {
        for x in (0..tile.width()).step_by(step) {
            let color = rgba(tile.pixel(x, y));
            let (count, exact) = counts.entry(color.map(|level| level / 16)).or_default();
            *count += 1;
            *exact.entry(color).or_default() += 1;
            sampled.push(color);
        }
    }
    let mut ranked: Vec<(usize, [u8; 4])> = counts
        .into_values()
        .filter_map(|(count, exact)| Some((count, exact.into_iter().max_by_key(|(_, count)| *count)?.0)))
        .collect();
    ranked.sort_by_key(|(count, _)| std::cmp::Reverse(*count));
    let most = ranked.first().map_or(0, |(count, _)| *count);
    let hangs = |color: &[u8; 4]| {
        let alike = sampled.iter().map(|other| apart(other, color) <= DIFFERS).collect();
        let field = Field::new(size, [1.0, 1.0], alike, vec![0.0; sampled.len()]);
        let sizes = field.pieces();
        sizes.iter().max().copied().unwrap_or(0) as f64 / sizes.iter().sum::<usize>().max(1) as f64
    };
    let rivals: Vec<[u8; 4]> = ranked
        .iter()
        .take_while(|(count, _)| *count as f64 >= RIVAL * most as f64)
        .map(|(_, color)| *color)
        .take(3)
        .collect();
    match &rivals[..] {
        [one] => *one,
        several => {
            let best = several.iter().map(|color| (hangs(color), *color)).reduce(|a, b| if b.0 > a.0 { b } else { a });
            best.map_or([255; 4], |(_, color)| color)
        }
    }
}

fn apart(a: &[u8; 4], b: &[u8; 4]) -> u8 {
    a.iter().zip(b).map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0)
}

fn rgba(pixel: &[u8]) -> [u8; 4] {
    [pixel[0], pixel[1], pixel[2], pixel.get(3).copied().unwrap_or(255)]
}

fn field(tile: &Image, dpi: Option<[f64; 2]>, ground: [u8; 4]) -> Option<Field> {
    let px = [tile.width(), tile.height()];
    let cells = [0, 1].map(|axis| {
        let seen = dpi.map_or(0.0, |dpi| CELL_MM / 25.4 * dpi[axis]);
        let cell = seen.max(px[0].max(px[1]) as f64 / MOST_CELLS).max(1.0);
        (px[axis] as f64 / cell).round().max(1.0) as usize
    });
    let cell = [0, 1].map(|axis| px[axis] as f64 / cells[axis] as f64);
    let begins = |axis: usize, n: usize| ((n as f64 * cell[axis]).floor() as usize).min(px[axis]);
    let rows = (0..cells[1]).into_par_iter().map(|row| {
        let mut found = vec![(0usize, 0u64); cells[0]];
        let (top, bottom) = (begins(1, row), begins(1, row + 1));
        for y in top..bottom {
            for (column, (ink, light)) in found.iter_mut().enumerate() {
                for x in begins(0, column)..begins(0, column + 1) {
                    let pixel = tile.pixel(x, y);
                    *ink += usize::from(apart(&rgba(pixel), &ground) > DIFFERS);
                    // Brightness as ITU-T T.871 has it.
                    *light += 299 * u64::from(pixel[0]) + 587 * u64::from(pixel[1]) + 114 * u64::from(pixel[2]);
                }
            }
        }
        let cell = |(column, (ink, light)): (usize, (usize, u64))| {
            let pixels = ((bottom - top) * (begins(0, column + 1) - begins(0, column))).max(1) as f64;
            (ink as f64 / pixels >= SHARE, (light as f64 / pixels / 255_000.0) as f32)
        };
        found.into_iter().enumerate().map(cell).collect::<Vec<(bool, f32)>>()
    });
    let (ink, light): (Vec<bool>, Vec<f32>) = rows.collect::<Vec<_>>().into_iter().flatten().unzip();
    ink.contains(&true).then(|| Field::new(cells, cell, ink, light))
}

/// What a person should know of it.
pub(super) fn findings(evenness: &Evenness, dpi: Option<[f64; 2]>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let long = |px: f64| length(px, dpi);
    if let Some(pockets) = &evenness.pockets {
        if let (true, Some(first)) = (pockets.ratio() >= BALD, pockets.largest.first()) {
            let [x, y] = first.middle;
            findings.push(note(
                "bald-spot",
                format!(
                    "a bare circle of {} around x {x:.0}, y {y:.0} px; the usual one is {}",
                    long(first.diameter),
                    long(pockets.usual)
                ),
                "move a motif nearer, or put a small one there",
            ));
        }
        if let Some(alley) = evenness.alleys.first().filter(|alley| alley.width >= ALLEY * pockets.usual) {
            findings.push(note(
                "alley",
                format!("a bare band of {} runs {} through the cloth", long(alley.width), direction(alley.degrees())),
                "let motifs reach into it, or choose another layout: a drop closes level alleys, a brick upright ones",
            ));
        }
    }
    if let Some(lumps) = evenness.lumps.filter(|lumps| lumps.spread >= LUMPY) {
        findings.push(note(
            "lump",
            format!(
                "ink covers {:.0} % to {:.0} % of windows of {}, {:.0} % on the whole",
                100.0 * lumps.least.coverage,
                100.0 * lumps.most.coverage,
                long(lumps.window),
                100.0 * lumps.mean
            ),
            "spread the motifs more evenly",
        ));
    }
    if evenness.ways.way() == Way::One {
        findings.push(note(
            "one-way",
            format!(
                "upside down it is another design: motifs with {:.0} % of the ink lie one way round only, so pieces must be cut the same way round, which takes more cloth",
                100.0 * evenness.ways.half
            ),
            "turn some of each motif upside down if it is to be laid both ways; else say so where you sell it",
        ));
    }
    findings
}

/// In px, and on the goods where that is known.
fn length(px: f64, dpi: Option<[f64; 2]>) -> String {
    match dpi {
        Some([dpi, _]) => format!("{px:.0} px ({} in, {} cm)", trimmed(px / dpi), trimmed(px / dpi * 2.54)),
        None => format!("{px:.0} px"),
    }
}

fn direction(degrees: f64) -> String {
    match degrees {
        d if d < 0.5 || d > 179.5 => "level".into(),
        d if (d - 90.0).abs() < 0.5 => "upright".into(),
        d => format!("at {:.0}° (clockwise from level)", d),
    }
}

/// What was measured, in one line.
pub fn words(judged: &Judged) -> String {
    let Some(evenness) = &judged.evenness else {
        return "there is no flat ground, so bald spots and alleys can’t be told".into();
    };
    let dpi = judged.dpi;
    let mut parts = vec![format!("{:.0} % bare ground", 100.0 * evenness.bare)];
    if let Some(pockets) = &evenness.pockets
        && let Some(first) = pockets.largest.first()
    {
        let size = length(first.diameter, dpi);
        parts.push(format!("largest bare circle {size}, {:.1} times the usual one", pockets.ratio()));
    }
    match evenness.alleys.first() {
        Some(first) => parts.push(format!(
            "widest straight bare band {}, {}",
            length(first.width, dpi),
            direction(first.degrees())
        )),
        None => parts.push("no straight bare band".into()),
    }
    if let Some(lumps) = &evenness.lumps {
        let [least, most] = [lumps.least, lumps.most].map(|window| 100.0 * window.coverage);
        parts.push(format!("ink covers {least:.0} to {most:.0} % of windows of {}", length(lumps.window, dpi)));
    }
    parts.push(evenness.ways.way().name().into());
    parts.join("; ")
}

/// Pixels of the picture, at most.
const PICTURE: f64 = 900.0;
/// The most bands that are drawn.
const BANDS: usize = 3;

/// The tile, made paler, with what was measured drawn over it.
pub(super) fn overlay(tile: &Image, judged: &Judged) -> Result<View, FrameError> {
    let px = [tile.width() as f64, tile.height() as f64];
    let scale = (PICTURE / px[0].max(px[1])).min(1.0).max(120.0 / px[0].max(px[1]).max(1.0));
    let size = px.map(|side| (side * scale).round().max(1.0) as usize);
    let step = [0, 1].map(|axis| px[axis] / size[axis] as f64);
    let mut view = View::reduced(tile, Window { from: [0.0; 2], step, size });
    view.lay(&[LINEN[0], LINEN[1], LINEN[2], 110].repeat(size[0] * size[1]));
    let mut frame = Frame::pixels(size[0], size[1]);
    let Some(evenness) = &judged.evenness else {
        frame.words([10.0, 24.0], 15.0, Held::Left, INDIGO, "no flat ground");
        view.lay(&frame.painted()?);
        return Ok(view);
    };
    let usual = evenness.pockets.as_ref().map_or(0.0, |pockets| pockets.usual);
    let [across, _, down] = judged.inner.lattice;
    for alley in evenness.alleys.iter().filter(|alley| alley.width >= usual / 4.0).take(BANDS) {
        let length = alley.along[0].hypot(alley.along[1]);
        let unit = alley.along.map(|way| way / length);
        let apart = across * down / length;
        let far = px[0].hypot(px[1]);
        let times = (2.0 * far / apart).ceil() as i32;
        for n in -times..=times {
            let move_by = f64::from(n) * apart;
            let middle = [alley.through[0] - unit[1] * move_by, alley.through[1] + unit[0] * move_by];
            let corner = |along: f64, over: f64| {
                let x = (middle[0] + unit[0] * along * far * 2.0 - unit[1] * over * alley.width / 2.0) * scale;
                let y = (middle[1] + unit[1] * along * far * 2.0 + unit[0] * over * alley.width / 2.0) * scale;
                format!("{x:.2} {y:.2}")
            };
            let [a, b, c, d] = [corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
            frame.shape(&format!("M{a}L{b}L{c}L{d}Z"), WELD, 0.4);
        }
    }
    if let Some(lumps) = &evenness.lumps {
        for (spread, color) in [(lumps.most, MADDER), (lumps.least, WOAD)] {
            for [x, y] in copies(spread.middle, lumps.window / 2.0, px) {
                let (side, half) = (lumps.window * scale, lumps.window / 2.0);
                let path =
                    format!("M{:.2} {:.2}h{side:.2}v{side:.2}h{:.2}Z", (x - half) * scale, (y - half) * scale, -side);
                frame.lines(&path, 2.0, color);
            }
        }
    }
    for (n, pocket) in evenness.pockets.iter().flat_map(|pockets| &pockets.largest).enumerate() {
        for [x, y] in copies(pocket.middle, pocket.diameter / 2.0, px) {
            let r = pocket.diameter / 2.0 * scale;
            let circle = format!(
                "M{:.2} {:.2}a{r:.2} {r:.2} 0 1 0 {:.2} 0a{r:.2} {r:.2} 0 1 0 {:.2} 0Z",
                x * scale - r,
                y * scale,
                2.0 * r,
                -2.0 * r
            );
            if n == 0 {
                frame.shape(&circle, MADDER, 0.35);
            }
            frame.lines(&circle, if n == 0 { 2.5 } else { 1.5 }, if n == 0 { MADDER } else { INDIGO });
        }
    }
    view.lay(&frame.painted()?);
    Ok(view)
}

/// A place on the tile and its copies over the edges, as far as they reach into it.
fn copies(middle: [f64; 2], reach: f64, px: [f64; 2]) -> Vec<[f64; 2]> {
    let home = [0, 1].map(|axis| middle[axis].rem_euclid(px[axis]));
    let all = (-1..=1).flat_map(|i| (-1..=1).map(move |j| [f64::from(i), f64::from(j)]));
    let places = all.map(|[i, j]| [home[0] + i * px[0], home[1] + j * px[1]]);
    places.filter(|at| (0..2).all(|axis| at[axis] + reach > 0.0 && at[axis] - reach < px[axis])).collect()
}
