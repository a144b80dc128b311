//! Why a drawing is not taken in: what, where, the value; the hint says what to write instead.

use std::path::PathBuf;

use super::losses::Loss;
use crate::limits::Limit;

/// Why a drawing is not taken in. `name` is the drawing's, `line` and `column` count from 1.
#[derive(Debug, thiserror::Error)]
#[allow(missing_docs)] // the fields are what the messages say they are
pub enum ArtworkError {
    /// The file can't be opened or read.
    #[error("{}: cannot be read: {}", path.display(), plain(source))]
    Unreadable { path: PathBuf, source: std::io::Error },
    /// A folder where a file is needed.
    #[error("{}: is a folder, not a drawing", path.display())]
    Folder { path: PathBuf },
    /// Nothing in the file.
    #[error("{name}: the file is empty")]
    Empty { name: String },
    /// Another kind of file.
    #[error("{name}: is {kind}, not an SVG drawing")]
    NotSvg { name: String, kind: &'static str },
    /// Neither of the kinds of picture.
    #[error("{name}: is neither a PNG, TIFF, JPEG or WebP picture nor an SVG drawing")]
    NoPicture { name: String },
    /// Bytes that are no UTF-8.
    #[error("{name}:{line}: byte {byte:#04x} is not UTF-8 text")]
    NotUtf8 { name: String, line: usize, byte: u8 },
    /// Not well-formed.
    #[error("{name}:{line}:{column}: is not well-formed XML: {what}")]
    NotXml { name: String, line: u32, column: u32, what: String },
    /// XML of another kind.
    #[error("{name}:{line}: the first element is <{root}>, not <svg> of the SVG namespace")]
    NotSvgRoot { name: String, line: u32, root: String },
    /// A compressed file that can't be unpacked.
    #[error("{name}: the compressed drawing is damaged: {what}")]
    Damaged { name: String, what: String },
    /// Neither a size nor a viewBox.
    #[error("{name}:{line}: the drawing has no size: <svg> has no width and height in fixed units, and no viewBox")]
    NoSize { name: String, line: u32 },
    /// A size that is none.
    #[error("{name}:{line}: {attribute}={value:?} {problem}")]
    BadSize { name: String, line: u32, attribute: &'static str, value: String, problem: &'static str },
    /// More than is safe to take in.
    #[error("{name}: {what}: {value}; the most is {limit}")]
    TooMuch { name: String, what: &'static str, value: String, limit: Limit },
    /// Something a safe reader doesn't follow.
    #[error("{name}:{line}: {what}")]
    Unsafe { name: String, line: u32, what: String },
    /// A picture that can't be decoded.
    #[error("{name}: the {kind} cannot be read: {what}")]
    BrokenPicture { name: String, kind: &'static str, what: String },
    /// A picture of a sort that is not taken.
    #[error("{name}: a {kind} with {what} is not taken")]
    OtherPicture { name: String, kind: &'static str, what: String },
    /// Losses that were not allowed.
    #[error("{}", say_losses(name, losses))]
    Losses { name: String, losses: Vec<Loss> },
    /// A code of no loss.
    #[error("{typed:?} is not the code of a loss; nearest is {nearest}")]
    UnknownLoss { typed: String, nearest: &'static str },
    /// A page without objects.
    #[error("{name}: the page has nothing drawn on it")]
    NoObjects { name: String },
    /// The reader behind this room failed where it should not.
    #[error("{name}: the drawing cannot be worked out: {what}")]
    Failed { name: String, what: String },
}

impl ArtworkError {
    /// What to do or to write instead.
    pub fn hint(&self) -> String {
        use ArtworkError as E;
        match self {
            E::Unreadable { .. } => "check the name and that you may read the file".into(),
            E::Folder { .. } => "name the drawing inside it, for example limpet.svg".into(),
            E::Empty { .. } => "save the drawing again as SVG".into(),
            E::NotSvg { .. } => {
                "save it as SVG; a motif, but not a page, may also be a picture: PNG, JPEG, TIFF or WebP".into()
            }
            E::NoPicture { .. } => "save the tile as PNG or TIFF".into(),
            E::BrokenPicture { .. } => "save the picture again; the file may be cut off".into(),
            E::OtherPicture { .. } => "save it as PNG, or as TIFF in RGB, grey or CMYK with 8 or 16 bits".into(),
            E::TooMuch { what: "pixels of the picture", limit, .. } => {
                format!(
                    "make the picture smaller; at 300 dpi a square of 10 000 px is 33 in wide. Or {}",
                    limit.raise()
                )
            }
            E::NotUtf8 { .. } => "save the drawing as UTF-8".into(),
            E::NotXml { .. } => "save the drawing again as SVG; the file may be cut off".into(),
            E::NotSvgRoot { .. } => {
                "save the drawing as SVG; it begins with <svg xmlns=\"http://www.w3.org/2000/svg\">".into()
            }
            E::Damaged { .. } => "save the drawing again, as plain SVG".into(),
            E::NoSize { .. } => {
                "write for example width=\"40mm\" height=\"30mm\", or a viewBox such as viewBox=\"0 0 400 300\"".into()
            }
            E::BadSize { attribute: "viewBox", .. } => "write four numbers, for example viewBox=\"0 0 400 300\"".into(),
            E::BadSize { attribute, .. } => {
                format!("write a number and mm, cm, in, pt, pc, px or q, for example {attribute}=\"40mm\"")
            }
            E::TooMuch { limit, .. } => format!("simplify the drawing, or cut it into several; or {}", limit.raise()),
            E::Unsafe { .. } => "save the drawing as plain SVG".into(),
            E::Losses { losses, .. } => losses_hint(losses),
            E::UnknownLoss { nearest, .. } => format!("write {nearest}"),
            E::NoObjects { .. } => "draw the motifs as visible objects on the page".into(),
            E::Failed { .. } => "save the drawing again as plain SVG, or simplify it".into(),
        }
    }
}

/// What the system says, without its number.
fn plain(error: &std::io::Error) -> String {
    error.to_string().split(" (os error").next().unwrap_or_default().to_lowercase()
}

/// So many losses are listed one by one.
const SHOWN: usize = 100;

fn say_losses(name: &str, losses: &[Loss]) -> String {
    let things = if losses.len() == 1 { "1 thing".into() } else { format!("{} things", losses.len()) };
    let mut text = format!("{name}: {things} in the drawing cannot be kept");
    for loss in losses.iter().take(SHOWN) {
        text.push_str(&format!("\n  {loss}"));
    }
    if losses.len() > SHOWN {
        text.push_str(&format!("\n  and {} more", losses.len() - SHOWN));
    }
    text
}

/// The remedy for each kind, and the codes to allow.
fn losses_hint(losses: &[Loss]) -> String {
    let mut text = String::new();
    let kinds = super::losses::LOSSES.iter().filter(|k| losses.iter().any(|l| l.code() == k.code));
    let mut codes = Vec::new();
    for kind in kinds {
        text.push_str(&format!("{}: {}\n", kind.code, kind.remedy));
        codes.push(kind.code);
    }
    text + &format!("or allow it by name: {}", codes.join(", "))
}
