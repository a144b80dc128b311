//! A commented design file to begin with.

use std::fmt::Write;

use super::error::DesignError;
use super::measure::stem;
use super::spread::even;
use crate::length::{Size, Unit};

/// A motif for a new design.
#[derive(Clone, Debug)]
pub struct StarterMotif {
    /// Its file, as it will be found from the design file.
    pub file: String,
    /// Its own true size, if the drawing says it.
    pub size: Option<Size>,
}

/// The text of a design with these motifs spread over an 8 in half-drop tile.
///
/// # Errors
/// A name that no file can have.
pub fn starter(name: &str, motifs: &[StarterMotif]) -> Result<String, DesignError> {
    let name = stem(&toml::Spanned::new(0..0, name.into()))?;
    let quoted = |text: &str| toml::Value::String(text.into()).to_string();
    let mut out = String::new();
    let _ = write!(
        out,
        "# A Seamfast design. Make its files with: seamfast make {name}.toml\n\
         \n\
         name   = {}\n\
         ground = \"#f3eee3\"      # the background; \"none\" leaves it out\n\
         \n\
         [repeat]\n\
         layout = \"half-drop\"    # or straight, brick, drop=1/3, mirror, ogee, hexagonal, checker …: README.md has them all\n\
         block  = \"4in x 8in\"    # two of them side by side, one dropped by half, make the 8 in tile\n",
        quoted(&name)
    );
    if motifs.is_empty() {
        out.push_str(
            "\n# [[motif]]\n# file  = \"limpet.svg\"   # a drawing or picture, from this file's folder; one section for each place\n",
        );
    }
    for (motif, [x, y]) in motifs.iter().zip(even(motifs.len(), [4.0, 8.0])) {
        let width = match motif.size {
            Some(size) => {
                format!("# width = \"2.5in\"       # without it the drawing's own, {}", size.width.show(Unit::In, 3))
            }
            None => "width = \"2.5in\"         # the drawing does not say its own".into(),
        };
        let at = format!("at    = [\"{x}\", \"{y}\"]");
        let _ = write!(
            out,
            "\n\
             [[motif]]\n\
             file  = {}\n\
             {width}\n\
             {at:23} # its middle on the block: shares, or lengths such as \"2in\"\n\
             turn  = 0               # degrees, clockwise\n",
            quoted(&motif.file)
        );
    }
    out.push_str(&strewn(name.as_ref(), &motifs.first().map_or("\"limpet.svg\"".into(), |motif| quoted(&motif.file))));
    out.push_str(
        "\n\
         [[deliver]]\n\
         as  = [\"svg\", \"png\", \"tiff\"]\n\
         dpi = 150               # 150 is usual for cloth, 300 for paper\n",
    );
    Ok(out)
}

/// What is written of strewing: a sentence, and sections that are taken in by their first character.
fn strewn(name: &str, file: &str) -> String {
    let gap = "\"3mm\"";
    format!(
        "\n\
         # Motifs can be strewn around those above: take the first # off these lines, then: seamfast toss {name}.toml\n\
         # [toss]\n\
         # gap   = {gap}                # between outlines, at least\n\
         # turns = \"any\"                # one-way, two-way, four-way or any\n\
         # [[toss.motif]]               # one section for each; take out a [[motif]] above that is not to stay there\n\
         # file  = {file}\n\
         # width = [\"0.8in\", \"1.4in\"]   # or one width; share = 2: two of it to one of another\n"
    )
}
