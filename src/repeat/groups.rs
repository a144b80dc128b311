//! The table of the 17 plane groups, by the names and operators of International Tables for Crystallography, vol. A.
//!
//! The seven frieze groups (vol. E) are those of these groups that leave a border's two sides where they are or swap
//! them; they have the same operators.

/// What a group asks of the block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cell {
    /// Nothing: any lattice will do.
    Oblique,
    /// Steps straight across and straight down.
    Rectangular,
    /// The same, and one more step to the middle.
    Centered,
    /// As wide as high.
    Square,
    /// √3 times as high as wide, with a step to the middle.
    Hexagonal,
}

/// One of the 17.
#[derive(Debug)]
pub(super) struct Group {
    pub(super) name: &'static str,
    /// The full symbol, where it is another.
    pub(super) full: &'static str,
    /// The full symbol with the two axes exchanged, where that is another pattern.
    pub(super) exchanged: Option<&'static str>,
    /// What the trade calls it (common practice, no source).
    pub(super) trade: Option<&'static str>,
    pub(super) cell: Cell,
    /// General positions in the conventional cell, without the centring, x′ and y′ for x and y; those of
    /// the hexagonal groups in axes that meet at 120°.
    pub(super) operators: &'static [&'static str],
    /// The frieze group with the same operators, and with the axes exchanged.
    pub(super) friezes: [Option<&'static str>; 2],
}

const NONE: [Option<&str>; 2] = [None, None];

pub(super) const GROUPS: [Group; 17] = [
    group("p1", "p1", None, None, Cell::Oblique, &["x,y"], [Some("p1"), None]),
    group("p2", "p211", None, Some("turn"), Cell::Oblique, &["x,y", "-x,-y"], [Some("p211"), None]),
    group(
        "pm",
        "p1m1",
        Some("p11m"),
        Some("turnover"),
        Cell::Rectangular,
        &["x,y", "-x,y"],
        [Some("p1m1"), Some("p11m")],
    ),
    group("pg", "p1g1", Some("p11g"), None, Cell::Rectangular, &["x,y", "-x,y+1/2"], [None, Some("p11g")]),
    group("cm", "c1m1", Some("c11m"), None, Cell::Centered, &["x,y", "-x,y"], NONE),
    group(
        "p2mm",
        "p2mm",
        None,
        Some("mirror"),
        Cell::Rectangular,
        &["x,y", "-x,-y", "-x,y", "x,-y"],
        [Some("p2mm"), None],
    ),
    group(
        "p2mg",
        "p2mg",
        Some("p2gm"),
        None,
        Cell::Rectangular,
        &["x,y", "-x,-y", "-x+1/2,y", "x+1/2,-y"],
        [Some("p2mg"), None],
    ),
    group("p2gg", "p2gg", None, None, Cell::Rectangular, &["x,y", "-x,-y", "-x+1/2,y+1/2", "x+1/2,-y+1/2"], NONE),
    group("c2mm", "c2mm", None, None, Cell::Centered, &["x,y", "-x,-y", "-x,y", "x,-y"], NONE),
    group("p4", "p4", None, Some("pinwheel"), Cell::Square, &["x,y", "-x,-y", "-y,x", "y,-x"], NONE),
    group(
        "p4mm",
        "p4mm",
        None,
        Some("kaleidoscope"),
        Cell::Square,
        &["x,y", "-x,-y", "-y,x", "y,-x", "-x,y", "x,-y", "y,x", "-y,-x"],
        NONE,
    ),
    group(
        "p4gm",
        "p4gm",
        None,
        None,
        Cell::Square,
        &["x,y", "-x,-y", "-y,x", "y,-x", "-x+1/2,y+1/2", "x+1/2,-y+1/2", "y+1/2,x+1/2", "-y+1/2,-x+1/2"],
        NONE,
    ),
    group("p3", "p3", None, None, Cell::Hexagonal, &["x,y", "-y,x-y", "-x+y,-x"], NONE),
    group("p3m1", "p3m1", None, None, Cell::Hexagonal, &["x,y", "-y,x-y", "-x+y,-x", "-y,-x", "-x+y,y", "x,x-y"], NONE),
    group("p31m", "p31m", None, None, Cell::Hexagonal, &["x,y", "-y,x-y", "-x+y,-x", "y,x", "x-y,-y", "-x,-x+y"], NONE),
    group("p6", "p6", None, None, Cell::Hexagonal, &["x,y", "-y,x-y", "-x+y,-x", "-x,-y", "y,-x+y", "x-y,x"], NONE),
    group(
        "p6mm",
        "p6mm",
        None,
        None,
        Cell::Hexagonal,
        &[
            "x,y", "-y,x-y", "-x+y,-x", "-x,-y", "y,-x+y", "x-y,x", "-y,-x", "-x+y,y", "x,x-y", "y,x", "x-y,-y",
            "-x,-x+y",
        ],
        NONE,
    ),
];

const fn group(
    name: &'static str,
    full: &'static str,
    exchanged: Option<&'static str>,
    trade: Option<&'static str>,
    cell: Cell,
    operators: &'static [&'static str],
    friezes: [Option<&'static str>; 2],
) -> Group {
    Group { name, full, exchanged, trade, cell, operators, friezes }
}
