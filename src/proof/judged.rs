//! What is said of one tile.

use super::findings::{Finding, accept, unused};
use super::subject::Subject;
use super::uneven;
use crate::evenness::Evenness;
use crate::join::{self, Area, Inner, Join, Side, Verdict};

/// A tile that was judged.
#[derive(Debug)]
pub struct Judged {
    /// Its file.
    pub name: String,
    /// `design`, `SVG`, `PNG` …
    pub kind: &'static str,
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Pixels an inch, where they are known.
    pub dpi: Option<[f64; 2]>,
    /// Left-right, top-bottom; a border has only the first.
    pub joins: Vec<Join>,
    /// The repeat inside it.
    pub inner: Inner,
    /// How evenly its ink lies; `None` without flat ground, or with nothing on it.
    pub evenness: Option<Evenness>,
    /// What else is to be said.
    pub findings: Vec<Finding>,
    /// Whether each acceptance of the design met a finding.
    met: Vec<bool>,
}

impl Judged {
    /// Judges a tile.
    pub fn of(subject: &Subject) -> Judged {
        let (steps, mut inner) = join::inner(&subject.image);
        // Ground above and below a border is not this tile's: evenness would have to guess.
        let measure = || if subject.border { None } else { uneven::measure(subject, &inner) };
        let (mut joins, evenness) = rayon::join(|| join::judge(&subject.image, steps, &inner), measure);
        if subject.border {
            joins.retain(|join| join.side == Side::LeftRight);
            inner = Inner::of_border(steps, subject.image.width(), subject.image.height());
        }
        let mut findings = subject.findings.clone();
        findings.extend(evenness.iter().flat_map(|evenness| uneven::findings(evenness, subject.dpi)));
        let met = accept(&mut findings, &subject.accepted);
        Judged {
            name: subject.name.clone(),
            kind: subject.kind,
            width: subject.image.width(),
            height: subject.image.height(),
            dpi: subject.dpi,
            joins,
            inner,
            evenness,
            findings,
            met,
        }
    }

    /// Judges all that one file came to. An acceptance that met nothing in any of it is said of the first.
    pub fn all(subjects: &[Subject]) -> Vec<Judged> {
        let mut all: Vec<Judged> = subjects.iter().map(Judged::of).collect();
        let accepted = subjects.first().map_or(&[][..], |subject| &subject.accepted);
        let is_met = |n: usize| all.iter().any(|judged| judged.met.get(n) == Some(&true));
        let left: Vec<Finding> =
            accepted.iter().enumerate().filter(|(n, _)| !is_met(*n)).map(|(_, one)| unused(one)).collect();
        if let Some(first) = all.first_mut() {
            first.findings.extend(left);
        }
        all
    }

    /// Whether it is a file with a fault at its upper and lower edge alone, as a border has that nobody called one.
    pub fn may_be_border(&self) -> bool {
        let at_fault = |join: &Join| join.verdict == Verdict::Fault;
        let [across, down] = &self.joins[..] else { return false };
        self.kind != "design" && self.width > self.height && !at_fault(across) && at_fault(down)
    }

    /// The worst of its joins.
    pub fn verdict(&self) -> Verdict {
        self.joins.iter().map(|join| join.verdict).max().unwrap_or(Verdict::Unsure)
    }
}

/// Where something shows, in pixels and on the goods.
pub fn area_words(Area { x, y, width, height }: Area, dpi: Option<[f64; 2]>) -> String {
    let inches = dpi.map(|dpi| format!(" ({:.2} in, {:.2} in)", x as f64 / dpi[0], y as f64 / dpi[1]));
    format!("at x {x}, y {y} px{}, {width} × {height} px", inches.unwrap_or_default())
}

/// Why a join has its verdict.
pub fn reason(join: &Join) -> String {
    if let Some(fault) = join.faults.first() {
        return fault.what(join.side);
    }
    if let Some(doubt) = &join.doubt {
        return doubt.clone();
    }
    match (join.proven, join.crossings) {
        (true, _) => "what lies on it also lies whole inside the tile, and matches it".into(),
        (false, 0) => "nothing that crosses it could be followed, and its two sides are alike".into(),
        (false, 1) => "the one contour that crosses it goes on".into(),
        (false, n) => format!("{n} contours cross it and go on"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_join_without_a_fault_says_why() {
        let join = |crossings, proven| Join {
            side: Side::LeftRight,
            verdict: Verdict::Seamless,
            slip: None,
            faults: Vec::new(),
            doubt: None,
            crossings,
            proven,
        };
        assert_eq!(reason(&join(0, false)), "nothing that crosses it could be followed, and its two sides are alike");
        assert_eq!(reason(&join(7, false)), "7 contours cross it and go on");
        assert_eq!(reason(&join(7, true)), "what lies on it also lies whole inside the tile, and matches it");
    }
}
