//! Pictures as motifs: what is seen of each kind, how large it is, what is lost, what is refused.
//!
//! The files are made here, by other code than that which reads them where there is some.

use std::collections::BTreeSet;
use std::io::Cursor;

use jpeg_encoder::{ColorType as JpegColor, Encoder as JpegEncoder, PixelDensity, PixelDensityUnit, SamplingFactor};
use png::{BitDepth, ColorType, PixelDimensions, Unit as PngUnit};
use seamfast::artwork::{ArtworkError, Intake, Motif};
use seamfast::length::Unit;
use tiff::encoder::{Rational, TiffEncoder, colortype};
use tiff::tags::Tag;

/// Losses that only pictures have; each is shown below.
pub const LOSSES: [&str; 5] = ["bad-profile", "color-space", "extra-channel", "more-pages", "no-profile"];

fn take(bytes: Vec<u8>) -> Result<Motif, ArtworkError> {
    Motif::from_bytes("shell", bytes, &Intake::new())
}

fn taken(bytes: Vec<u8>) -> Motif {
    take(bytes).unwrap_or_else(|e| panic!("{e}"))
}

/// Its pixels, premultiplied.
fn seen(motif: &Motif) -> Vec<[u8; 4]> {
    let pixels = motif.picture().expect("a picture").halved(0);
    assert_eq!(pixels.bytes.len(), (pixels.width * pixels.height * 4) as usize);
    pixels.bytes.chunks(4).map(|p| [p[0], p[1], p[2], p[3]]).collect()
}

fn size(motif: &Motif) -> String {
    let size = motif.size().expect("a size");
    format!("{} x {}", size.width.show(Unit::In, 6), size.height.show(Unit::In, 6))
}

/// A PNG of 3 × 2 px.
fn png(color: ColorType, depth: BitDepth, data: &[u8], more: impl FnOnce(&mut png::Info)) -> Vec<u8> {
    let mut info = png::Info::with_size(3, 2);
    (info.color_type, info.bit_depth) = (color, depth);
    more(&mut info);
    let mut out = Vec::new();
    let mut writer = png::Encoder::with_info(&mut out, info).expect("info").write_header().expect("a header");
    writer.write_image_data(data).expect("pixels");
    writer.finish().expect("an end");
    out
}

const RGB: [u8; 18] = [1, 2, 3, 40, 50, 60, 7, 8, 9, 255, 0, 0, 0, 255, 0, 0, 0, 255];

/// A TIFF of these samples, with more fields.
fn tiff<C: colortype::ColorType<Inner = u8>>(
    (width, height): (u32, u32),
    samples: &[u8],
    fields: &[(Tag, &[u16])],
    profile: Option<&[u8]>,
) -> Vec<u8> {
    let mut out = Cursor::new(Vec::new());
    let mut encoder = TiffEncoder::new(&mut out).expect("a file");
    let mut image = encoder.new_image::<C>(width, height).expect("a picture");
    image.resolution(tiff::tags::ResolutionUnit::Inch, Rational { n: 300, d: 1 });
    for (tag, values) in fields {
        image.encoder().write_tag(*tag, *values).expect("a field");
    }
    if let Some(profile) = profile {
        image.encoder().write_tag(Tag::IccProfile, profile).expect("a profile");
    }
    image.write_data(samples).expect("samples");
    out.into_inner()
}

/// Three pixels across, where two bytes hold them in four bits each.
const WIDE: (Tag, &[u16]) = (Tag::ImageWidth, &[3]);

/// The same TIFF, its samples said to have four bits; the encoder knows none such.
fn in_four_bits(mut file: Vec<u8>) -> Vec<u8> {
    let field = [258_u16.to_le_bytes(), 3_u16.to_le_bytes(), [1, 0], [0, 0], [8, 0]].concat();
    let at = file.windows(field.len()).position(|bytes| bytes == field).expect("BitsPerSample");
    file[at + 8] = 4;
    file
}

