//! Pictures made of pixels, and filters painted into some.

use kurbo::{Affine, Rect};
use usvg::{Group as SvgGroup, Image, ImageKind, ImageRendering, Node};

use super::state::State;
use super::stream::Stream;
use super::walk::{Tone, Walk, luminance};
use crate::artwork::affine;
use crate::vector::notes::What;
use crate::vector::painter::{FEWEST, MOST_SIDE};

impl Walk<'_, '_> {
    /// A picture inside the drawing; its space is one unit to its pixel.
    pub(super) fn image(&mut self, image: &Image, node: &Node, out: &mut Stream) {
        let (data, is_jpeg) = match image.kind() {
            ImageKind::JPEG(data) => (data, true),
            ImageKind::PNG(data) | ImageKind::GIF(data) | ImageKind::WEBP(data) => (data, false),
            ImageKind::SVG(_) => return,
        };
        use ImageRendering as R;
        let smooth = !matches!(image.rendering_mode(), R::OptimizeSpeed | R::CrispEdges | R::Pixelated);
        let grey = self.tone == Tone::Grey;
        let key = (data.as_ptr() as usize, grey);
        let size = [image.size().width(), image.size().height()].map(f64::from);
        let found = match self.book.pictures.get(&key) {
            Some(found) => *found,
            None => {
                let found = self.picture(node, size, (is_jpeg && !grey).then_some(&data[..]), smooth);
                self.book.pictures.insert(key, found);
                found
            }
        };
        let Some(id) = found else { return self.note(What::Unread) };
        // A picture fills the unit square, y up.
        out.save();
        out.transform(Affine::new([size[0], 0.0, 0.0, -size[1], 0.0, size[1]]));
        out.draw(id);
        out.restore();
    }

    fn picture(&mut self, node: &Node, size: [f64; 2], jpeg: Option<&[u8]>, smooth: bool) -> Option<pdf_writer::Ref> {
        let px = whole(size)?;
        if let Some(bytes) = jpeg.filter(|bytes| stays(bytes, px)) {
            return Some(self.book.jpeg(px, bytes, smooth));
        }
        let rgba = (self.book.painter)(self.motif, node, Affine::IDENTITY, px)?;
        Some(self.laid_pixels(px, &rgba, smooth))
    }

    fn laid_pixels(&mut self, px: [u32; 2], rgba: &[u8], smooth: bool) -> pdf_writer::Ref {
        let alpha: Vec<u8> = rgba.chunks_exact(4).map(|p| p[3]).collect();
        let mask = alpha.iter().any(|a| *a < 255).then_some(&alpha[..]);
        let bytes: Vec<u8> = match self.tone {
            Tone::Color => rgba.chunks_exact(4).flat_map(|p| [p[0], p[1], p[2]]).collect(),
            Tone::Grey => rgba.chunks_exact(4).map(|p| level(luminance([p[0], p[1], p[2]]))).collect(),
        };
        self.book.picture(px, &bytes, mask, smooth)
    }

    /// A group with filters, painted: `node` is the group. Its own opacity, clip and mask are in the painting.
    pub(super) fn filtered(&mut self, group: &SvgGroup, node: &Node, out: &mut Stream) {
        let r = group.layer_bounding_box();
        let own = Rect::new(r.left().into(), r.top().into(), r.right().into(), r.bottom().into());
        // On the pixels of the delivery, where the motif is largest: there the painting is the rasters' own.
        let to_pixels = self.pixels(out);
        let area = (to_pixels * affine(group.transform())).transform_rect_bbox(own);
        let Some((onto, px, scale)) = canvas(area, *self.left) else { return };
        let to_pixels = onto * to_pixels;
        *self.left -= f64::from(px[0]) * f64::from(px[1]);
        let Some(rgba) = (self.book.painter)(self.motif, node, to_pixels, px) else { return };
        let dpi = (self.dpi * scale).round().max(1.0);
        #[allow(clippy::cast_sign_loss, reason = "at least one")]
        self.note(What::Filter(dpi as u32));
        let id = self.laid_pixels(px, &rgba, true);
        out.save();
        if group.blend_mode() != usvg::BlendMode::Normal {
            let blend = Some(super::state::blend(group.blend_mode()));
            let state = self.book.state(State { blend, ..State::default() });
            out.state(state);
        }
        let [w, h] = px.map(f64::from);
        out.transform(to_pixels.inverse() * Affine::new([w, 0.0, 0.0, -h, 0.0, h]));
        out.draw(id);
        out.restore();
    }
}

