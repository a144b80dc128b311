//! An SVG of one tile, or of a piece of goods: each motif once, each copy a `<use>` of it. The same as the cell of a
//! pattern, for programs that fill shapes with one.
//!
//! One user unit is one pixel of the delivery's grid, so lattice steps are whole numbers and
//! positions (1/256 unit) are short exact decimals: two copies of a mark differ by exactly a
//! lattice step, as printed.

use std::fmt::Write;

use usvg::WriteOptions;
use usvg::roxmltree::{Document, Node};

use super::sheet::Piece;
use crate::artwork::Motif;
use crate::length::{Length, Unit};
use crate::wrap::{Copies, Copy};

/// How the tile is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SvgOptions {
    /// Cut the copies at the edge of what is shown with a clip path; else they hang over it whole.
    pub clip: bool,
}

/// Writes the piece. `name` becomes its title.
pub fn svg(copies: &Copies, motifs: &[Motif], name: &str, piece: &Piece, options: SvgOptions) -> String {
    let mut out = String::new();
    head(&mut out, name, piece);
    out.push_str("<defs>\n");
    if options.clip {
        let [width, height] = piece.units;
        let _ = writeln!(out, "<clipPath id=\"tile\"><path d=\"M0 0H{width}V{height}H0Z\"/></clipPath>");
    }
    drawings(&mut out, copies, motifs);
    out.push_str("</defs>\n");
    ground(&mut out, copies, piece.units);
    out.push_str(if options.clip { "<g clip-path=\"url(#tile)\">\n" } else { "<g>\n" });
    uses(&mut out, copies, motifs);
    out.push_str("</g>\n</svg>\n");
    out
}

/// The piece filled by a pattern whose cell is the tile. What crosses the tile's edge stands in the cell on both
/// sides, since the cell cuts it off (SVG 1.1, 13.3).
pub fn pattern_svg(copies: &Copies, motifs: &[Motif], name: &str, piece: &Piece) -> String {
    let tile = [copies.tile().width as f64, copies.tile().height as f64];
    let mut out = String::new();
    head(&mut out, name, piece);
    out.push_str("<defs>\n");
    drawings(&mut out, copies, motifs);
    let [width, height] = tile;
    let _ =
        writeln!(out, "<pattern id=\"tile\" patternUnits=\"userSpaceOnUse\" width=\"{width}\" height=\"{height}\">");
    ground(&mut out, copies, tile);
    out.push_str("<g>\n");
    uses(&mut out, copies, motifs);
    out.push_str("</g>\n</pattern>\n</defs>\n");
    let [width, height] = piece.units;
    let _ = writeln!(out, "<rect width=\"{width}\" height=\"{height}\" fill=\"url(#tile)\"/>\n</svg>");
    out
}

/// The root of a piece at its true size, and its title.
pub(super) fn head(out: &mut String, name: &str, piece: &Piece) {
    let ([width, height], [across, down]) = (piece.units, true_sizes(piece));
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
         width=\"{across}\" height=\"{down}\" viewBox=\"0 0 {width} {height}\" preserveAspectRatio=\"none\">",
    );
    let _ = writeln!(out, "<title>{}</title>", escaped(name));
}

/// Each motif that is placed, once.
fn drawings(out: &mut String, copies: &Copies, motifs: &[Motif]) {
    for (index, motif) in motifs.iter().enumerate() {
        if copies.marks().iter().any(|mark| mark.motif == index) {
            let drawing = drawing(&format!("m{}.", index + 1), motif);
            let _ = writeln!(out, "<g id=\"{}\">\n{drawing}\n</g>", id(index, motif));
        }
    }
}

fn ground(out: &mut String, copies: &Copies, [width, height]: [f64; 2]) {
    if let Some([r, g, b]) = copies.ground() {
        let _ = writeln!(out, "<rect width=\"{width}\" height=\"{height}\" fill=\"#{r:02x}{g:02x}{b:02x}\"/>");
    }
}

fn uses(out: &mut String, copies: &Copies, motifs: &[Motif]) {
    for copy in copies.copies() {
        let motif = copies.marks()[copy.mark].motif;
        let matrix = matrix(copies, motifs, copy).map(|n| n.to_string()).join(" ");
        let _ = writeln!(out, "<use xlink:href=\"#{}\" transform=\"matrix({matrix})\"/>", id(motif, &motifs[motif]));
    }
}

/// The matrix about the page's middle; the middle itself is moved there inside the motif.
pub(super) fn matrix(copies: &Copies, motifs: &[Motif], copy: &Copy) -> [f64; 6] {
    let mark = &copies.marks()[copy.mark];
    let [a, b, c, d, ..] = mark.to_units(&motifs[mark.motif], copy.step).as_coeffs();
    let [x, y] = mark.spot().moved(copy.step).units();
    // Adding zero turns -0 into 0.
    [a, b, c, d, x, y].map(|n| n + 0.0)
}