fn jpeg(color: JpegColor, pixels: &[u8], side: u16, profile: Option<&[u8]>) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = JpegEncoder::new(&mut out, 100);
    encoder.set_density(PixelDensity { density: (200, 100), unit: PixelDensityUnit::Inches });
    if let Some(profile) = profile {
        encoder.add_icc_profile(profile).expect("a profile");
    }
    encoder.encode(pixels, side, side, color).expect("a JPEG");
    out
}

fn icc(profile: &moxcms::ColorProfile) -> Vec<u8> {
    profile.encode().expect("a profile")
}

#[test]
fn png_in_all_its_ways() {
    let rgb = seen(&taken(png(ColorType::Rgb, BitDepth::Eight, &RGB, |_| {})));
    let plain: Vec<[u8; 4]> = RGB.chunks(3).map(|p| [p[0], p[1], p[2], 255]).collect();
    assert_eq!(rgb, plain);
    let wide: Vec<u8> = RGB.iter().flat_map(|n| [*n, *n]).collect();
    assert_eq!(seen(&taken(png(ColorType::Rgb, BitDepth::Sixteen, &wide, |_| {}))), plain);
    let palette = |info: &mut png::Info| {
        info.palette = Some(vec![10, 20, 30, 200, 100, 50].into());
        info.trns = Some(vec![255, 51].into());
    };
    // Two bits a pixel: 0 1 0 / 1 0 1.
    let numbers = seen(&taken(png(ColorType::Indexed, BitDepth::Two, &[0b0001_0000, 0b0100_0100], palette)));
    let (a, b) = ([10, 20, 30, 255], [40, 20, 10, 51]);
    assert_eq!(numbers, [a, b, a, b, a, b]);
    let bits = seen(&taken(png(ColorType::Grayscale, BitDepth::One, &[0b0100_0000, 0b1010_0000], |_| {})));
    assert_eq!(bits.iter().map(|p| p[0]).collect::<Vec<_>>(), [0, 255, 0, 255, 0, 255]);
    let grey = [9, 255, 8, 0, 200, 128, 1, 1, 2, 2, 255, 255];
    let grey = seen(&taken(png(ColorType::GrayscaleAlpha, BitDepth::Eight, &grey, |_| {})));
    assert_eq!(grey[..3], [[9, 9, 9, 255], [0, 0, 0, 0], [100, 100, 100, 128]]);
}

#[test]
fn true_size_is_what_the_resolution_makes_of_the_pixels() {
    let dims =
        |x, y, unit| move |info: &mut png::Info| info.pixel_dims = Some(PixelDimensions { xppu: x, yppu: y, unit });
    // 300 dpi as PNG says it; and other ways.
    let sized = |x, y, unit| taken(png(ColorType::Rgb, BitDepth::Eight, &RGB, dims(x, y, unit)));
    assert_eq!(size(&sized(11_811, 11_811, PngUnit::Meter)), "0.01in x 0.006667in");
    assert_eq!(size(&sized(10_000, 5_000, PngUnit::Meter)), "0.011811in x 0.015748in");
    assert_eq!(sized(1, 1, PngUnit::Unspecified).size(), None);
    assert_eq!(taken(png(ColorType::Rgb, BitDepth::Eight, &RGB, |_| {})).size(), None);
    let motif = taken(jpeg(JpegColor::Rgb, &[200; 300], 10, None));
    assert_eq!(size(&motif), "0.05in x 0.1in");
    assert_eq!((motif.page_px().width, motif.page_px().height), (10.0, 10.0));
    assert_eq!(size(&taken(tiff::<colortype::RGB8>((3, 2), &RGB, &[], None))), "0.01in x 0.006667in");
}

