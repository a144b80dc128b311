//! Pictures in memory: compared, joined, read and written.

use std::fs::File;
use std::io::{BufReader, BufWriter};
use std::path::Path;

/// Rows of 8-bit pixels, RGB or RGBA.
#[derive(Clone, PartialEq, Eq)]
pub struct Picture {
    pub width: usize,
    pub height: usize,
    pub channels: usize,
    pub bytes: Vec<u8>,
}

impl Picture {
    pub fn pixel(&self, x: i64, y: i64) -> &[u8] {
        let (x, y) = (x.rem_euclid(self.width as i64) as usize, y.rem_euclid(self.height as i64) as usize);
        &self.bytes[(y * self.width + x) * self.channels..][..self.channels]
    }

    /// How many pixels of `self` differ from those of `other` moved by `by` on the torus of `other`.
    pub fn differs_from(&self, other: &Picture, by: [i64; 2]) -> usize {
        let all = (0..self.height as i64).flat_map(|y| (0..self.width as i64).map(move |x| (x, y)));
        all.filter(|&(x, y)| self.pixel(x, y) != other.pixel(x - by[0], y - by[1])).count()
    }

    /// White where they are the same, black where they differ most.
    pub fn difference(&self, other: &Picture) -> Picture {
        let mut out = Picture { channels: 3, bytes: Vec::new(), ..*self };
        for (x, y) in (0..self.height as i64).flat_map(|y| (0..self.width as i64).map(move |x| (x, y))) {
            let pair = self.pixel(x, y).iter().zip(other.pixel(x, y));
            let most = pair.map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0);
            out.bytes.extend_from_slice(&[if most == 0 { 255 } else { 160 - most / 2 }; 3]);
        }
        out
    }

    /// Side by side, on white, a gap between.
    pub fn row(pictures: &[&Picture]) -> Picture {
        const GAP: usize = 8;
        let width = pictures.iter().map(|p| p.width + GAP).sum::<usize>() - GAP;
        let height = pictures.iter().map(|p| p.height).max().unwrap_or(0);
        let mut out = Picture { width, height, channels: 3, bytes: vec![255; width * height * 3] };
        let mut left = 0;
        for picture in pictures {
            out.lay(picture, left, 0);
            left += picture.width + GAP;
        }
        out
    }

    /// Lays a picture over this one; alpha shows what is below.
    pub fn lay(&mut self, above: &Picture, left: usize, top: usize) {
        for y in 0..above.height.min(self.height - top) {
            for x in 0..above.width.min(self.width - left) {
                let from = above.pixel(x as i64, y as i64);
                let alpha = u32::from(*from.get(3).unwrap_or(&255));
                let to = &mut self.bytes[((top + y) * self.width + left + x) * self.channels..][..3];
                for (to, from) in to.iter_mut().zip(from) {
                    *to = ((u32::from(*from) * alpha + u32::from(*to) * (255 - alpha) + 127) / 255) as u8;
                }
            }
        }
    }

    /// Half as wide and high: each pixel the mean of four.
    pub fn halved(&self) -> Picture {
        let mut out =
            Picture { width: self.width / 2, height: self.height / 2, channels: self.channels, bytes: Vec::new() };
        for (x, y) in (0..out.height as i64).flat_map(|y| (0..out.width as i64).map(move |x| (2 * x, 2 * y))) {
            for c in 0..self.channels {
                let four = [(0, 0), (1, 0), (0, 1), (1, 1)].map(|(u, v)| u32::from(self.pixel(x + u, y + v)[c]));
                out.bytes.push(((four.iter().sum::<u32>() + 2) / 4) as u8);
            }
        }
        out
    }

    pub fn open(path: &Path) -> Picture {
        let file = File::open(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let mut reader = png::Decoder::new(BufReader::new(file)).read_info().expect("a PNG");
        let mut bytes = vec![0; reader.output_buffer_size().expect("a small picture")];
        let info = reader.next_frame(&mut bytes).expect("a whole PNG");
        Picture { width: info.width as usize, height: info.height as usize, channels: info.color_type.samples(), bytes }
    }

    pub fn save(&self, path: &Path) {
        let file = BufWriter::new(File::create(path).unwrap_or_else(|e| panic!("{}: {e}", path.display())));
        let mut encoder = png::Encoder::new(file, self.width as u32, self.height as u32);
        encoder.set_color(if self.channels == 4 { png::ColorType::Rgba } else { png::ColorType::Rgb });
        encoder.set_compression(png::Compression::High);
        encoder.write_header().and_then(|mut w| w.write_image_data(&self.bytes)).expect("written");
    }
}