/// The drawing without its root element, ids made its own by a prefix, its page's middle at the origin.
pub(super) fn drawing(prefix: &str, motif: &Motif) -> String {
    let options = WriteOptions { id_prefix: Some(prefix.into()), ..WriteOptions::default() };
    let text = motif.tree().to_string(&options);
    let start = text.find('>').map_or(0, |i| i + 1);
    let end = text.rfind("</svg>").unwrap_or(text.len());
    let middle = motif.middle();
    let inner = text.get(start..end).unwrap_or_default().trim_matches('\n');
    format!("<g transform=\"translate({} {})\">\n{inner}\n</g>", -middle.x, -middle.y)
}

/// `m1-limpet`: a name that no id inside a motif can have.
fn id(index: usize, motif: &Motif) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() || c == '_' { c } else { '-' };
    format!("m{}-{}", index + 1, motif.name().chars().map(plain).collect::<String>())
}

/// Both sides in one unit: inches where they are short decimals, else millimetres.
pub(super) fn true_sizes(piece: &Piece) -> [String; 2] {
    let size = piece.size;
    let sides = [size.width, size.height];
    let short = |length: Length| length.emu() * 10_000 % Unit::In.emu() == 0;
    let (unit, digits) = if sides.into_iter().all(short) { (Unit::In, 4) } else { (Unit::Mm, 6) };
    sides.map(|side| side.show(unit, digits))
}

pub(super) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

/// Why an SVG is not as it should be.
#[derive(Debug, thiserror::Error)]
pub enum SvgError {
    /// It differs from the plan.
    #[error("the SVG does not read back as it was planned: {0}")]
    Differs(String),
    /// Each copy has its own paths and pictures, which is too much.
    #[error("with {motif} it comes to more than {most} MiB; write as = [\"svg\"], where each motif stands once")]
    TooLarge {
        /// The motif.
        motif: String,
        /// The most, in MiB.
        most: usize,
    },
}

/// Reads a written SVG with an XML reader of its own and holds it against the plan: its
/// size, every copy in order, each position to the last decimal. With `patterned` the copies stand in a pattern's cell.
///
/// # Errors
/// The first thing that differs.
pub fn read_back(
    text: &str,
    copies: &Copies,
    motifs: &[Motif],
    piece: &Piece,
    patterned: bool,
) -> Result<(), SvgError> {
    let document = Document::parse(text).map_err(|e| SvgError::Differs(e.to_string()))?;
    let root = document.root_element();
    sized(&root, piece)?;
    let mut body = root.children().rfind(Node::is_element);
    if patterned {
        same("the piece's fill", body.and_then(|rect| rect.attribute("fill")), "url(#tile)")?;
        let pattern = root.descendants().find(|node| node.has_tag_name("pattern"));
        let side = |name| pattern.and_then(|pattern| pattern.attribute(name));
        same("the pattern's width", side("width"), &copies.tile().width.to_string())?;
        same("the pattern's height", side("height"), &copies.tile().height.to_string())?;
        same("the pattern's units", side("patternUnits"), "userSpaceOnUse")?;
        body = pattern.and_then(|pattern| pattern.children().rfind(Node::is_element));
    }
    let uses: Vec<Node> = body.into_iter().flat_map(|g| g.children()).filter(|n| n.has_tag_name("use")).collect();
    if uses.len() != copies.copies().len() {
        return Err(SvgError::Differs(format!("it holds {} copies, not {}", uses.len(), copies.copies().len())));
    }
    for (node, copy) in uses.iter().zip(copies.copies()) {
        let motif = copies.marks()[copy.mark].motif;
        let href = node.attribute(("http://www.w3.org/1999/xlink", "href"));
        same("a copy's motif", href, &format!("#{}", id(motif, &motifs[motif])))?;
        let numbers = node.attribute("transform").and_then(|t| t.strip_prefix("matrix(")?.strip_suffix(')'));
        let numbers: Vec<f64> = numbers.unwrap_or_default().split(' ').filter_map(|n| n.parse().ok()).collect();
        if numbers != matrix(copies, motifs, copy) {
            return Err(SvgError::Differs(format!("a copy lies at {numbers:?}")));
        }
    }
    Ok(())
}

/// Holds a root against the piece's true size and units.
pub(super) fn sized(root: &Node<'_, '_>, piece: &Piece) -> Result<(), SvgError> {
    let [units, [width, height]] = [piece.units.map(|n| n.to_string()), true_sizes(piece)];
    same("viewBox", root.attribute("viewBox"), &format!("0 0 {} {}", units[0], units[1]))?;
    same("width", root.attribute("width"), &width)?;
    same("height", root.attribute("height"), &height)
}

pub(super) fn same(what: &str, found: Option<&str>, want: &str) -> Result<(), SvgError> {
    if found == Some(want) { Ok(()) } else { Err(SvgError::Differs(format!("{what} is {found:?}, not {want:?}"))) }
}
