//! Files written by this room, read by others.

use std::io::{Seek, Write};

use super::*;
use crate::artwork::Intake;
use crate::length::{Length, Size, Unit};
use crate::repeat::{Layout, Placement, Repeat, Spot, Tile};

/// A half-drop of a disc in one flat color, dropped so that strips of the file end in the
/// middle of lattice rows.
fn plan(color: &str, ground: Option<[u8; 3]>, side: [i64; 2]) -> (Copies, Vec<Motif>) {
    let svg = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in" viewBox="0 0 10 10"><circle cx="5" cy="5" r="4" fill="{color}"/></svg>"#
    );
    let motif = Motif::from_svg("disc", svg.as_bytes(), &Intake::new()).expect("a motif");
    let size = Size { width: Length::of(1, Unit::In), height: Length::of(1, Unit::In) };
    let tile = Tile { width: side[0], height: side[1], size };
    let mut repeat =
        Repeat::new(&"half-drop".parse::<Layout>().expect("a layout").scheme(), tile, [2, 1]).expect("a repeat");
    repeat.ground = ground;
    let at = Spot::from_parts(100 * 256 + 77, 90 * 256 + 31);
    repeat.placements.push(Placement { motif: 0, at, linear: [1.5, 0.2, -0.2, 1.5], layer: 0 });
    let motifs = vec![motif];
    (Copies::plan(&repeat, &motifs), motifs)
}

/// Writes a file of this format and reads it back.
fn written(
    format: &Format,
    copies: &Copies,
    motifs: &[Motif],
) -> (tempfile::NamedTempFile, Woven, Result<Option<String>, ReadBackError>) {
    let spec = spec(copies, Resolution::dpi(300).expect("in range")).expect("a tile");
    let file = tempfile::NamedTempFile::new().expect("a file");
    let target = Target {
        format: format.clone(),
        file: file.reopen().expect("a handle"),
        scratch: tempfile::tempfile().expect("a file"),
    };
    let woven = paint(copies, motifs, spec, vec![target], &()).expect("painted");
    let read = read_back(format, &|| file.reopen(), &woven);
    (file, woven, read)
}

const LINEN: Option<[u8; 3]> = Some([243, 238, 227]);

#[test]
fn every_format_reads_back() {
    let (copies, motifs) = plan("#1f2d4d", LINEN, [2600, 1402]);
    let formats = [
        Format::Png(PngColors::Full),
        Format::Tiff(TiffPacking::Deflate),
        Format::Tiff(TiffPacking::Lzw),
        Format::Tiff(TiffPacking::None),
        Format::Jpeg(90),
    ];
    for format in formats {
        let (_, woven, read) = written(&format, &copies, &motifs);
        assert!(woven.spec.strips() > 3, "several strips");
        assert_eq!(read.expect("read back"), None, "{format:?}");
    }
}

#[test]
fn without_a_ground_there_is_alpha_and_no_jpeg() {
    let (copies, motifs) = plan("#1f2d4d", None, [600, 402]);
    for format in [Format::Png(PngColors::Full), Format::Tiff(TiffPacking::Deflate)] {
        assert_eq!(written(&format, &copies, &motifs).2.expect("read back"), None);
    }
    let spec = spec(&copies, Resolution::dpi(300).expect("in range")).expect("a tile");
    let file = || tempfile::tempfile().expect("a file");
    let target = Target { format: Format::Jpeg(90), file: file(), scratch: file() };
    let refused = paint(&copies, &motifs, spec, vec![target], &()).expect_err("no ground");
    assert_eq!(refused.to_string(), "a JPEG has no transparency; give the design a ground, for example --ground linen");
}

