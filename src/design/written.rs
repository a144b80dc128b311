//! The design as a person writes it: TOML, every value still text with its place.

use std::collections::BTreeMap;
use std::path::Path;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use toml::Spanned;

use super::checked::{AcceptEntry, CheckEntry};
use super::error::DesignError;
use super::slips::explain;
use super::toss::TossEntry;
use crate::limits::{LimitError, Limits};

/// A whole design, as written. All lengths and names are still text.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "Seamfast design")]
pub struct Design {
    /// What the files are called; without it, the design file's own name.
    #[schemars(with = "Option<String>")]
    pub name: Option<Spanned<String>>,
    /// The background, a CSS color such as "#f3eee3"; "none" or nothing is no background.
    #[schemars(with = "Option<String>", extend("examples" = ["#f3eee3", "linen", "none"]))]
    pub ground: Option<Spanned<String>>,
    /// An SVG page laid out by hand, instead of motifs: the page is the block.
    #[schemars(with = "Option<String>")]
    pub croquis: Option<Spanned<String>>,
    /// Codes of what the artwork may lose, for example "script".
    #[serde(default)]
    #[schemars(with = "Vec<String>")]
    pub allow: Vec<Spanned<String>>,
    /// How much the artwork may ask for, for example nodes = 2000000; `seamfast limits` lists the names.
    #[serde(default)]
    #[schemars(schema_with = "limits_schema")]
    pub limits: BTreeMap<String, Spanned<Amount>>,
    /// Fonts that stand in for fonts that are not on this machine, and for letters that a font lacks:
    /// the font as the drawing names it = the font to take instead.
    #[serde(default)]
    #[schemars(with = "BTreeMap<String, String>", extend("examples" = [{"Harbour Script": "DejaVu Serif"}]))]
    pub fonts: BTreeMap<String, Spanned<String>>,
    /// What `seamfast check` judges the tile by.
    #[serde(default)]
    pub check: CheckEntry,
    /// Findings of `seamfast check` that are known and meant.
    #[serde(default, rename = "accept")]
    pub accepts: Vec<AcceptEntry>,
    /// Layout and size.
    #[serde(default)]
    pub repeat: RepeatEntry,
    /// Motifs to be strewn; `seamfast toss` writes their places.
    pub toss: Option<TossEntry>,
    /// The motifs' places, in painting order.
    #[serde(default, rename = "motif")]
    pub motifs: Vec<Entry>,
    /// The files to make.
    #[serde(default, rename = "deliver")]
    pub deliveries: Vec<Deliver>,
}

/// `[repeat]`: layout and size.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RepeatEntry {
    /// How blocks follow one another; half-drop without a word.
    #[schemars(with = "Option<String>", extend("examples" = ["straight", "half-drop", "brick", "drop=1/3", "brick=1/3", "mirror", "mirror-across", "mirror-down", "mirror-drop", "turn", "turn-drop", "pinwheel", "ogee", "diamond", "hexagonal", "satin=5", "stripes", "rows", "checker", "border"]))]
    pub layout: Option<Spanned<String>>,
    /// A plane group by its International Tables name, p1 to p6mm: the block is its conventional cell, and
    /// it brings its own steps. p1, p2 and a border's seven go with a layout.
    #[schemars(with = "Option<String>", extend("examples" = ["p2mm", "p4", "p4mm", "p31m", "p6mm"]))]
    pub symmetry: Option<Spanned<String>>,
    /// Which blocks are alike where motifs alternate: columns, rows or checker, two kinds of place without
    /// a number such as columns=3; each motif then says its place.
    #[schemars(with = "Option<String>", extend("examples" = ["columns", "rows", "checker", "columns=3"]))]
    pub alternate: Option<Spanned<String>>,
    /// The block's size, for example "4in x 8in", "20x25cm" or "1200px".
    #[schemars(with = "Option<String>")]
    pub block: Option<Spanned<String>>,
    /// The tile's size; without block and tile it is 8in.
    #[schemars(with = "Option<String>")]
    pub tile: Option<Spanned<String>>,
}

/// `[[motif]]`: one motif in one place.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// The SVG file, from the design file's folder.
    #[schemars(with = "String")]
    pub file: Spanned<String>,
    /// The motif page's width on the goods; the height follows unless it is given too.
    #[schemars(with = "Option<String>")]
    pub width: Option<Spanned<String>>,
    /// The motif page's height on the goods.
    #[schemars(with = "Option<String>")]
    pub height: Option<Spanned<String>>,
    /// Times the motif's own true size, instead of width and height.
    #[schemars(with = "Option<f64>")]
    pub scale: Option<Spanned<f64>>,
    /// Take the motif's ink for its page: what width, height and at mean is then the ink, without the
    /// paper around it.
    #[serde(default)]
    pub trim: bool,
    /// Where the page's middle lies, across and down: shares of the block ("50%") or lengths from
    /// its top left corner; without it, the middle of the block.
    #[schemars(with = "Option<[String; 2]>")]
    pub at: Option<Spanned<Vec<Spanned<String>>>>,
    /// Where motifs alternate, the kind of place it lies on, from 1; without it, on all.
    #[schemars(with = "Option<i64>")]
    pub place: Option<Spanned<i64>>,
    /// Degrees, clockwise.
    #[schemars(with = "Option<f64>")]
    pub turn: Option<Spanned<f64>>,
    /// Mirrored before it is turned: across (left to right), down, or both.
    #[schemars(with = "Option<String>", extend("examples" = ["across", "down", "both", "none"]))]
    pub flip: Option<Spanned<String>>,
    /// Higher lies above lower.
    #[serde(default)]
    pub layer: i32,
    /// It may overlap other motifs that are placed by hand, and its own copies in the next blocks; what is strewn
    /// keeps its gap to it all the same.
    #[serde(default)]
    pub overlap: bool,
    /// Strewn by `seamfast toss`, which replaces it the next time; without this line it stays where it is.
    #[serde(default)]
    pub tossed: bool,
}