#[test]
fn tiff_in_many_ways() {
    let rgba: Vec<u8> = RGB.chunks(3).flat_map(|p| [p[0] / 2, p[1] / 2, p[2] / 2, 128]).collect();
    let first = |fields: &[(Tag, &[u16])]| seen(&taken(tiff::<colortype::RGBA8>((3, 2), &rgba, fields, None)))[3];
    assert_eq!(first(&[]), [64, 0, 0, 128], "nothing said of the only further channel: transparency");
    assert_eq!(first(&[(Tag::ExtraSamples, &[2])]), [64, 0, 0, 128]);
    assert_eq!(first(&[(Tag::ExtraSamples, &[1])]), [127, 0, 0, 128], "multiplied already");
    let grey = seen(&taken(tiff::<colortype::Gray8>((3, 2), &[0, 1, 2, 3, 4, 255], &[], None)));
    assert_eq!((grey[1], grey[5]), ([1, 1, 1, 255], [255; 4]));
    // Four bits a pixel, a row beginning at a byte.
    let packed = [0x0f, 0x10, 0x80, 0x00];
    let grey = seen(&taken(in_four_bits(tiff::<colortype::Gray8>((2, 2), &packed, &[WIDE], None))));
    assert_eq!(grey.iter().map(|pixel| pixel[0]).collect::<Vec<_>>(), [0, 255, 17, 136, 0, 0]);
    // Stored lying on its side.
    let motif = taken(tiff::<colortype::RGB8>((3, 2), &RGB, &[(Tag::Orientation, &[6])], None));
    assert_eq!(size(&motif), "0.006667in x 0.01in");
    assert_eq!(seen(&motif)[..2], [[255, 0, 0, 255], [1, 2, 3, 255]]);
}

#[test]
fn tiff_with_colors_by_number() {
    // Of 16 colors the second is a red, the last a blue; the lower eight bits say nothing.
    let mut list = [0_u16; 48];
    (list[1], list[16 + 1], list[47]) = (200 << 8, 0x1234, 0xffff);
    let number = (Tag::PhotometricInterpretation, &[3][..]);
    let eight = tiff::<colortype::Gray8>((3, 2), &[0, 1, 15, 16, 255, 1], &[number, (Tag::ColorMap, &list)], None);
    let motif = taken(eight.clone());
    let [black, red, blue] = [[0, 0, 0, 255], [200, 18, 0, 255], [0, 0, 255, 255]];
    assert_eq!(seen(&motif), [black, red, blue, black, black, red], "what is not in the list is black");
    assert_eq!(size(&motif), "0.01in x 0.006667in");
    let fields = [WIDE, number, (Tag::ColorMap, &list)];
    let four = tiff::<colortype::Gray8>((2, 2), &[0x01, 0xf0, 0x10, 0x00], &fields, None);
    assert_eq!(seen(&taken(in_four_bits(four))), [black, red, blue, red, black, black]);
    let hint = " | save the picture again; the file may be cut off";
    assert_eq!(
        said(tiff::<colortype::Gray8>((3, 2), &[0; 6], &[number], None)),
        format!("shell: the TIFF cannot be read: its colors are told by number, and their list is missing{hint}")
    );
    assert_eq!(
        said(tiff::<colortype::RGB8>((3, 2), &RGB, &[number, (Tag::ColorMap, &list)], None)),
        "shell: a TIFF with colors by number in more than 8 bits, or with transparency is not taken | save it as PNG, or as TIFF in RGB, grey or CMYK with 8 or 16 bits"
    );
}

#[test]
fn jpeg_and_webp() {
    for pixel in seen(&taken(jpeg(JpegColor::Rgb, &[200, 100, 50].repeat(100), 10, None))) {
        assert!(pixel.iter().zip([200, 100, 50, 255]).all(|(a, b)| a.abs_diff(b) <= 2), "{pixel:?}");
    }
    for pixel in seen(&taken(jpeg(JpegColor::Luma, &[90; 100], 10, None))) {
        assert_eq!(pixel, [90, 90, 90, 255]);
    }
    // Four inks, stored as they are and as brightness and differences, are the same picture.
    let guess = Intake::new().allow("no-profile").expect("a code");
    for color in [JpegColor::Cmyk, JpegColor::CmykAsYcck] {
        let bytes = jpeg(color, &[10, 200, 60, 30].repeat(100), 10, None);
        for pixel in seen(&Motif::from_bytes("shell", bytes, &guess).expect("a picture")) {
            let want = [245, 55, 195].map(|left: u32| (left * 225 / 255) as u8);
            assert!(pixel.iter().zip(want).all(|(a, b)| a.abs_diff(b) <= 3), "{color:?}: {pixel:?}, not {want:?}");
        }
    }
    let mut webp = Vec::new();
    let rgba = [[10, 20, 30, 255], [200, 100, 50, 51]].concat();
    let encoder = image_webp::WebPEncoder::new(&mut webp);
    encoder.encode(&rgba, 2, 1, image_webp::ColorType::Rgba8).expect("a WebP");
    assert_eq!(seen(&taken(webp)), [[10, 20, 30, 255], [40, 20, 10, 51]]);
}

