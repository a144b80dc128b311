//! A drawing that holds a picture and nothing else, so that vector files can carry it like any other.
//!
//! One pixel of the drawing is one of the picture. The picture goes in as PNG, in sRGB, and as it
//! is: no viewer has to know its profile.

use std::borrow::Cow;
use std::sync::Arc;

use usvg::{ImageHrefResolver, ImageKind, Options, Tree};

use super::Pixels;

/// The drawing; its words about a failure are for developers.
pub(in super::super) fn wrap(pixels: &Pixels) -> Result<Tree, String> {
    let png = Arc::new(png(pixels).map_err(|e| e.to_string())?);
    let (w, h) = (pixels.width, pixels.height);
    let text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\">\
         <image width=\"{w}\" height=\"{h}\" href=\"picture\" style=\"image-rendering:smooth\"/></svg>"
    );
    let options = Options {
        image_href_resolver: ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(move |_, _| Some(ImageKind::PNG(Arc::clone(&png)))),
        },
        ..Options::default()
    };
    Tree::from_str(&text, &options).map_err(|e| e.to_string())
}

/// Packed quickly; without the transparency that it doesn't have.
fn png(pixels: &Pixels) -> Result<Vec<u8>, png::EncodingError> {
    let opaque = pixels.bytes.chunks_exact(4).all(|p| p[3] == 255);
    let bytes: Cow<[u8]> = if opaque {
        pixels.bytes.chunks_exact(4).flat_map(|p| [p[0], p[1], p[2]]).collect::<Vec<u8>>().into()
    } else {
        (&pixels.bytes).into()
    };
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, pixels.width, pixels.height);
    encoder.set_color(if opaque { png::ColorType::Rgb } else { png::ColorType::Rgba });
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_source_srgb(png::SrgbRenderingIntent::RelativeColorimetric);
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&bytes)?;
    writer.finish()?;
    Ok(out)
}
