//! The pixels that are judged, and the lines on both sides of a boundary between them.

/// A tile's pixels: eight bits a channel, premultiplied.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Image {
    width: usize,
    height: usize,
    channels: usize,
    lossy: bool,
    bytes: Vec<u8>,
}

/// Which two edges of a tile meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// The right edge meets the left one; lines are columns.
    LeftRight,
    /// The bottom edge meets the top one; lines are rows.
    TopBottom,
}

impl Side {
    /// Both.
    pub const BOTH: [Side; 2] = [Side::LeftRight, Side::TopBottom];

    /// As it is named in reports.
    pub fn name(self) -> &'static str {
        match self {
            Side::LeftRight => "left-right",
            Side::TopBottom => "top-bottom",
        }
    }

    /// What a line is called.
    pub fn line(self) -> &'static str {
        match self {
            Side::LeftRight => "column",
            Side::TopBottom => "row",
        }
    }
}

impl Image {
    /// From straight pixels in rows: three bytes each, or four with alpha.
    ///
    /// # Panics
    /// If there are not as many bytes as that comes to.
    pub fn new(width: usize, height: usize, channels: usize, mut bytes: Vec<u8>) -> Image {
        assert_eq!(bytes.len(), width * height * channels, "as many bytes as pixels");
        if channels == 4 {
            for pixel in bytes.chunks_exact_mut(4).filter(|pixel| pixel[3] < 255) {
                let alpha = u16::from(pixel[3]);
                for level in &mut pixel[..3] {
                    *level = u8::try_from((u16::from(*level) * alpha + 127) / 255).unwrap_or(255);
                }
            }
        }
        Image { width, height, channels, lossy: false, bytes }
    }

    /// The same, of a file that was packed with loss: neighbours are then alike or not by chance.
    pub fn lossy(self) -> Image {
        Image { lossy: true, ..self }
    }

    /// Its brightness alone (ITU-T T.871), in one channel: a JPEG's colors are packed in blocks of two by two pixels
    /// and lie up to one off; brightness does not.
    pub fn brightness(&self) -> Image {
        let grey = |pixel: &[u8]| {
            let sum: u32 = pixel.iter().zip([299, 587, 114]).map(|(level, weight)| u32::from(*level) * weight).sum();
            u8::try_from((sum + 500) / 1000).unwrap_or(255)
        };
        Image { channels: 1, bytes: self.bytes.chunks_exact(self.channels).map(grey).collect(), ..*self }
    }

    /// Whether it was packed with loss.
    pub fn is_lossy(&self) -> bool {
        self.lossy
    }

    /// Pixels across.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Pixels down.
    pub fn height(&self) -> usize {
        self.height
    }

    /// Bytes of a pixel.
    pub fn channels(&self) -> usize {
        self.channels
    }

    /// A line's pixels, in the order in which they lie along a join.
    pub(super) fn line(&self, side: Side, at: usize) -> impl Iterator<Item = &[u8]> {
        (0..self.length(side)).map(move |along| self.sample(side, at, along))
    }

    /// A line's pixel, by its place along the join.
    pub(super) fn sample(&self, side: Side, line: usize, along: usize) -> &[u8] {
        match side {
            Side::LeftRight => self.pixel(line, along),
            Side::TopBottom => self.pixel(along, line),
        }
    }

    /// A row's bytes.
    pub fn row(&self, y: usize) -> &[u8] {
        let length = self.width * self.channels;
        &self.bytes[y * length..(y + 1) * length]
    }

    /// A pixel's bytes.
    pub fn pixel(&self, x: usize, y: usize) -> &[u8] {
        let at = (y * self.width + x) * self.channels;
        &self.bytes[at..at + self.channels]
    }

    /// How many lines a side has.
    pub fn lines(&self, side: Side) -> usize {
        match side {
            Side::LeftRight => self.width,
            Side::TopBottom => self.height,
        }
    }

    /// How long they are.
    pub fn length(&self, side: Side) -> usize {
        match side {
            Side::LeftRight => self.height,
            Side::TopBottom => self.width,
        }
    }
}

/// What a sum over so many channels is to be multiplied by: brightness alone stands for three colors.
pub(super) fn weight(channels: usize) -> f32 {
    if channels == 1 { 3.0 } else { 1.0 }
}

/// Lines on each side of a boundary.
pub(super) const REACH: usize = 4;

/// The lines on both sides of a boundary, in the order in which they lie. At boundary 0 they are
/// the last lines of the tile and the first ones.
pub(super) struct Strip {
    pub(super) length: usize,
    pub(super) channels: usize,
    /// Of a picture that was packed with loss.
    pub(super) lossy: bool,
    lines: Vec<Vec<f32>>,
}

impl Strip {
    /// Takes the lines around the boundary before line `at`.
    pub(super) fn around(image: &Image, side: Side, at: usize) -> Strip {
        let (count, length, channels) = (image.lines(side), image.length(side), image.channels);
        let mut lines = vec![vec![0.0; length * channels]; 2 * REACH];
        let index = |offset: usize| (at + count * REACH + offset - REACH) % count;
        match side {
            Side::LeftRight => {
                for y in 0..length {
                    let row = image.row(y);
                    for (offset, line) in lines.iter_mut().enumerate() {
                        let pixel = &row[index(offset) * channels..][..channels];
                        let own = &mut line[y * channels..][..channels];
                        own.iter_mut().zip(pixel).for_each(|(own, level)| *own = f32::from(*level));
                    }
                }
            }
            Side::TopBottom => {
                for (offset, line) in lines.iter_mut().enumerate() {
                    line.iter_mut().zip(image.row(index(offset))).for_each(|(own, level)| *own = f32::from(*level));
                }
            }
        }
        Strip { length, channels, lossy: image.lossy, lines }
    }

    /// The line at `offset` from the boundary: -1 is the one before it, 0 the one behind.
    pub(super) fn line(&self, offset: isize) -> &[f32] {
        &self.lines[REACH.strict_add_signed(offset)]
    }

    /// The same with the lines behind the boundary moved along it by whole samples.
    pub(super) fn slid(&self, by: isize) -> Strip {
        let mut lines = self.lines.clone();
        let length = isize::try_from(self.length).unwrap_or(isize::MAX);
        let steps = usize::try_from(by.rem_euclid(length)).unwrap_or(0);
        for line in &mut lines[REACH..] {
            line.rotate_left(steps * self.channels);
        }
        Strip { lines, ..*self }
    }
}
