//! Which pictures are taken in, told by their first bytes: an ending may be wrong or missing.

/// A kind of picture that is taken in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum Kind {
    Png,
    Jpeg,
    Tiff,
    WebP,
}

impl Kind {
    /// How many first bytes tell.
    pub(in super::super) const HEAD: usize = 12;

    /// The kind of a file that begins so.
    pub(in super::super) fn of(head: &[u8]) -> Option<Kind> {
        let begins = |magic: &[u8]| head.starts_with(magic);
        if begins(b"\x89PNG") {
            Some(Kind::Png)
        } else if begins(b"\xff\xd8\xff") {
            Some(Kind::Jpeg)
        } else if [&b"II*\0"[..], b"MM\0*", b"II+\0", b"MM\0+"].into_iter().any(begins) {
            Some(Kind::Tiff) // the last two are BigTIFF
        } else if begins(b"RIFF") && head.get(8..12) == Some(b"WEBP") {
            Some(Kind::WebP)
        } else {
            None
        }
    }

    /// As it is called.
    pub(in super::super) fn name(self) -> &'static str {
        match self {
            Kind::Png => "PNG",
            Kind::Jpeg => "JPEG",
            Kind::Tiff => "TIFF",
            Kind::WebP => "WebP",
        }
    }
}
