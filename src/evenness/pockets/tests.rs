//! The largest circles of lattices and of twelve points, as the reference has them.

use super::*;

/// The largest circle between points on a torus; each point is the middle of a cell.
fn largest(size: [f64; 2], cells: [usize; 2], points: &[[f64; 2]]) -> ([f64; 2], f64) {
    let cell = [size[0] / cells[0] as f64, size[1] / cells[1] as f64];
    let mut ink = vec![false; cells[0] * cells[1]];
    for point in points {
        let at = [0, 1].map(|axis| (point[axis] / cell[axis]).floor() as usize % cells[axis]);
        ink[at[1] * cells[0] + at[0]] = true;
    }
    let light = vec![0.0; ink.len()];
    let field = Field::new(cells, cell, ink, light);
    let found = pockets(&field, Steps { across: size[0], shift: 0.0, down: size[1] }).unwrap();
    let first = found.largest[0];
    (first.middle, first.diameter / 2.0 + cell[0].max(cell[1]) / 2.0)
}

/// Closed forms: one point in a square, a square lattice, a half-drop of unit squares (5/8), hexagons (1/√3).
#[test]
fn the_largest_circles_of_lattices_are_known() {
    let near = |found: f64, true_one: f64| assert!((found - true_one).abs() < 1e-9, "{found} is not {true_one}");
    near(largest([1.0, 1.0], [101, 101], &[[0.3, 0.7]]).1, 0.5f64.sqrt());
    let square = [[0.25, 0.25], [0.75, 0.25], [0.25, 0.75], [0.75, 0.75]];
    near(largest([1.0, 1.0], [102, 102], &square).1, 2f64.sqrt() / 4.0);
    near(largest([2.0, 1.0], [202, 102], &[[0.5, 0.25], [1.5, 0.75]]).1, 0.625);
    let root = 3f64.sqrt();
    near(largest([1.0, root], [100, 174], &[[0.25, 0.25 * root], [0.75, 0.75 * root]]).1, 1.0 / root);
}

/// Twelve points in 100 × 80, as the Voronoi diagram of 3 × 3 images gives it (scipy): 29.102315 around
/// (8.739336, 51.653929). Points lie up to half a cell from where they should.
#[test]
fn the_largest_circle_of_twelve_points_is_known() {
    let points = [
        [22.73, 25.34],
        [79.74, 54.1],
        [39.11, 26.63],
        [59.83, 14.94],
        [67.28, 75.34],
        [24.82, 75.91],
        [66.72, 7.67],
        [44.18, 70.92],
        [69.75, 26.12],
        [73.39, 17.61],
        [8.16, 12.79],
        [34.01, 37.22],
    ];
    let (middle, radius) = largest([100.0, 80.0], [2000, 1600], &points);
    assert!((radius - 29.102_315).abs() < 0.05, "{radius}");
    assert!((middle[0] - 8.739).hypot(middle[1] - 51.654) < 0.1, "{middle:?}");
}
