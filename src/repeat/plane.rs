//! Arithmetic of the plane that more than one room needs.

/// Sine and cosine of degrees, exact at quarter turns, and the same on every machine (`libm`).
pub fn sin_cos_degrees(degrees: f64) -> (f64, f64) {
    let turn = degrees.rem_euclid(360.0);
    match turn {
        0.0 => (0.0, 1.0),
        90.0 => (1.0, 0.0),
        180.0 => (0.0, -1.0),
        270.0 => (-1.0, 0.0),
        _ => libm::sincos(turn.to_radians()),
    }
}

/// Two shortest steps that make the same lattice, the shorter first (Lagrange's reduction).
pub fn shortest_steps([mut long, mut short]: [[f64; 2]; 2]) -> [[f64; 2]; 2] {
    let dot = |a: [f64; 2], b: [f64; 2]| a[0] * b[0] + a[1] * b[1];
    loop {
        if dot(long, long) < dot(short, short) {
            std::mem::swap(&mut long, &mut short);
        }
        let times = dot(long, short) / dot(short, short);
        // At a half both ways round are as short, and rounding would go to and fro.
        if times.abs() <= 0.5 + 1e-9 {
            return [short, long];
        }
        let times = times.round();
        long = [long[0] - times * short[0], long[1] - times * short[1]];
    }
}
