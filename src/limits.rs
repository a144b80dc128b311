//! How much a stranger's file may ask for: every bound with its name, its usual value and what it
//! counts, in one table.
//!
//! The drawings and designs that people make stay far below all of them. Whoever needs more writes
//! `nodes = 2000000` under `[limits]` in the design, or `--limit nodes=2000000`.

use std::fmt;

/// What a limit counts, which says how its value is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Things, or pixels.
    Count,
    /// Bytes of a file or of memory.
    Bytes,
    /// Hundredths of something.
    Percent,
    /// Thousandths of a second.
    Time,
}

/// One limit: a name, its value, and what it counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limit {
    /// As it is written behind `--limit` and under `[limits]`.
    pub name: &'static str,
    /// The most that is taken, in its unit; [`Unit::Time`] in milliseconds.
    pub most: u64,
    /// How the value is written.
    pub unit: Unit,
    /// What it counts.
    pub meaning: &'static str,
}

/// Makes the struct and the list of it from one table.
macro_rules! limits {
    ($($field:ident, $name:literal, $most:expr, $unit:ident, $meaning:literal;)*) => {
        /// All limits.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub struct Limits {
            $(#[doc = concat!("The ", $meaning, ".")] pub $field: Limit,)*
        }

        impl Default for Limits {
            fn default() -> Limits {
                Limits { $($field: Limit { name: $name, most: $most, unit: Unit::$unit, meaning: $meaning },)* }
            }
        }

        impl Limits {
            /// All of them, in the order of the table.
            pub fn all(&self) -> Vec<&Limit> {
                vec![$(&self.$field),*]
            }

            fn all_mut(&mut self) -> Vec<&mut Limit> {
                vec![$(&mut self.$field),*]
            }
        }
    };
}

limits! {
    time, "time", 8_000, Time, "processor time to read one file, to lay out the plan, or to paint one painting; by the clock ten times that";
    tile_time, "tile-time", 60_000, Time, "processor time to take in a finished tile that is judged; by the clock ten times that";
    cut_time, "cut-time", 120_000, Time, "processor time to work out a cut; by the clock ten times that";
    memory, "memory", 1_800_000_000, Bytes, "memory of the whole run, beside 128 MiB of its own and 64 MiB for each thread that paints";
    painted, "painted-pixels", 2_000_000_000_000, Count, "pixels painted for one tile: each shape, layer and step of a filter counts by what it covers";
    file, "file-bytes", 64 << 20, Bytes, "bytes of a drawing or a design, and of what a compressed one unpacks to";
    entities, "entity-bytes", 4 << 20, Bytes, "bytes that the entities of a drawing add to it";
    nodes, "nodes", 1_000_000, Count, "elements and texts of a drawing, before and after every use is resolved";
    depth, "depth", 256, Count, "elements inside one another";
    tree_depth, "tree-depth", 512, Count, "groups inside one another once every use is resolved";
    links, "links", 6, Count, "patterns, masks, clips and markers that lead to one another";
    marker_parts, "marker-parts", 2_000_000, Count, "parts of markers, counted again at each point they may stand on";
    things, "things", 5_000_000, Count, "things to paint, counted again with each use of a pattern, mask or clip";
    nested, "nested-drawings", 2, Count, "drawings embedded in drawings";
    image, "image-pixels", 64_000_000, Count, "pixels of one picture embedded in a drawing";
    images, "all-image-pixels", 256_000_000, Count, "pixels of all pictures embedded in a drawing";
    picture, "picture-pixels", 100_000_000, Count, "pixels of a picture that is a motif";
    picture_bytes, "picture-bytes", 512 << 20, Bytes, "bytes of such a picture's file, and of its decoded samples";
    tile, "tile-pixels", 300_000_000, Count, "pixels of a finished tile that is judged";
    tile_bytes, "tile-bytes", 1 << 30, Bytes, "bytes of such a tile's file, and of its decoded samples";
    profile, "profile-bytes", 16 << 20, Bytes, "bytes of a color profile in a TIFF, or of any other of its fields";
    pattern_depth, "pattern-depth", 3, Count, "patterns inside patterns";
    pattern_size, "pattern-size", 400, Percent, "side of a pattern's tile, in hundredths of the page's longer side";
    pattern_cells, "pattern-cells", 250_000, Count, "cells in which the patterns of a drawing are laid out";
    pattern_elements, "pattern-elements", 1_000_000, Count, "elements of the paths that patterns are laid out as";
    dashes, "dashes", 200_000, Count, "dashes in and on patterns; a dashed line elsewhere counts as whole after that";
    filter_steps, "filter-steps", 64, Count, "steps of one filter";
    all_steps, "all-filter-steps", 2_000, Count, "steps of all filters of a drawing";
    octaves, "octaves", 10, Count, "octaves of a filter's noise";
    morphology, "morphology", 5, Percent, "reach of a filter that thickens or thins, in hundredths of the page's longer side";
    effect_number, "effect-number", 1_000_000_000, Count, "size of a number that places or measures a filter, mask or pattern";
    matrix, "matrix", 15, Count, "side of a filter's matrix";
    excerpts, "excerpt-bytes", 256 << 20, Bytes, "bytes of the objects of a page by hand, each with what it refers to";
    cloth, "cloth-copies", 500_000, Count, "copies of motifs on a piece of goods, or with a bleed, in one vector file or cut";
    cut_lines, "cut-lines", 3_000_000, Count, "short lines, each within a micrometre of its curve, that all copies in a cut come to";
    placements, "placements", 100_000, Count, "places of motifs in a design";
}

