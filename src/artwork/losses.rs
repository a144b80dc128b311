//! What artwork may hold that cannot be kept: one table, which the docs print.
//!
//! A loss is never silent. Each kind has a code; a drawing with a loss is refused unless
//! its code is allowed by name, and what was allowed is still listed by the motif.

use std::fmt;

/// One kind of loss.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LossKind {
    /// The name it is allowed by.
    pub code: &'static str,
    /// What is lost.
    pub meaning: &'static str,
    /// What to do about it.
    pub remedy: &'static str,
}

const fn kind(code: &'static str, meaning: &'static str, remedy: &'static str) -> LossKind {
    LossKind { code, meaning, remedy }
}

/// Every kind of loss, in alphabetical order.
pub const LOSSES: &[LossKind] = &[
    kind(
        "animation",
        "movement; only the drawing at rest is kept",
        "remove the animation elements; save a moving picture as a still one",
    ),
    kind(
        "arc-marker",
        "markers only where the path's own points are; an arc would get more of them",
        "remove marker-mid, or draw the markers as paths",
    ),
    kind(
        "bad-profile",
        "a picture's color profile that cannot be used; its numbers are taken as sRGB",
        "embed the right profile, or convert the picture to sRGB",
    ),
    kind("basic-shape", "a clip written as a shape in the style, such as circle()", "use a clipPath element"),
    kind(
        "blend-to-ground",
        "a blend with what lies under the motif",
        "put the blend into a group with isolation:isolate, or use opacity",
    ),
    kind("broken-image", "an image whose data cannot be read", "embed the image again as PNG or JPEG"),
    kind(
        "broken-points",
        "a shape whose points cannot be read to the end",
        "write pairs of numbers, for example points=\"0,0 40,0 20,30\"",
    ),
    kind(
        "color-space",
        "a picture's color space told in numbers; they are taken as sRGB",
        "embed its ICC profile, or convert the picture to sRGB",
    ),
    kind(
        "css-geometry",
        "a place or size set by a style instead of an attribute",
        "write it as an attribute, for example r=\"5\"",
    ),
    kind("css-selector", "a style rule with a selector that cannot be followed", "select by class, id or element name"),
    kind("css-transform", "a style transform with units", "write it as a transform attribute, without units"),
    kind("css-variable", "a style value taken from a variable", "write the value itself instead of var()"),
    kind("displacement", "a displacement filter, which is painted too far", "turn the displaced art into paths"),
    kind("embedded-media", "video, audio, frames and canvases", "replace it with a drawing"),
    kind(
        "extra-channel",
        "channels of a picture beside its colors and its transparency",
        "save the picture without them",
    ),
    kind(
        "filter-input",
        "a filter that reads the background or the paint",
        "use SourceGraphic or SourceAlpha as its input",
    ),
    kind(
        "filter-value",
        "a value of a filter that renderers do not read alike",
        "write a value that SVG 1.1 allows, with x, y, width and height in user space, or turn the filtered art into paths",
    ),
    kind(
        "flat-transform",
        "a gradient or pattern that its transform flattens to nothing; it would be painted whole",
        "write a transform that leaves an area, or fill=\"none\"",
    ),
    kind("font-face", "a font carried inside the style sheet", "turn the text into outlines"),
    kind("foreign-object", "content in another language than SVG", "turn it into paths or text"),
    kind("media-query", "style rules for certain screens or for print", "move the rules out of @media"),
    kind("mesh-paint", "a mesh gradient or hatch", "use a linear or radial gradient, or a pattern"),
    kind(
        "missing-font",
        "letters in a font that is not on this machine; another is used",
        "turn the text into outlines, install the font, or let another stand in: `\"ITS NAME\" = \"ANOTHER\"` under `[fonts]`, or `--font \"ITS NAME=ANOTHER\"`",
    ),
    kind(
        "missing-glyph",
        "a letter that its font does not have; another font's is used, or none",
        "turn the text into outlines, or let another stand in: `\"ITS NAME\" = \"ANOTHER\"` under `[fonts]`, or `--font \"ITS NAME=ANOTHER\"`",
    ),
    kind(
        "missing-reference",
        "a reference to an id that is not in the file",
        "remove the reference, or put what it names back",
    ),
    kind("more-pages", "the further pages of a TIFF", "save the page that is wanted as a file of its own"),
    kind(
        "no-profile",
        "how a picture's four inks look; without a profile they are only guessed",
        "embed the CMYK profile, or convert the picture to sRGB",
    ),
    kind(
        "non-scaling-stroke",
        "a line that keeps its width while the drawing is scaled",
        "remove vector-effect and give the line its true width",
    ),
    kind(
        "other-language",
        "art for readers of another language; it is not drawn",
        "remove systemLanguage, or put what English readers see beside it in a switch",
    ),
    kind("outside-image", "an image in another file", "embed the image in the drawing"),
    kind("outside-reference", "something taken from another file", "copy it into the drawing"),
    kind("outside-style", "a style sheet in another file", "copy its rules into a style element"),
    kind(
        "page-background",
        "a background in the root's style",
        "draw a rectangle over the page, or give the design a ground",
    ),
    kind("script", "a script; it is never run", "remove the script and draw what it would draw"),
    kind(
        "sibling-selector",
        "a style rule that looks at neighbours, on a page that is taken apart",
        "select by class, id or element name",
    ),
    kind("text-size", "letters of less than no size", "write a font-size of more than zero"),
    kind("unknown-element", "an element that is not part of SVG as it is drawn here", "turn it into paths"),
    kind("unknown-paint", "a color that cannot be read; it would be black or nothing", "write it as #rrggbb"),
];

