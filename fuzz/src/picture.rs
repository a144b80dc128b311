//! Pictures made of pixels → motifs.

use seamfast::artwork::Motif;

use super::svg::{allowing, said};
use super::{pick, plan};

/// Pixels beyond which a picture is not looked at: what large ones take is known, and they are slow.
const MOST_PIXELS: usize = 1 << 18;

/// PNG, JPEG, TIFF or WebP as a motif: premultiplied pixels, as many as it says.
pub fn picture(data: &[u8]) {
    if data.len() > 64 << 10 || imagesize::blob_size(data).is_ok_and(|s| s.width.saturating_mul(s.height) > MOST_PIXELS)
    {
        return;
    }
    let motif = match Motif::from_bytes("fuzz", data.to_vec(), allowing()) {
        Ok(motif) => motif,
        Err(e) => return said(&e).unwrap_or_default(),
    };
    let Some(picture) = motif.picture() else { return }; // a drawing: another target's
    for times in [0, 1, picture.most_halvings()] {
        let pixels = picture.halved(times);
        assert_eq!(pixels.bytes.len(), pixels.width as usize * pixels.height as usize * 4);
        assert!(
            pixels.bytes.chunks_exact(4).all(|p| p[0] <= p[3] && p[1] <= p[3] && p[2] <= p[3]),
            "not premultiplied"
        );
    }
    let seen = picture.halved(0).bytes.chunks_exact(4).any(|p| p[3] > 0);
    assert_eq!(seen, !motif.ink().is_empty());
    plan::sound(&motif);
    let pick = pick(data);
    plan::laid(&[if pick % 4 == 3 { motif.trimmed() } else { motif }], pick);
}
