//! Numbers as people write them, kept as exact fractions.

/// `a / b` to the nearest whole number, halves away from zero. `b` must be above zero.
pub(crate) fn div_round(a: i128, b: i128) -> i128 {
    let half = b / 2;
    if a >= 0 { (a + half) / b } else { -((-a + half) / b) }
}

/// A written number: `7`, `0.1`, `1/3`, `7 1/2`, `7½`, `-3`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Decimal {
    num: i128,
    den: i128,
}

impl Decimal {
    /// Reads digit by digit; `None` for anything else, `1e3`, `nan` and `inf` among it,
    /// and for more than 15 digits in one place.
    pub(crate) fn parse(text: &str) -> Option<Decimal> {
        let text = text.trim();
        let (negative, text) = match text.strip_prefix(['-', '−']) {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let text = text.replace('½', " 1/2").replace('¼', " 1/4").replace('¾', " 3/4");
        let parts: Vec<&str> = text.split_whitespace().collect();
        let value = match parts[..] {
            [one] if one.contains('/') => Decimal::fraction(one)?,
            [one] => Decimal::point(one)?,
            [whole, part] if part.contains('/') => {
                let (whole, part) = (digits(whole)?, Decimal::fraction(part)?);
                Decimal { num: whole * part.den + part.num, den: part.den }
            }
            _ => return None,
        };
        Some(if negative { Decimal { num: -value.num, den: value.den } } else { value })
    }

    fn fraction(text: &str) -> Option<Decimal> {
        let (num, den) = text.split_once('/')?;
        Some(Decimal { num: digits(num)?, den: digits(den)? })
    }

    fn point(text: &str) -> Option<Decimal> {
        let (whole, part) = text.split_once('.').unwrap_or((text, ""));
        if whole.is_empty() && part.is_empty() {
            return None;
        }
        let den = 10i128.pow(u32::try_from(part.len()).ok().filter(|n| *n <= 15)?);
        let whole = if whole.is_empty() { 0 } else { digits(whole)? };
        let part = if part.is_empty() { 0 } else { digits(part)? };
        Some(Decimal { num: whole * den + part, den })
    }

    pub(crate) fn is_over_zero(self) -> bool {
        self.den == 0
    }

    /// Numerator and denominator, as written, not in lowest terms.
    pub(crate) fn ratio(self) -> (i128, i128) {
        (self.num, self.den)
    }

    /// `self × unit` to the nearest whole number; `None` if it does not fit.
    pub(crate) fn times_rounded(self, unit: i64) -> Option<i64> {
        i64::try_from(div_round(self.num.checked_mul(i128::from(unit))?, self.den)).ok()
    }
}

fn digits(text: &str) -> Option<i128> {
    let fits = (1..=15).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    if fits { text.parse().ok() } else { None }
}
