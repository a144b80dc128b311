//! From bytes to text that is safe to parse, and from text to a document.
//!
//! Everything that could make a parser read elsewhere or grow without bound is refused
//! here, before anything else looks at the file.

use std::io::Read;
use std::path::Path;

use usvg::roxmltree::{self, Document, Node};

use super::error::ArtworkError;
use super::picture::Kind;
use crate::limits::{Limit, Limits};

/// The namespace of SVG elements.
pub(crate) const SVG: &str = "http://www.w3.org/2000/svg";

/// The text of one drawing.
pub(crate) struct Source {
    /// As messages name it: the path as it was given.
    pub(crate) name: String,
    /// As the drawing is called: the file's name without folder and ending.
    pub(crate) stem: String,
    pub(crate) text: String,
    pub(crate) limits: Limits,
    /// Where lines end.
    breaks: Vec<usize>,
}

impl Source {
    /// Reads a drawing.
    pub(crate) fn read(path: &Path, limits: &Limits) -> Result<Source, ArtworkError> {
        Ok(Source {
            stem: stem(path),
            ..Source::from_bytes(&path.to_string_lossy(), &Source::bytes(path, limits)?, limits)?
        })
    }

    /// The first bytes of a file, which tell its kind.
    pub(crate) fn head(path: &Path) -> std::io::Result<Vec<u8>> {
        let mut head = Vec::new();
        std::fs::File::open(path)?.take(Kind::HEAD as u64).read_to_end(&mut head)?;
        Ok(head)
    }

    /// Reads a file once, from its beginning, so that it may be a pipe. A picture may be larger
    /// than a drawing.
    pub(crate) fn bytes(path: &Path, limits: &Limits) -> Result<Vec<u8>, ArtworkError> {
        let unreadable = |source| ArtworkError::Unreadable { path: path.into(), source };
        let about = std::fs::metadata(path).map_err(unreadable)?;
        if about.is_dir() {
            return Err(ArtworkError::Folder { path: path.into() });
        }
        let mut bytes = Vec::new();
        let mut file = std::fs::File::open(path).map_err(unreadable)?;
        file.by_ref().take(Kind::HEAD as u64).read_to_end(&mut bytes).map_err(unreadable)?;
        let limit = if Kind::of(&bytes).is_some() { limits.picture_bytes } else { limits.file };
        let most = limit.most;
        bytes.reserve(usize::try_from(about.len().min(most)).unwrap_or_default());
        file.take((most + 1).saturating_sub(bytes.len() as u64)).read_to_end(&mut bytes).map_err(unreadable)?;
        check_size(&path.to_string_lossy(), bytes.len() as u64, limit)?;
        Ok(bytes)
    }

    /// Takes plain or gzipped bytes.
    pub(crate) fn from_bytes(name: &str, bytes: &[u8], limits: &Limits) -> Result<Source, ArtworkError> {
        let name = name.to_owned();
        check_size(&name, bytes.len() as u64, limits.file)?;
        let unpacked;
        let bytes = if bytes.starts_with(&[0x1f, 0x8b]) {
            unpacked = unpack(&name, bytes, limits.file)?;
            &unpacked[..]
        } else {
            bytes
        };
        if bytes.trim_ascii().is_empty() {
            return Err(ArtworkError::Empty { name });
        }
        if let Some(kind) = other_kind(bytes) {
            return Err(ArtworkError::NotSvg { name, kind });
        }
        let text = match std::str::from_utf8(bytes) {
            Ok(text) => text.trim_start_matches('\u{feff}').to_owned(),
            Err(e) => {
                let at = e.valid_up_to();
                let line = 1 + bytes[..at].iter().filter(|b| **b == b'\n').count();
                return Err(ArtworkError::NotUtf8 { name, line, byte: bytes[at] });
            }
        };
        check_entities(&name, &text, limits.entities)?;
        Ok(Source::from_text(name, text, *limits))
    }

    /// Takes text that was checked already.
    pub(crate) fn from_text(name: String, text: String, limits: Limits) -> Source {
        let breaks = text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i).collect();
        Source { stem: name.clone(), name, text, limits, breaks }
    }

    /// Parses the text, and checks the root and the depth.
    pub(crate) fn parse(&self) -> Result<Document<'_>, ArtworkError> {
        let options = roxmltree::ParsingOptions {
            allow_dtd: true,
            nodes_limit: u32::try_from(self.limits.nodes.most).unwrap_or(u32::MAX),
            ..Default::default()
        };
        let doc = Document::parse_with_options(&self.text, options).map_err(|e| self.not_xml(&e))?;
        let root = doc.root_element();
        if root.tag_name().name() != "svg" || !is_svg(&root) {
            let line = self.line(root.range().start);
            let namespace = root.tag_name().namespace().map_or(String::new(), |n| format!(" xmlns={n:?}"));
            let root = format!("{}{namespace}", root.tag_name().name());
            return Err(ArtworkError::NotSvgRoot { name: self.name.clone(), line, root });
        }
        let deepest = deepest(&doc);
        if deepest > self.limits.depth.size() {
            return Err(self.too_much("elements inside one another", deepest, self.limits.depth));
        }
        Ok(doc)
    }

    /// The line of a byte, counted from 1.
    pub(crate) fn line(&self, at: usize) -> u32 {
        let before = self.breaks.partition_point(|b| *b < at);
        u32::try_from(before).map_or(u32::MAX, |n| n.saturating_add(1))
    }

    pub(crate) fn too_much(&self, what: &'static str, value: impl ToString, limit: Limit) -> ArtworkError {
        too_much(&self.name, what, value, limit)
    }

    fn not_xml(&self, e: &roxmltree::Error) -> ArtworkError {
        if matches!(e, roxmltree::Error::NodesLimitReached) {
            return self.too_much("elements", format!("more than {}", self.limits.nodes), self.limits.nodes);
        }
        let at = e.pos();
        let what = e.to_string();
        let what = what.rsplit_once(" at ").map_or(what.as_str(), |(what, _)| what).to_owned();
        ArtworkError::NotXml { name: self.name.clone(), line: at.row, column: at.col, what }
    }
}

