//! The picture of evenness: the tile, made paler, with circles, bands and squares drawn over it.

use crate::join::Image;
use crate::proof::frame::{Frame, FrameError, Held, INDIGO, LINEN, MADDER, WELD, WOAD, circle};
use crate::proof::judged::Judged;
use crate::proof::view::{View, Window};

/// Pixels of the picture, at most.
const PICTURE: f64 = 900.0;
/// The most bands that are drawn.
const BANDS: usize = 3;

/// The tile, made paler, with what was measured drawn over it.
pub(in crate::proof) fn overlay(tile: &Image, judged: &Judged) -> Result<View, FrameError> {
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
            let circle = circle([x * scale, y * scale], pocket.diameter / 2.0 * scale);
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