#[test]
fn ink_is_what_can_be_seen() {
    let rgba = |at: usize| (0..6).flat_map(|i| [9, 9, 9, u8::from(i == at) * 255]).collect::<Vec<u8>>();
    let motif = taken(png(ColorType::Rgba, BitDepth::Eight, &rgba(4), |_| {}));
    let bounds = motif.ink().bounds(kurbo::Affine::IDENTITY).expect("ink");
    assert_eq!(bounds, kurbo::Rect::new(0.5, 0.5, 2.5, 2.0));
    assert!(taken(png(ColorType::Rgba, BitDepth::Eight, &rgba(9), |_| {})).ink().is_empty());
}

/// What vector files carry is the same picture: painted by the renderer from its own PNG.
#[test]
fn the_drawing_around_it_shows_the_same_pixels() {
    let data: Vec<u8> = (0..6).flat_map(|n| [n * 40, 255 - n * 30, 7, 255 - n * 20]).collect();
    for (color, data) in [(ColorType::Rgba, &data[..]), (ColorType::Rgb, &RGB)] {
        let motif = taken(png(color, BitDepth::Eight, data, |_| {}));
        let mut canvas = resvg::tiny_skia::Pixmap::new(3, 2).expect("a canvas");
        resvg::render(motif.tree(), resvg::tiny_skia::Transform::identity(), &mut canvas.as_mut());
        let apart = seen(&motif).concat().iter().zip(canvas.data()).map(|(a, b)| a.abs_diff(*b)).max();
        assert!(apart <= Some(1), "{apart:?}");
    }
}

/// Each loss: refused by its name, and taken if allowed.
#[test]
fn losses_are_named() {
    let p3 = icc(&moxcms::ColorProfile::new_display_p3());
    let mut moving = png(ColorType::Rgb, BitDepth::Eight, &RGB, |_| {});
    let frames = [&b"acTL"[..], &[0, 0, 0, 2, 0, 0, 0, 0]].concat();
    let chunk = [&[0, 0, 0, 8], &frames[..], &crc32fast::hash(&frames).to_be_bytes()].concat();
    moving.splice(33..33, chunk);
    let mut pages = Cursor::new(Vec::new());
    let mut encoder = TiffEncoder::new(&mut pages).expect("a file");
    for _ in 0..2 {
        encoder.write_image::<colortype::RGB8>(3, 2, &RGB).expect("a page");
    }
    let spot: &[(Tag, &[u16])] = &[(Tag::ExtraSamples, &[0])];
    let gamma = |info: &mut png::Info| info.source_gamma = Some(png::ScaledFloat::new(1.0));
    let cases = [
        ("animation", moving, "frames of a moving PNG"),
        ("bad-profile", png(ColorType::Rgb, BitDepth::Eight, &RGB, |i| i.icc_profile = Some(vec![7; 200].into())), ""),
        ("bad-profile", jpeg(JpegColor::Cmyk, &[9; 400], 10, Some(&p3)), "a profile for Rgb in a picture of Cmyk"),
        ("color-space", png(ColorType::Rgb, BitDepth::Eight, &RGB, gamma), "gAMA 1"),
        ("extra-channel", tiff::<colortype::RGBA8>((3, 1), &[9, 9, 9, 0].repeat(3), spot, None), "1 of 4 channels"),
        ("more-pages", pages.into_inner(), "all but the first"),
        ("no-profile", tiff::<colortype::CMYK8>((3, 1), &[9; 12], &[], None), "four inks without a profile"),
        ("no-profile", jpeg(JpegColor::Cmyk, &[9; 400], 10, None), "four inks without a profile"),
    ];
    let mut shown = BTreeSet::new();
    for (code, bytes, what) in cases {
        let Err(ArtworkError::Losses { losses, .. }) = take(bytes.clone()) else { panic!("{code} is not refused") };
        assert_eq!((losses.len(), losses[0].code()), (1, code));
        assert!(what.is_empty() || losses[0].what() == what, "{code}: {}", losses[0].what());
        let allowed = Motif::from_bytes("shell", bytes, &Intake::new().allow(code).expect("a code")).expect(code);
        assert_eq!(allowed.losses().len(), 1);
        if code == "extra-channel" {
            assert_eq!(seen(&allowed), [[9, 9, 9, 255]; 3]);
        }
        shown.insert(code);
    }
    shown.remove("animation");
    assert_eq!(shown, BTreeSet::from(LOSSES));
}

