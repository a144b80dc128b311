//! Numbers of a content stream, from `f64`: a place on 14 400 pt is exact to far below a micrometre. Only boxes and
//! matrices of dictionaries are `f32`.

/// Twelve significant digits, never with an exponent, which PDF does not know.
pub(in crate::vector) fn number(out: &mut String, n: f64) {
    let (mut size, mut digits) = (n.abs(), 11_usize);
    while size >= 10.0 && digits > 0 {
        (size, digits) = (size / 10.0, digits - 1);
    }
    while size < 1.0 && size > 0.0 && digits < 20 {
        (size, digits) = (size * 10.0, digits + 1);
    }
    let text = format!("{n:.digits$}");
    out.push_str(if digits > 0 { crate::length::trim_zeros(&text) } else { &text });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_plain_and_exact() {
        let said = |n: f64| {
            let mut out = String::new();
            number(&mut out, n);
            out
        };
        let cases =
            [(0.0, "0"), (-0.0, "0"), (1.0, "1"), (100.0, "100"), (-0.25, "-0.25"), (1234.00390625, "1234.00390625")];
        for (n, text) in cases {
            assert_eq!(said(n), text);
        }
        assert_eq!((said(1e-9), said(-1e-33)), ("0.000000001".into(), "0".into()));
        assert_eq!(said(0.1 + 0.2), "0.3");
        assert_eq!(said(14_400.000_01), "14400.00001");
        assert_eq!(said(1e20), "100000000000000000000");
    }
}
