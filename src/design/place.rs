//! From a motif's own coordinates to the grid: size, flip, turn, scale.

use crate::repeat::Linear;

/// The linear part of a placement.
///
/// `size` is EMU per motif unit across and down; `flip` mirrors left to right and top to
/// bottom; `turn` is clockwise in degrees; `scale` is grid units per EMU across and down.
pub(super) fn linear(size: [f64; 2], flip: [bool; 2], turn: f64, scale: [f64; 2]) -> Linear {
    let (sin, cos) = sin_cos_degrees(turn);
    let x = if flip[0] { -size[0] } else { size[0] };
    let y = if flip[1] { -size[1] } else { size[1] };
    [scale[0] * cos * x, scale[1] * sin * x, -scale[0] * sin * y, scale[1] * cos * y]
}

/// Sine and cosine, exact at quarter turns, and the same on every machine (`libm`).
fn sin_cos_degrees(degrees: f64) -> (f64, f64) {
    let turn = degrees.rem_euclid(360.0);
    match turn {
        0.0 => (0.0, 1.0),
        90.0 => (1.0, 0.0),
        180.0 => (0.0, -1.0),
        270.0 => (-1.0, 0.0),
        _ => libm::sincos(turn.to_radians()),
    }
}

/// Even places for so many motifs in a block of these proportions, as shares in percent:
/// rows of columns, the last row spread over the width.
pub(super) fn spread(count: usize, [width, height]: [f64; 2]) -> Vec<[String; 2]> {
    let columns = ((count as f64 * width / height).sqrt().round() as usize).clamp(1, count.max(1));
    let rows = count.div_ceil(columns);
    let share = |part: usize, of: usize| {
        let text = format!("{:.2}", (part as f64 + 0.5) / of as f64 * 100.0);
        format!("{}%", crate::length::trim_zeros(&text))
    };
    (0..count)
        .map(|n| {
            let row = n / columns;
            let in_row = if row + 1 == rows { count - row * columns } else { columns };
            [share(n % columns, in_row), share(row, rows)]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_positive_turn_is_clockwise_and_quarter_turns_are_exact() {
        // y points down, so a quarter turn clockwise takes x to y and y to -x.
        assert_eq!(linear([1.0; 2], [false; 2], 90.0, [1.0; 2]), [0.0, 1.0, -1.0, 0.0]);
        assert_eq!(linear([1.0; 2], [false; 2], -270.0, [1.0; 2]), [0.0, 1.0, -1.0, 0.0]);
        assert_eq!(linear([2.0, 3.0], [true, false], 0.0, [1.0; 2]), [-2.0, 0.0, 0.0, 3.0]);
        let [a, b, ..] = linear([1.0; 2], [false; 2], 30.0, [1.0; 2]);
        assert!((a - 0.866_025_403_784_438_6).abs() < 1e-15 && (b - 0.5).abs() < 1e-15);
    }

    #[test]
    fn motifs_are_spread_evenly() {
        assert_eq!(spread(1, [4.0, 8.0]), [["50%", "50%"]]);
        assert_eq!(spread(2, [4.0, 8.0]), [["50%", "25%"], ["50%", "75%"]]);
        assert_eq!(spread(3, [8.0, 8.0]), [["25%", "25%"], ["75%", "25%"], ["50%", "75%"]]);
    }
}
