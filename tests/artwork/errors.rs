//! What is said when a drawing is not taken in, word for word.

use std::io::Write;
use std::path::Path;

use seamfast::artwork::{Intake, Motif};

fn said(bytes: &[u8]) -> (String, String) {
    let error = Motif::from_svg("limpet", bytes, &Intake::new()).expect_err("an error");
    (error.to_string(), error.hint())
}

#[test]
fn files_that_are_no_drawing() {
    let cases: &[(&[u8], &str, &str)] = &[
        (b"", "limpet: the file is empty", "save the drawing again as SVG"),
        (b" \n\t", "limpet: the file is empty", "save the drawing again as SVG"),
        (
            b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
            "limpet: is a PNG picture, not an SVG drawing",
            "save it as SVG; a motif, but not a page, may also be a picture: PNG, JPEG, TIFF or WebP",
        ),
        (
            b"%PDF-1.7",
            "limpet: is a PDF page, not an SVG drawing",
            "save it as SVG; a motif, but not a page, may also be a picture: PNG, JPEG, TIFF or WebP",
        ),
        (
            b"abc\0def",
            "limpet: is a file of binary data, not an SVG drawing",
            "save it as SVG; a motif, but not a page, may also be a picture: PNG, JPEG, TIFF or WebP",
        ),
        (b"<svg>\n\xe9</svg>", "limpet:2: byte 0xe9 is not UTF-8 text", "save the drawing as UTF-8"),
        (
            b"hello",
            "limpet:1:1: is not well-formed XML: unknown token",
            "save the drawing again as SVG; the file may be cut off",
        ),
        (
            b"<svg>\n  <g></svg>",
            "limpet:2:6: is not well-formed XML: expected 'g' tag, not 'svg'",
            "save the drawing again as SVG; the file may be cut off",
        ),
        (
            b"\n<html/>",
            "limpet:2: the first element is <html>, not <svg> of the SVG namespace",
            "save the drawing as SVG; it begins with <svg xmlns=\"http://www.w3.org/2000/svg\">",
        ),
        (
            b"<svg xmlns='http://example.org/'/>",
            "limpet:1: the first element is <svg xmlns=\"http://example.org/\">, not <svg> of the SVG namespace",
            "save the drawing as SVG; it begins with <svg xmlns=\"http://www.w3.org/2000/svg\">",
        ),
        (b"\x1f\x8bnonsense", "limpet: the compressed drawing is damaged: ", "save the drawing again, as plain SVG"),
    ];
    for (bytes, message, hint) in cases {
        let (got, got_hint) = said(bytes);
        if message.ends_with(": ") {
            assert!(got.starts_with(message), "{got}")
        } else {
            assert_eq!(got, *message)
        }
        assert_eq!(got_hint, *hint);
    }
}

#[test]
fn files_that_cannot_be_read() {
    let error = Motif::read(Path::new("no/such/limpet.svg"), &Intake::new()).expect_err("no such file");
    assert!(error.to_string().starts_with("no/such/limpet.svg: cannot be read: "), "{error}");
    assert_eq!(error.hint(), "check the name and that you may read the file");
    let error = Motif::read(Path::new(env!("CARGO_TARGET_TMPDIR")), &Intake::new()).expect_err("a folder");
    assert!(error.to_string().ends_with(": is a folder, not a drawing"), "{error}");
    assert_eq!(error.hint(), "name the drawing inside it, for example limpet.svg");
}

#[test]
fn a_compressed_drawing_is_the_drawing() {
    let svg =
        br#"<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm"><rect width="5" height="5"/></svg>"#;
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::default());
    packer.write_all(svg).expect("packed");
    let packed = packer.finish().expect("packed");
    let (plain, packed) = (
        Motif::from_svg("limpet", svg, &Intake::new()).expect("plain"),
        Motif::from_svg("limpet", &packed, &Intake::new()).expect("packed"),
    );
    assert_eq!(plain.size(), packed.size());
    assert_eq!(plain.ink().bounds(kurbo::Affine::IDENTITY), packed.ink().bounds(kurbo::Affine::IDENTITY));
}

#[test]
fn a_motif_is_named_by_its_file_and_has_its_size() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/artwork/drawings/ink/page-stretched.svg");
    let motif = Motif::read(&path, &Intake::new()).expect("a motif");
    assert_eq!(motif.name(), "page-stretched");
    assert_eq!(motif.size().map(|s| s.to_string()), Some("80mm × 30mm".into()));
    assert!((motif.page_px().width - 302.362).abs() < 0.001, "{:?}", motif.page_px());
}