#[test]
fn a_profile_is_used() {
    let p3 = icc(&moxcms::ColorProfile::new_display_p3());
    let with = |profile: Vec<u8>| {
        let orange = [200, 100, 50].repeat(6);
        seen(&taken(png(ColorType::Rgb, BitDepth::Eight, &orange, |i| i.icc_profile = Some(profile.into()))))[0]
    };
    // Worked out by hand: linear light 0.5776 0.1274 0.0319; by the matrix between the primaries of
    // P3 and sRGB 0.6789 0.1085 0.0136; with the curve of sRGB 214.9 92.6 30.9.
    let [r, g, b, _] = with(p3);
    assert!(r.abs_diff(215) <= 1 && g.abs_diff(93) <= 1 && b.abs_diff(31) <= 1, "{r} {g} {b}");
    assert_eq!(with(icc(&moxcms::ColorProfile::new_srgb())), [200, 100, 50, 255]);
}

fn said(bytes: Vec<u8>) -> String {
    let error = take(bytes).expect_err("refused");
    format!("{error} | {}", error.hint())
}

/// The same PNG with other sides in its header, and a checksum that fits.
fn lying(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = png(ColorType::Rgb, BitDepth::Eight, &RGB, |_| {});
    bytes[16..20].copy_from_slice(&width.to_be_bytes());
    bytes[20..24].copy_from_slice(&height.to_be_bytes());
    let sum = crc32fast::hash(&bytes[12..29]);
    bytes[29..33].copy_from_slice(&sum.to_be_bytes());
    bytes
}

#[test]
fn what_is_refused_is_refused_in_words() {
    assert_eq!(
        said(lying(200_000, 200_000)),
        "shell: pixels of the picture: 200000 × 200000; the most is 100000000 | make the picture smaller; at 300 dpi a square of 10 000 px is 33 in wide. Or allow more with --limit picture-pixels=200000000"
    );
    let again = " | save the picture again; the file may be cut off";
    assert!(said(lying(0, 5)).starts_with("shell: the PNG cannot be read: "), "{}", said(lying(0, 5)));
    assert!(said(lying(3, 9)).ends_with(again), "{}", said(lying(3, 9)));
    let mut cut = jpeg(JpegColor::Rgb, &[200; 30_000], 100, None);
    cut.truncate(cut.len() - 20);
    assert_eq!(said(cut), format!("shell: the JPEG cannot be read: it is cut off{again}"));
    let deep = tiff::<colortype::RGB8>((3, 2), &RGB, &[(Tag::PhotometricInterpretation, &[8])], None);
    assert_eq!(
        said(deep),
        "shell: a TIFF with Lab color is not taken | save it as PNG, or as TIFF in RGB, grey or CMYK with 8 or 16 bits"
    );
    assert_eq!(
        said(b"GIF89a\x03\0\x02\0".to_vec()),
        "shell: is a GIF picture, not an SVG drawing | save it as SVG; a motif, but not a page, may also be a picture: PNG, JPEG, TIFF or WebP"
    );
}

