//! A design file with other tossed motifs: everything else stays as the person wrote it.

use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, value};

use super::error::DesignError;
use crate::length::{Unit, trim_zeros};

/// What lengths are written in: parts of a unit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Grid {
    pub(super) unit: Unit,
    pub(super) parts: i64,
}

impl Grid {
    /// One part, in EMU.
    pub(super) fn emu(self) -> f64 {
        self.unit.emu() as f64 / self.parts as f64
    }

    /// The nearest short decimal.
    #[allow(clippy::cast_possible_truncation, reason = "rounded first; places lie on the block")]
    pub(super) fn text(self, emu: f64) -> String {
        let parts = (emu / self.emu()).round() as i64;
        let digits = if self.parts == 100 { 2 } else { 3 };
        let (whole, rest) = (parts.abs() / self.parts, parts.abs() % self.parts);
        let sign = if parts < 0 { "-" } else { "" };
        format!("{sign}{}{}", trim_zeros(&format!("{whole}.{rest:0digits$}")), self.unit.name())
    }
}

/// One `[[motif]]` that was tossed.
#[derive(Clone, Debug)]
pub(super) struct Section {
    pub(super) file: String,
    pub(super) width: Option<String>,
    pub(super) trim: bool,
    pub(super) at: [String; 2],
    /// The kind of place it lies on, from 1, where motifs alternate.
    pub(super) place: Option<usize>,
    pub(super) turn: f64,
}

/// The text with these tossed motifs instead of those that it has, and with the seed if one is given.
///
/// # Errors
/// Motifs that stand in a list instead of sections.
pub(super) fn rewritten(text: &str, sections: &[Section], seed: Option<u64>) -> Result<String, DesignError> {
    let failed = |e: toml_edit::TomlError| DesignError::new(format!("this is no valid TOML: {}", e.message()));
    let mut doc: DocumentMut = text.parse().map_err(failed)?;
    let motifs = doc.entry("motif").or_insert(Item::ArrayOfTables(ArrayOfTables::new()));
    let Some(motifs) = motifs.as_array_of_tables_mut() else {
        let e = DesignError::new("the motifs stand in one list, which can't be added to");
        return Err(e.with_hint("write each under a heading of its own, [[motif]]"));
    };
    let tossed = |table: &Table| table.get("tossed").and_then(Item::as_bool).unwrap_or(false);
    // What a person wrote above a section that goes is kept above the first new one.
    let old: Vec<&Table> = motifs.iter().filter(|table| tossed(table)).collect();
    let above: String =
        old.iter().filter_map(|table| table.decor().prefix()?.as_str()).filter(|s| s.contains('#')).collect();
    let place = old.first().and_then(|table| table.position());
    motifs.retain(|table| !tossed(table));
    for (index, section) in sections.iter().enumerate() {
        let mut table = written(section);
        let first = if index == 0 && !above.is_empty() { &above } else { "\n" };
        table.decor_mut().set_prefix(first);
        table.set_position(place);
        motifs.push(table);
    }
    if motifs.is_empty() {
        doc.remove("motif");
    }
    if let (Some(seed), Some(toss)) = (seed, doc.get_mut("toss").and_then(Item::as_table_like_mut)) {
        let seed = i64::try_from(seed).unwrap_or(i64::MAX);
        match toss.get_mut("seed").and_then(Item::as_value_mut) {
            // The old value's spaces and comment stay.
            Some(old) => {
                let decor = old.decor().clone();
                *old = seed.into();
                *old.decor_mut() = decor;
            }
            None => drop(toss.insert("seed", value(seed))),
        }
    }
    Ok(with_ends_of(text, doc.to_string()))
}

/// New text with the line ends of the old.
pub(super) fn with_ends_of(text: &str, new: String) -> String {
    let all_crlf = text.contains("\r\n") && text.matches('\n').count() == text.matches("\r\n").count();
    if all_crlf { new.replace("\r\n", "\n").replace('\n', "\r\n") } else { new }
}

fn written(section: &Section) -> Table {
    let mut table = Table::new();
    table.insert("file", value(&section.file));
    if let Some(width) = &section.width {
        table.insert("width", value(width));
    }
    if section.trim {
        table.insert("trim", value(true));
    }
    table.insert("at", value(section.at.iter().map(String::as_str).collect::<Array>()));
    if let Some(place) = section.place.and_then(|place| i64::try_from(place).ok()) {
        table.insert("place", value(place));
    }
    let turn = format!("{:.1}", section.turn);
    // A whole number of degrees is written as one.
    let turn = trim_zeros(&turn);
    match turn.parse::<i64>() {
        Ok(0) => {}
        Ok(whole) => drop(table.insert("turn", value(whole))),
        Err(_) => drop(table.insert("turn", value(turn.parse::<f64>().unwrap_or_default()))),
    }
    table.insert("tossed", value(true));
    table
}
