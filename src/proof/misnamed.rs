//! Tiles that other programs would take for something else: by their name, or by what moves in them.

use std::path::Path;

use super::subject::ProofError;
use crate::artwork::Finished;

/// File name endings of the kinds that are judged; the first is the one to write.
const ENDINGS: [(&str, &[&str]); 5] = [
    ("PNG", &["png"]),
    ("JPEG", &["jpg", "jpeg"]),
    ("TIFF", &["tif", "tiff"]),
    ("WebP", &["webp"]),
    ("SVG", &["svg", "svgz"]),
];

/// Holds a tile's kind, which its first bytes tell, against its name. A name that says nothing is right.
///
/// # Errors
/// A name that says another kind: printers and programs go by it.
pub(super) fn hold(path: &Path, kind: &'static str) -> Result<(), ProofError> {
    let Some(ending) = path.extension().map(|ending| ending.to_string_lossy().to_lowercase()) else { return Ok(()) };
    let of = |ending: &str| ENDINGS.iter().find(|(_, endings)| endings.contains(&ending)).map(|(kind, _)| *kind);
    let right = ENDINGS.iter().find(|(one, _)| *one == kind).map_or("", |(_, endings)| endings[0]);
    match of(&ending) {
        Some(said) if said != kind => {
            Err(ProofError::Misnamed { path: path.into(), kind, said, better: path.with_extension(right) })
        }
        _ => Ok(()),
    }
}

/// Holds that a tile is one picture.
///
/// # Errors
/// One that moves.
pub(super) fn hold_still(path: &Path, finished: &Finished) -> Result<(), ProofError> {
    let moves = finished.losses.iter().any(|loss| loss.code() == "animation");
    if moves { Err(ProofError::Moving { path: path.into() }) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_says_the_kind_or_nothing() {
        for (name, kind) in [("a.png", "PNG"), ("a.JPeG", "JPEG"), ("a.svgz", "SVG"), ("a", "TIFF"), ("a.tile", "WebP")]
        {
            assert!(hold(Path::new(name), kind).is_ok(), "{name}");
        }
        let wrong = hold(Path::new("b/a.jpg"), "PNG").expect_err("another kind");
        assert_eq!(wrong.to_string(), "b/a.jpg: its contents are PNG, and its name says JPEG");
        assert_eq!(wrong.hint().as_deref(), Some("call it b/a.png, or save it as JPEG: printers go by the name"));
    }
}