impl Entry {
    /// A motif of which nothing is said but its file.
    pub fn of(file: Spanned<String>) -> Entry {
        Entry {
            file,
            width: None,
            height: None,
            scale: None,
            trim: false,
            at: None,
            place: None,
            turn: None,
            flip: None,
            layer: 0,
            overlap: false,
            tossed: false,
        }
    }
}

/// `[[deliver]]`: files from one resolution.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Deliver {
    /// svg, png, tiff, jpeg, pdf, pattern-svg, pattern-pdf, plain-svg; without it the first three.
    #[serde(rename = "as")]
    #[schemars(with = "Option<Vec<String>>", extend("examples" = [["svg", "png", "tiff"], ["svg"], ["png"], ["tiff"], ["pdf"], ["pattern-svg", "pattern-pdf", "plain-svg"]]))]
    pub kinds: Option<Vec<Spanned<String>>>,
    /// Pixels per inch: a number, or text such as "10px/mm"; without it 150.
    #[schemars(with = "Option<Amount>")]
    pub dpi: Option<Spanned<Amount>>,
    /// The files' name, if not the design's.
    #[schemars(with = "Option<String>")]
    pub name: Option<Spanned<String>>,
    /// Refuse a size that these pixels don't meet exactly.
    #[serde(default)]
    pub exact: bool,
    /// How a TIFF is packed: deflate (without a word), lzw or none.
    #[schemars(with = "Option<String>", extend("examples" = ["deflate", "lzw", "none"]))]
    pub packing: Option<Spanned<String>>,
    /// How a PNG keeps its colors: full (without a word), grey or palette; the art must allow it.
    #[schemars(with = "Option<String>")]
    pub colors: Option<Spanned<String>>,
    /// A JPEG's quality, 1 to 100; without it 92.
    #[schemars(with = "Option<i64>")]
    pub quality: Option<Spanned<i64>>,
    /// No file may be larger: a count of bytes, or text such as "25MB".
    #[schemars(with = "Option<Amount>")]
    pub max_bytes: Option<Spanned<Amount>>,
    /// Cut an SVG's copies at the tile's edge.
    #[serde(default)]
    pub clip: bool,
    /// How much of the neighbors a PDF shows around its page, for example "3mm"; without it, none.
    #[schemars(with = "Option<String>", extend("examples" = ["3mm", "0.125in"]))]
    pub bleed: Option<Spanned<String>>,
    /// A piece of printed goods, for example "54in x 1yd": svg, pdf and plain-svg show it instead of the tile, and a
    /// pattern fills it.
    #[schemars(with = "Option<String>", extend("examples" = ["54in x 1yd"]))]
    pub cloth: Option<Spanned<String>>,
    /// What the flat colors of a PDF are: srgb (without a word), or separation, each an ink of its own.
    #[schemars(with = "Option<String>", extend("examples" = ["srgb", "separation"]))]
    pub inks: Option<Spanned<String>>,
}

/// A number, or a number as text with its unit.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged, expecting = "invalid type, expected a resolution, for example 300 or \"10px/mm\"")]
pub enum Amount {
    /// A whole number.
    Whole(i64),
    /// A number.
    Number(f64),
    /// Text.
    Text(String),
}

impl std::fmt::Display for Amount {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Amount::Whole(n) => n.fmt(f),
            Amount::Number(n) => n.fmt(f),
            Amount::Text(text) => text.fmt(f),
        }
    }
}

impl Design {
    /// Reads a design file's text.
    ///
    /// # Errors
    /// What is not TOML, and names that no design has; with the place in the file.
    pub fn parse(text: &str, path: &Path) -> Result<Design, DesignError> {
        toml::from_str(text).map_err(|e| explain(&e, text).in_file(path, text))
    }

    /// The limits, with those that the design sets.
    ///
    /// # Errors
    /// A name or a value that is none.
    pub fn limits(&self) -> Result<Limits, DesignError> {
        let mut limits = Limits::default();
        for (name, value) in &self.limits {
            limits.set(name, &value.get_ref().to_string()).map_err(|e| {
                let known: Vec<&str> = Limits::default().all().iter().map(|limit| limit.name).collect();
                let error = DesignError::about("limit", value, &e);
                match e {
                    LimitError::Unknown { .. } => error.or_meant(name, known.iter().copied()),
                    LimitError::Value { .. } => error,
                }
            })?;
        }
        Ok(limits)
    }
}

/// The names of all limits, each with its meaning.
fn limits_schema(generator: &mut SchemaGenerator) -> Schema {
    let amount = generator.subschema_for::<Amount>();
    let mut words = serde_json::Map::new();
    for limit in Limits::default().all() {
        let about = format!("The most {}; without it {limit}.", limit.meaning);
        words.insert(limit.name.into(), serde_json::json!({ "allOf": [amount], "description": about }));
    }
    json_schema!({ "type": "object", "additionalProperties": false, "properties": words })
}

/// The JSON Schema of design files, for editors.
pub fn schema() -> String {
    let schema = schemars::schema_for!(Design);
    serde_json::to_string_pretty(&schema).unwrap_or_default()
}