/// A limit that is not set.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LimitError {
    /// No limit has this name.
    #[error("{typed:?} is not the name of a limit")]
    Unknown {
        /// What was typed.
        typed: String,
    },
    /// No value of its unit.
    #[error("{typed:?} is not a value for {name}; write for example {name} = {example}")]
    Value {
        /// The limit.
        name: &'static str,
        /// What was typed.
        typed: String,
        /// One that is.
        example: String,
    },
}

impl Limits {
    /// Sets one by its name; the value as [`Limit`]s show theirs, or a plain number.
    ///
    /// # Errors
    /// A name that no limit has, and a value that is none or is zero.
    pub fn set(&mut self, name: &str, value: &str) -> Result<(), LimitError> {
        let Some(limit) = self.all_mut().into_iter().find(|limit| limit.name == name.trim()) else {
            return Err(LimitError::Unknown { typed: name.into() });
        };
        let example = || if limit.unit == Unit::Count { limit.show() } else { format!("{:?}", limit.show()) };
        let wrong = || LimitError::Value { name: limit.name, typed: value.into(), example: example() };
        limit.most = limit.unit.read(value).filter(|most| *most > 0).ok_or_else(wrong)?;
        Ok(())
    }
}

impl Unit {
    /// The words behind a number and what each stands for; the first that divides a value shows it.
    const fn words(self) -> &'static [(&'static str, u64)] {
        match self {
            Unit::Count => &[],
            Unit::Bytes => &[
                ("GiB", 1 << 30),
                ("GB", 1_000_000_000),
                ("MiB", 1 << 20),
                ("MB", 1_000_000),
                ("KiB", 1 << 10),
                ("kB", 1_000),
                ("B", 1),
            ],
            Unit::Percent => &[("%", 1)],
            Unit::Time => &[("s", 1_000), ("ms", 1)],
        }
    }

    /// A whole number, perhaps with a word behind it; seconds and bytes may have decimals.
    fn read(self, text: &str) -> Option<u64> {
        let (number, word) = crate::length::number_and_unit(text).ok()?;
        let times = match word {
            "" if self == Unit::Time => 1_000,
            "" => 1,
            word => self.words().iter().find(|(known, _)| known.eq_ignore_ascii_case(word))?.1,
        };
        u64::try_from(number.times_rounded(i64::try_from(times).ok()?)?).ok()
    }
}

impl Limit {
    /// The value as it is written.
    pub fn show(&self) -> String {
        let shown = self.unit.words().iter().find(|(_, times)| self.most.is_multiple_of(*times));
        shown.map_or(self.most.to_string(), |(word, times)| format!("{}{word}", self.most / times))
    }

    /// How to have more of it.
    pub fn raise(&self) -> String {
        let more = Limit { most: self.most.saturating_mul(2), ..*self }.show();
        format!("allow more with --limit {}={more}", self.name)
    }

    /// Its value where memory is counted.
    pub fn size(&self) -> usize {
        usize::try_from(self.most).unwrap_or(usize::MAX)
    }

    /// A share of something.
    pub fn of(&self, whole: f64) -> f64 {
        self.most as f64 / 100.0 * whole
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.show())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_limit_is_read_as_it_is_shown() {
        let usual = Limits::default();
        for limit in usual.all() {
            let mut limits = Limits::default();
            limits.set(limit.name, "7").unwrap();
            assert_ne!(limits, usual, "{} was not set", limit.name);
            limits.set(limit.name, &limit.show()).unwrap();
            assert_eq!(limits, usual, "{} reads {}", limit.name, limit.show());
        }
    }

    #[test]
    fn values_have_units_of_their_own() {
        let mut limits = Limits::default();
        for (name, value, most) in [
            ("memory", "2 GiB", 2 << 30),
            ("memory", "1.5GB", 1_500_000_000),
            ("time", "0.25", 250),
            ("time", "3s", 3_000),
            ("morphology", "12%", 12),
        ] {
            limits.set(name, value).unwrap();
            let found = limits.all().into_iter().find(|l| l.name == name).unwrap().most;
            assert_eq!(found, most, "{name}={value}");
        }
        for (name, value, said) in [
            ("node", "5", "\"node\" is not the name of a limit"),
            ("nodes", "5s", "\"5s\" is not a value for nodes; write for example nodes = 1000000"),
            ("nodes", "0", "\"0\" is not a value for nodes; write for example nodes = 1000000"),
            ("time", "-1", "\"-1\" is not a value for time; write for example time = \"3s\""),
            ("memory", "", "\"\" is not a value for memory; write for example memory = \"1500MB\""),
        ] {
            assert_eq!(limits.set(name, value).unwrap_err().to_string(), said);
        }
    }
}