#[test]
fn grey_and_palette_where_the_art_allows() {
    let spec_of = |copies: &Copies| spec(copies, Resolution::dpi(300).expect("in range")).expect("a tile");
    let (copies, motifs) = plan("#333333", Some([255; 3]), [601 * 2, 402]);
    let found = colors(&copies, &motifs, spec_of(&copies)).expect("counted");
    let [grey, palette] = [found.as_grey().expect("all grey"), found.as_palette().expect("few colors")];
    for colors in [grey, palette] {
        assert_eq!(written(&Format::Png(colors), &copies, &motifs).2.expect("read back"), None);
    }
    let (copies, motifs) = plan("#a8402f", None, [602, 402]);
    let found = colors(&copies, &motifs, spec_of(&copies)).expect("counted");
    assert_eq!(found.as_grey(), None);
    let palette = found.as_palette().expect("one ink and its edges");
    assert_eq!(written(&Format::Png(palette), &copies, &motifs).2.expect("read back"), None);
    // Two colors need one bit: nothing but the ground.
    let (copies, motifs) = plan("none", LINEN, [602, 402]);
    let found = colors(&copies, &motifs, spec_of(&copies)).expect("counted");
    let palette = found.as_palette().expect("one color");
    assert_eq!(palette.bits(), 1);
    assert_eq!(written(&Format::Png(palette), &copies, &motifs).2.expect("read back"), None);
}

/// A read-back that can't fail is none.
#[test]
fn a_damaged_file_is_found() {
    let (copies, motifs) = plan("#1f2d4d", LINEN, [600, 402]);
    for format in [Format::Png(PngColors::Full), Format::Tiff(TiffPacking::None), Format::Tiff(TiffPacking::Deflate)] {
        let (mut file, woven, _) = written(&format, &copies, &motifs);
        let mut bytes = std::fs::read(file.path()).expect("read");
        let middle = bytes.len() / 2;
        bytes[middle] ^= 0x10;
        file.rewind().and_then(|()| file.write_all(&bytes)).expect("written");
        assert!(read_back(&format, &|| file.reopen(), &woven).is_err(), "{format:?}");
    }
    // The end of a PNG: 12 bytes of IEND, and before them the checksum of the last pixels' chunk.
    let (mut file, woven, _) = written(&Format::Png(PngColors::Full), &copies, &motifs);
    let bytes = std::fs::read(file.path()).expect("read");
    let mut flipped = bytes.clone();
    flipped[bytes.len() - 13] ^= 1;
    for wrong in [&flipped[..], &bytes[..bytes.len() - 5], &bytes[..bytes.len() - 12], &[&bytes[..], b"more"].concat()]
    {
        file.as_file_mut().set_len(0).and_then(|()| file.rewind()).expect("emptied");
        file.write_all(wrong).expect("written");
        assert!(read_back(&Format::Png(PngColors::Full), &|| file.reopen(), &woven).is_err(), "{} bytes", wrong.len());
    }
    let (file, mut woven, _) = written(&Format::Png(PngColors::Full), &copies, &motifs);
    woven.checks[0] ^= 1;
    let wrong =
        read_back(&Format::Png(PngColors::Full), &|| file.reopen(), &woven).expect_err("other pixels").to_string();
    assert!(wrong.starts_with("the file does not read back as it was painted: rows 0 to "), "{wrong}");
}

#[test]
fn a_window_shows_the_tile_repeated() {
    for ground in [LINEN, None] {
        let (copies, motifs) = plan("#1f2d4d", ground, [1000, 1402]);
        let spec = spec(&copies, Resolution::dpi(300).expect("in range")).expect("a tile");
        let tile = pixels(&copies, &motifs, spec).expect("painted");
        let (across, channels) = (1000, spec.channels.bytes());
        let limit = crate::limits::Limits::default().tile;
        for [x, y, width, height] in [[0, 0, 1000, 1402], [-730, -2900, 1713, 611], [40_017, 30_001, 5, 7]] {
            let shown = window(&copies, &motifs, [x, y, width, height], limit, &()).expect("painted");
            assert_eq!(shown.len() as i64, width * height * 4);
            for (index, pixel) in shown.chunks_exact(4).enumerate() {
                let (column, row) = (x + index as i64 % width, y + index as i64 / width);
                let at = (row.rem_euclid(1402) * across + column.rem_euclid(across)) as usize * channels;
                let mut want = [255; 4];
                want[..channels].copy_from_slice(&tile[at..at + channels]);
                assert_eq!(pixel, want, "at {column}, {row}");
            }
        }
        let refused = window(&copies, &motifs, [0, 0, 1 << 20, 1 << 20], limit, &());
        assert!(matches!(refused, Err(RasterError::TooLargeToJudge { .. })));
    }
}
