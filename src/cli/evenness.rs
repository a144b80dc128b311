//! Evenness in the reports of `check`.

use seamfast::evenness::{Evenness, Spread};
use serde_json::{Value, json};

use super::summary::round;

/// The most bare bands that a report lists.
const ALLEYS: usize = 8;

/// The figures; lengths in pixels of the tile, shares from 0 to 1.
pub(super) fn report(evenness: &Evenness) -> Value {
    let number = |value: f64, digits: usize| round(value, digits).parse::<f64>().map_or(Value::Null, Value::from);
    let pockets = evenness.pockets.as_ref().map(|pockets| {
        let circle = |[x, y]: [f64; 2], diameter: f64| {
            json!({ "x": number(x, 1), "y": number(y, 1), "diameter_px": number(diameter, 2) })
        };
        json!({
            "largest": pockets.largest.iter().map(|p| circle(p.middle, p.diameter)).collect::<Vec<_>>(),
            "usual_px": number(pockets.usual, 2),
            "ratio": number(pockets.ratio(), 3),
        })
    });
    let alleys = evenness.alleys.iter().take(ALLEYS).map(|alley| {
        json!({
            "degrees": number(alley.degrees(), 2),
            "width_px": number(alley.width, 2),
            "x": number(alley.through[0], 1),
            "y": number(alley.through[1], 1),
        })
    });
    let window = |spread: Spread| {
        let [x, y] = spread.middle;
        json!({ "x": number(x, 1), "y": number(y, 1), "coverage": number(spread.coverage, 4) })
    };
    let lumps = evenness.lumps.as_ref().map(|lumps| {
        json!({
            "window_px": number(lumps.window, 1),
            "coverage": number(lumps.mean, 4),
            "spread": number(lumps.spread, 4),
            "least": window(lumps.least),
            "most": window(lumps.most),
        })
    });
    json!({
        "bare": number(evenness.bare, 4),
        "bald_spots": pockets,
        "alleys": alleys.collect::<Vec<_>>(),
        "lumps": lumps,
        "way": evenness.ways.way().name(),
        "never_upside_down": number(evenness.ways.half, 4),
        "never_by_a_quarter": number(evenness.ways.quarter, 4),
    })
}