/// The canvas for an area of pixels, made coarser if the bounds want it: how the area comes onto it, its pixels, and
/// those to one of the area's.
fn canvas(area: Rect, left: f64) -> Option<(Affine, [u32; 2], f64)> {
    let long = area.width().max(area.height());
    let even = (left.max(FEWEST * FEWEST) / area.area().max(1e-12)).sqrt();
    let scale = ((MOST_SIDE - 6.0) / long).min(even).clamp(1e-9, 1.0);
    // Two pixels around, for what anti-aliasing adds; whole pixels stay whole.
    let corner = area.origin().to_vec2() * scale;
    let corner = (corner.floor() - kurbo::Vec2::new(2.0, 2.0), [area.x1, area.y1].map(|n| (n * scale).ceil() + 2.0));
    let px = whole([corner.1[0] - corner.0.x, corner.1[1] - corner.0.y])?;
    let to = Affine::translate(-corner.0) * Affine::scale(scale);
    to.is_finite().then_some((to, px, scale))
}

#[allow(clippy::cast_sign_loss, reason = "held against one and the most first")]
fn whole(size: [f64; 2]) -> Option<[u32; 2]> {
    let fits = |n: f64| (1.0..=f64::from(u32::MAX)).contains(&n).then_some(n as u32);
    Some([fits(size[0])?, fits(size[1])?])
}

#[allow(clippy::cast_sign_loss, reason = "a level lies between 0 and 1")]
fn level(share: f64) -> u8 {
    (share * 255.0).round() as u8
}

/// Whether a JPEG may go into a PDF as it is: three channels of eight bits, of this size, as its frame says, and
/// no word in it that changes what the channels mean.
fn stays(bytes: &[u8], px: [u32; 2]) -> bool {
    let mut at = 2;
    while let Some([0xff, marker, high, low]) = bytes.get(at..at + 4) {
        let length = usize::from(*high) << 8 | usize::from(*low);
        let Some(body) = bytes.get(at + 4..at + 2 + length.max(2)) else { return false };
        match marker {
            0xc0..=0xc2 => {
                let [8, h1, h0, w1, w0, 3, ..] = body else { return false };
                let size = [[*w1, *w0], [*h1, *h0]].map(|pair| u32::from(u16::from_be_bytes(pair)));
                return size == px;
            }
            // Adobe's marker may say that the channels are no YCbCr.
            0xee if body.starts_with(b"Adobe") && body.get(11) != Some(&1) => return false,
            // Other frames; an image without a frame.
            0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf | 0xd8..=0xda => return false,
            _ => {}
        }
        at += 2 + length.max(2);
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_jpeg_stays_one_only_where_a_pdf_reads_it_alike() {
        let frame = |channels: u8, bits: u8| vec![0xff, 0xc0, 0, 9, bits, 0, 30, 0, 40, channels, 0];
        let file = |parts: &[Vec<u8>]| [&[0xff, 0xd8][..], &parts.concat()].concat();
        assert!(stays(&file(&[frame(3, 8)]), [40, 30]));
        assert!(!stays(&file(&[frame(3, 8)]), [30, 40]), "another size");
        assert!(!stays(&file(&[frame(4, 8)]), [40, 30]), "four inks");
        assert!(!stays(&file(&[frame(3, 12)]), [40, 30]), "twelve bits");
        let adobe = |how: u8| [&[0xff, 0xee, 0, 14][..], b"Adobe\0\x64\0\0\0\0", &[how]].concat();
        assert!(stays(&file(&[adobe(1), frame(3, 8)]), [40, 30]));
        assert!(!stays(&file(&[adobe(0), frame(3, 8)]), [40, 30]), "plain RGB");
        assert!(!stays(&[0xff, 0xd8], [40, 30]) && !stays(&[], [1, 1]), "cut off");
    }

    #[test]
    fn a_canvas_keeps_its_bounds() {
        let (to, px, scale) = canvas(Rect::new(0.5, 10.0, 100.0, 60.2), 1e9).expect("a canvas");
        assert_eq!((px, scale, to), ([104, 55], 1.0, Affine::translate((2.0, -8.0))));
        let (_, px, _) = canvas(Rect::new(0.0, 0.0, 1e6, 50.0), 1e9).expect("a canvas");
        assert!(f64::from(px[0]) <= MOST_SIDE);
        let (_, px, _) = canvas(Rect::new(0.0, 0.0, 1000.0, 1000.0), 10_000.0).expect("a canvas");
        assert!(px[0] <= 105);
    }
}
