//! Everything that can be said of a tile beside its joins: one table, which the docs print.

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// To know.
    Note,
    /// It may come out otherwise than meant.
    Warning,
}

impl Severity {
    /// As it stands in reports.
    pub const fn name(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
        }
    }
}

/// One kind of finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FindingKind {
    /// The name it is accepted by, which does not change.
    pub code: &'static str,
    /// How much it usually matters.
    pub severity: Severity,
    /// What it says.
    pub meaning: &'static str,
    /// What to do about it.
    pub remedy: &'static str,
}

const fn warning(code: &'static str, meaning: &'static str, remedy: &'static str) -> FindingKind {
    FindingKind { code, severity: Severity::Warning, meaning, remedy }
}

const fn note(code: &'static str, meaning: &'static str, remedy: &'static str) -> FindingKind {
    FindingKind { code, severity: Severity::Note, meaning, remedy }
}

/// Every kind of finding, in alphabetical order.
pub const FINDINGS: &[FindingKind] = &[
    note(
        "alley",
        "a straight band of bare ground that never ends",
        "let motifs reach into it, or choose another layout",
    ),
    note("bald-spot", "a bare circle much larger than the usual one", "move a motif nearer, or put a small one there"),
    warning(
        "coarse-picture",
        "a picture that has too few pixels for its size on the goods",
        "place it smaller, or scan or export it again with more pixels",
    ),
    note("design", "what the design itself gives to know", "see the design"),
    warning(
        "few-pixels",
        "a tile that has too few pixels for its size on the goods",
        "make it again with more pixels, or print it smaller; more pixels made from these do not help",
    ),
    warning(
        "large-file",
        "more bytes than are taken",
        "save it packed, with fewer colors or as JPEG; make names the setting that meets --max-bytes",
    ),
    note("lump", "windows where ink lies thick, and others where it lies thin", "spread the motifs more evenly"),
    warning(
        "narrow-gap",
        "ground between two edges that is so narrow that ink runs into it",
        "move the shapes apart, or let them touch",
    ),
    note("no-profile", "a file that doesn't say which colors its numbers are", "export it with its color profile"),
    warning(
        "no-resolution",
        "a file that doesn't say its resolution",
        "write the resolution into it; seamfast size says which goes with a size",
    ),
    warning(
        "no-size",
        "a drawing that doesn't say its true size",
        "write width and height with units, for example width=\"8in\"",
    ),
    warning(
        "not-judged",
        "a part of the file that was not looked at",
        "save the tile with nothing but its picture in it",
    ),
    note("not-measured", "lines or gaps that could not be measured", "look at them yourself, at true size"),
    note(
        "odd-resolution",
        "a resolution that is no whole number",
        "sample the design again at a whole resolution, or say the size when you upload it",
    ),
    note(
        "one-way",
        "a design that is another one upside down",
        "turn some of each motif upside down, or say so where you sell it",
    ),
    note("other-profile", "colors that are not sRGB", "convert it to sRGB, unless the printer asks for this profile"),
    warning(
        "part-pixels",
        "a page that is no whole number of pixels",
        "choose a size or resolution that gives whole pixels; seamfast size names some",
    ),
    note(
        "sixteen-bits",
        "a file that is finer than what is judged",
        "nothing, unless the fault looked for is less than one level in 255",
    ),
    warning(
        "thin-line",
        "a line, or a long thin part of a shape, that is too thin to print whole",
        "make it thicker, or place the motif larger",
    ),
    note(
        "transparent",
        "pixels through which the goods show; a warning where the goods need a ground",
        "give it a ground, unless the goods are to show through",
    ),
    warning(
        "unequal-resolution",
        "another resolution across than down",
        "write one resolution for both, or print it in its own proportions",
    ),
    note(
        "unused-accept",
        "an acceptance in the design of what was not found",
        "take the entry out of the design, so that it hides nothing later",
    ),
];

/// The kind of a code.
pub fn finding_kind(code: &str) -> Option<&'static FindingKind> {
    FINDINGS.iter().find(|kind| kind.code == code)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_in_order_and_found() {
        assert!(FINDINGS.windows(2).all(|pair| pair[0].code < pair[1].code));
        assert!(FINDINGS.iter().all(|kind| finding_kind(kind.code) == Some(kind)));
        assert_eq!(finding_kind("thin"), None);
    }
}