/// The kind with this code.
pub fn loss_kind(code: &str) -> Option<&'static LossKind> {
    LOSSES.iter().find(|k| k.code == code)
}

/// The code most like a mistyped one.
pub(crate) fn nearest(typed: &str) -> &'static str {
    LOSSES.iter().min_by_key(|k| strsim::osa_distance(typed, k.code)).map_or("", |k| k.code)
}

/// Something in one drawing that cannot be kept, with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Loss {
    code: &'static str,
    line: Option<u32>,
    id: Option<String>,
    what: String,
    replaced: bool,
}

impl Loss {
    pub(crate) fn new(code: &'static str, line: Option<u32>, id: Option<&str>, what: impl Into<String>) -> Loss {
        debug_assert!(loss_kind(code).is_some(), "{code} is not in the table");
        Loss { code, line, id: id.filter(|id| !id.is_empty()).map(Into::into), what: what.into(), replaced: false }
    }

    /// The same, made good by what was named to stand in for it.
    pub(crate) fn made_good(self) -> Loss {
        Loss { replaced: true, ..self }
    }

    /// In a drawing that is carried inside another, whose line it is.
    pub(crate) fn inside(self, line: Option<u32>) -> Loss {
        Loss { line: line.or(self.line), ..self }
    }

    /// The code of its kind.
    pub fn code(&self) -> &'static str {
        self.code
    }

    /// The line in the file, counted from 1, where it is known.
    pub fn line(&self) -> Option<u32> {
        self.line
    }

    /// The id of the element, if it has one.
    pub fn id(&self) -> Option<&str> {
        self.id.as_deref()
    }

    /// Whether something was named to stand in for it, and does.
    pub fn is_replaced(&self) -> bool {
        self.replaced
    }

    /// What it is, in the words of the file: an element, a style rule, a font and its text.
    pub fn what(&self) -> &str {
        &self.what
    }
}

impl fmt::Display for Loss {
    /// `line 12, #kelp: script: <script>`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.line, &self.id) {
            (Some(line), Some(id)) => write!(f, "line {line}, #{id}: ")?,
            (Some(line), None) => write!(f, "line {line}: ")?,
            (None, Some(id)) => write!(f, "#{id}: ")?,
            (None, None) => {}
        }
        write!(f, "{}: {}", self.code, self.what)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_sorted_and_says_everything() {
        assert!(LOSSES.windows(2).all(|w| w[0].code < w[1].code));
        for kind in LOSSES {
            assert!(kind.code.bytes().all(|b| b.is_ascii_lowercase() || b == b'-'), "{}", kind.code);
            assert!(!kind.meaning.is_empty() && !kind.remedy.is_empty(), "{}", kind.code);
        }
    }

    #[test]
    fn the_nearest_code_is_found() {
        assert_eq!(nearest("scripts"), "script");
        assert_eq!(nearest("missing fonts"), "missing-font");
        assert_eq!(nearest("outside_image"), "outside-image");
    }

    #[test]
    fn a_loss_says_its_place() {
        let said = |line, id| Loss::new("script", line, id, "<script>").to_string();
        assert_eq!(said(Some(12), Some("kelp")), "line 12, #kelp: script: <script>");
        assert_eq!(said(Some(12), None), "line 12: script: <script>");
        assert_eq!(said(None, Some("kelp")), "#kelp: script: <script>");
        assert_eq!(said(None, Some("")), "script: <script>");
    }
}
