//! Turning a picture upright: the eight ways in which a camera or scanner may have held it.

use super::Pixels;

/// Whether width and height change places.
pub(super) fn swaps(orientation: u16) -> bool {
    (5..=8).contains(&orientation)
}

/// The picture as it is to be seen. Orientations are those of EXIF and TIFF:
///
/// ```text
///   1       2       3       4       5         6         7         8
///   AB      BA      DC      CD      AC        BD        DB        CA
///   CD      DC      BA      AB      BD        AC        CA        DB
/// ```
///
/// where `AB/CD` is to be seen and the letters show how it is stored.
pub(super) fn turned(stored: Pixels, orientation: u16) -> Pixels {
    let (w, h) = (stored.width as usize, stored.height as usize);
    // Where the pixel that is seen at (x, y) is stored.
    let from = |x: usize, y: usize| match orientation {
        2 => (w - 1 - x, y),
        3 => (w - 1 - x, h - 1 - y),
        4 => (x, h - 1 - y),
        5 => (y, x),
        6 => (y, h - 1 - x),
        7 => (w - 1 - y, h - 1 - x),
        _ => (w - 1 - y, x),
    };
    if !(2..=8).contains(&orientation) {
        return stored;
    }
    let (width, height) =
        if swaps(orientation) { (stored.height, stored.width) } else { (stored.width, stored.height) };
    let channels = stored.bytes.len() / (w * h);
    let mut bytes = Vec::with_capacity(stored.bytes.len());
    for y in 0..height as usize {
        for x in 0..width as usize {
            let (x, y) = from(x, y);
            let at = (y * w + x) * channels;
            bytes.extend_from_slice(&stored.bytes[at..at + channels]);
        }
    }
    Pixels { width, height, bytes }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_orientation_is_turned_back() {
        // How 12/34/56, two across and three down, is stored.
        let cases: [(u16, u32, &[u8; 6]); 8] = [
            (1, 2, b"123456"),
            (2, 2, b"214365"),
            (3, 2, b"654321"),
            (4, 2, b"563412"),
            (5, 3, b"135246"),
            (6, 3, b"246135"),
            (7, 3, b"642531"),
            (8, 3, b"531642"),
        ];
        for (orientation, width, levels) in cases {
            let bytes = levels.iter().flat_map(|n| [*n; 4]).collect();
            let seen = turned(Pixels { width, height: 6 / width, bytes }, orientation);
            let levels: Vec<u8> = seen.bytes.chunks(4).map(|p| p[0]).collect();
            assert_eq!((seen.width, seen.height), (2, 3), "{orientation}");
            assert_eq!(levels, b"123456", "{orientation}");
        }
    }
}