pub(crate) fn too_much(name: &str, what: &'static str, value: impl ToString, limit: Limit) -> ArtworkError {
    ArtworkError::TooMuch { name: name.into(), what, value: value.to_string(), limit }
}

/// How a drawing is called: its file's name without folder and ending.
pub(crate) fn stem(path: &Path) -> String {
    path.file_stem().unwrap_or(path.as_os_str()).to_string_lossy().into_owned()
}

/// An element of SVG, or one without a namespace, which counts as such.
pub(crate) fn is_svg(node: &Node) -> bool {
    node.is_element() && matches!(node.tag_name().namespace(), None | Some(SVG))
}

fn check_size(name: &str, bytes: u64, limit: Limit) -> Result<(), ArtworkError> {
    if bytes <= limit.most {
        return Ok(());
    }
    Err(too_much(name, "bytes in the file", format!("more than {limit}"), limit))
}

fn unpack(name: &str, bytes: &[u8], limit: Limit) -> Result<Vec<u8>, ArtworkError> {
    let mut out = Vec::new();
    let reader = flate2::read::MultiGzDecoder::new(bytes);
    let damaged = |e: std::io::Error| ArtworkError::Damaged { name: name.into(), what: e.to_string() };
    reader.take(limit.most.saturating_add(1)).read_to_end(&mut out).map_err(damaged)?;
    check_size(name, out.len() as u64, limit)?;
    Ok(out)
}

/// What a file that is no SVG is, by its first bytes.
fn other_kind(bytes: &[u8]) -> Option<&'static str> {
    const KINDS: &[(&[u8], &str)] = &[
        (b"\x89PNG", "a PNG picture"),
        (b"\xff\xd8\xff", "a JPEG picture"),
        (b"GIF8", "a GIF picture"),
        (b"II*\0", "a TIFF picture"),
        (b"MM\0*", "a TIFF picture"),
        (b"RIFF", "a WebP picture"),
        (b"%PDF", "a PDF page"),
        (b"%!PS", "a PostScript page"),
        (b"PK\x03\x04", "a ZIP archive"),
        (b"\xff\xfe", "UTF-16 text"),
        (b"\xfe\xff", "UTF-16 text"),
    ];
    let known = KINDS.iter().find(|(magic, _)| bytes.starts_with(magic)).map(|(_, kind)| *kind);
    let start = &bytes[..bytes.len().min(512)];
    known.or_else(|| start.contains(&0).then_some("a file of binary data"))
}

/// Entities may only stand for short plain text. Nothing can nest then, and what a file can
/// grow to is known without expanding anything.
fn check_entities(name: &str, text: &str, limit: Limit) -> Result<(), ArtworkError> {
    let mut longest = 0;
    for (at, _) in text.match_indices("<!ENTITY") {
        let declaration = &text[at + 8..];
        let Some(open) = declaration.find(['"', '\'', '>']) else { continue };
        let quote = &declaration[open..=open];
        let Some(close) = declaration[open + 1..].find(quote) else { continue };
        let value = if quote == ">" { "" } else { &declaration[open + 1..open + 1 + close] };
        if value.contains(['<', '&', '%']) {
            let line = 1 + text[..at].bytes().filter(|b| *b == b'\n').count();
            let what = "an entity stands for more than plain text".into();
            return Err(ArtworkError::Unsafe {
                name: name.into(),
                line: u32::try_from(line).unwrap_or(u32::MAX),
                what,
            });
        }
        longest = longest.max(value.len());
    }
    let grown = longest.saturating_mul(if longest == 0 { 0 } else { text.matches('&').count() });
    if grown > limit.size() {
        return Err(too_much(name, "bytes added by entities", grown, limit));
    }
    Ok(())
}

/// How many elements are inside one another at the deepest place.
fn deepest(doc: &Document) -> usize {
    let mut depths = Vec::new();
    for node in doc.descendants() {
        let above = node.parent().and_then(|p| depths.get(p.id().get_usize())).copied().unwrap_or(0);
        depths.push(above + usize::from(node.is_element()));
    }
    depths.into_iter().max().unwrap_or(0)
}