/// A header that asks for more pixels than the data holds is no picture: a decoder would paint them grey.
#[test]
fn a_jpeg_that_says_more_than_it_holds() {
    let noise: Vec<u8> = (0..40 * 24 * 4).map(|i| (i * 7919 % 251) as u8).collect();
    let flat = vec![200; 40 * 24 * 4];
    let mut kinds = 0;
    for (pixels, color, channels) in [
        (&noise, JpegColor::Luma, 1),
        (&noise, JpegColor::Rgb, 3),
        (&flat, JpegColor::Rgb, 3),
        (&noise, JpegColor::Cmyk, 4),
    ] {
        for sampling in [SamplingFactor::F_1_1, SamplingFactor::F_2_1, SamplingFactor::F_2_2] {
            // The decoder has no room for four inks of two sizes in passes, which it says only when it is strict.
            if channels == 4 && sampling != SamplingFactor::F_1_1 {
                continue;
            }
            for (progressive, optimized) in [(false, false), (false, true), (true, false), (true, true)] {
                // With tables of its own the writer makes a pass for each color, and wrong data between restarts.
                for interval in if optimized { &[0][..] } else { &[0, 1, 5, 15] } {
                    let mut whole = Vec::new();
                    let mut encoder = JpegEncoder::new(&mut whole, 90);
                    encoder.set_sampling_factor(sampling);
                    encoder.set_progressive(progressive);
                    encoder.set_optimized_huffman_tables(optimized);
                    encoder.set_restart_interval(*interval);
                    encoder.encode(&pixels[..40 * 24 * channels], 40, 24, color).expect("a JPEG");
                    let kind = format!("{color:?} {sampling:?} {progressive} {optimized} {interval}");
                    if optimized && !progressive && channels > 1 && sampling != SamplingFactor::F_1_1 {
                        let said = said(whole);
                        assert!(said.starts_with("shell: a JPEG with a pass for each color, "), "{kind}: {said}");
                        continue;
                    }
                    let allowing = Intake::new().allow("no-profile").expect("a code");
                    let taken = Motif::from_bytes("shell", whole.clone(), &allowing);
                    assert!(taken.is_ok(), "{kind}: {taken:?}");
                    let header = whole.windows(2).position(|w| w[0] == 0xff && (0xc0..=0xc2).contains(&w[1]));
                    let height = header.expect("a header") + 5;
                    for (at, by) in [(height + 1, 16), (height, 1), (height + 3, 16), (height + 2, 2)] {
                        let mut lying = whole.clone();
                        lying[at] += by;
                        let said = said(lying);
                        assert!(said.starts_with("shell: the JPEG cannot be read: it "), "{kind}: {said}");
                        assert!(said.contains(" px that it says"), "{kind}: {said}");
                    }
                    kinds += 1;
                }
            }
        }
    }
    assert_eq!(kinds, 10 * (4 + 4 + 1 + 1) - 2 * 2);
}

/// Cut off or bent anywhere, a file is taken or refused, and nothing else happens.
#[test]
fn damage_is_no_harm() {
    let p3 = icc(&moxcms::ColorProfile::new_display_p3());
    let mut webp = Vec::new();
    image_webp::WebPEncoder::new(&mut webp).encode(&RGB, 3, 2, image_webp::ColorType::Rgb8).expect("a WebP");
    let files = [
        png(ColorType::Rgb, BitDepth::Eight, &RGB, |_| {}),
        jpeg(JpegColor::Rgb, &[200; 300], 10, None),
        tiff::<colortype::RGB8>((3, 2), &RGB, &[], Some(&p3)),
        tiff::<colortype::Gray8>(
            (3, 2),
            &[0; 6],
            &[(Tag::PhotometricInterpretation, &[3]), (Tag::ColorMap, &[7; 48])],
            None,
        ),
        webp,
    ];
    for file in files {
        assert!(take(file.clone()).is_ok());
        for at in 0..file.len() {
            let _ = take(file[..at].to_vec());
            for bent in [0, 0x7f, 0xff] {
                let mut file = file.clone();
                file[at] = bent;
                let _ = take(file);
            }
        }
    }
}

#[test]
fn a_file_is_known_by_its_first_bytes() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("limpet.svg");
    std::fs::write(&path, png(ColorType::Rgb, BitDepth::Eight, &RGB, |_| {})).expect("written");
    let motif = Motif::read(&path, &Intake::new()).expect("a picture, whatever its ending says");
    assert!(motif.picture().is_some());
    assert_eq!(motif.name(), "limpet");
}
