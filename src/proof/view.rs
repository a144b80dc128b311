//! Pictures for the eye: a tile's pixels enlarged without smoothing, or made smaller as an eye far
//! away would see them; and drawing laid over them.

use std::sync::LazyLock;

use rayon::prelude::*;

use crate::join::Image;

/// An opaque picture: red, green, blue in rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct View {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Three bytes a pixel.
    pub rgb: Vec<u8>,
}

/// A part of the endless cloth, in pixels of the tile; it may lie anywhere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Its left upper corner.
    pub from: [f64; 2],
    /// Pixels of the tile that one of the picture covers, across and down.
    pub step: [f64; 2],
    /// Pixels of the picture.
    pub size: [usize; 2],
}

impl View {
    /// All of one color.
    pub fn new(width: usize, height: usize, color: [u8; 3]) -> View {
        View { width, height, rgb: color.repeat(width * height) }
    }

    /// Tile pixels, each as a square of `times` pixels, over white where they are transparent.
    pub fn enlarged(tile: &Image, from: [isize; 2], size: [usize; 2], times: usize) -> View {
        let mut view = View::new(size[0] * times, size[1] * times, [255; 3]);
        let wrap = |at: isize, offset: usize, side: usize| {
            let side = isize::try_from(side).unwrap_or(isize::MAX);
            usize::try_from((at + isize::try_from(offset / times).unwrap_or(0)).rem_euclid(side)).unwrap_or(0)
        };
        for (y, row) in view.rgb.chunks_exact_mut(size[0] * times * 3).enumerate() {
            let line = wrap(from[1], y, tile.height());
            for (x, pixel) in row.chunks_exact_mut(3).enumerate() {
                pixel.copy_from_slice(&over_white(tile.pixel(wrap(from[0], x, tile.width()), line)));
            }
        }
        view
    }

    /// The cloth seen from further away: each pixel is the mean, in linear light, of what it covers.
    pub fn reduced(tile: &Image, window: Window) -> View {
        let [width, height] = window.size;
        let mut view = View::new(width, height, [255; 3]);
        view.rgb.par_chunks_exact_mut(width.max(1) * 3).enumerate().for_each(|(y, row)| {
            let top = window.from[1] + y as f64 * window.step[1];
            let sums = Sums::of(&rows_between(tile, top, top + window.step[1]));
            for (x, pixel) in row.chunks_exact_mut(3).enumerate() {
                let left = window.from[0] + x as f64 * window.step[0];
                let area = window.step[0] * window.step[1];
                pixel.copy_from_slice(&sums.between(left, left + window.step[0]).map(|sum| encoded(sum / area)));
            }
        });
        view
    }

    /// As a PNG in memory, sRGB.
    pub(super) fn png(&self) -> Vec<u8> {
        let mut out = Vec::new();
        let [width, height] = [self.width, self.height].map(|side| u32::try_from(side).unwrap_or(u32::MAX));
        let mut encoder = png::Encoder::new(&mut out, width, height);
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_source_srgb(png::SrgbRenderingIntent::RelativeColorimetric);
        // Memory takes what it is given.
        let _ = encoder.write_header().and_then(|mut writer| writer.write_image_data(&self.rgb));
        out
    }

    /// Lays straight RGBA of the same size over it.
    pub fn lay(&mut self, rgba: &[u8]) {
        for (under, over) in self.rgb.chunks_exact_mut(3).zip(rgba.chunks_exact(4)) {
            let alpha = u32::from(over[3]);
            for (u, o) in under.iter_mut().zip(&over[..3]) {
                let sum = u32::from(*u) * (255 - alpha) + u32::from(*o) * alpha;
                *u = u8::try_from((sum + 127) / 255).unwrap_or(255);
            }
        }
    }

    /// Puts a smaller picture into it, its left upper corner at `at`; what hangs over is cut.
    pub fn put(&mut self, other: &View, at: [usize; 2]) {
        let width = other.width.min(self.width.saturating_sub(at[0]));
        for y in 0..other.height.min(self.height.saturating_sub(at[1])) {
            let to = ((at[1] + y) * self.width + at[0]) * 3;
            let from = y * other.width * 3;
            self.rgb[to..to + width * 3].copy_from_slice(&other.rgb[from..from + width * 3]);
        }
    }
}

/// A premultiplied pixel over white.
pub(super) fn over_white(pixel: &[u8]) -> [u8; 3] {
    let clear = pixel.get(3).map_or(0, |alpha| 255 - alpha);
    [pixel[0], pixel[1], pixel[2]].map(|level| level.saturating_add(clear))
}

/// The rows of a tile between two heights of the cloth, added up by the share that lies between, in linear light.
fn rows_between(tile: &Image, top: f64, bottom: f64) -> Vec<f32> {
    let mut sum = vec![0.0; tile.width() * 3];
    let mut y = top.floor();
    while y < bottom {
        let share = ((y + 1.0).min(bottom) - y.max(top)) as f32;
        let row = tile.row(y.rem_euclid(tile.height() as f64) as usize);
        for (sum, pixel) in sum.chunks_exact_mut(3).zip(row.chunks_exact(row.len() / tile.width())) {
            for (sum, level) in sum.iter_mut().zip(over_white(pixel)) {
                *sum += share * LINEAR[usize::from(level)];
            }
        }
        y += 1.0;
    }
    sum
}

/// Sums from the left edge, so that any part of an endless row is the difference of two.
struct Sums(Vec<[f64; 3]>);

impl Sums {
    fn of(row: &[f32]) -> Sums {
        let mut sums = vec![[0.0; 3]];
        let mut sum = [0.0; 3];
        for pixel in row.chunks_exact(3) {
            for (sum, level) in sum.iter_mut().zip(pixel) {
                *sum += f64::from(*level);
            }
            sums.push(sum);
        }
        Sums(sums)
    }

    fn between(&self, left: f64, right: f64) -> [f64; 3] {
        let (a, b) = (self.up_to(left), self.up_to(right));
        [b[0] - a[0], b[1] - a[1], b[2] - a[2]]
    }

    fn up_to(&self, x: f64) -> [f64; 3] {
        let width = self.0.len() - 1;
        let (turns, rest) = ((x / width as f64).floor(), x.rem_euclid(width as f64));
        let at = (rest as usize).min(width - 1);
        let part = rest - at as f64;
        [0, 1, 2].map(|c| turns * self.0[width][c] + self.0[at][c] + part * (self.0[at + 1][c] - self.0[at][c]))
    }
}

/// sRGB levels as light (IEC 61966-2-1).
static LINEAR: LazyLock<[f32; 256]> = LazyLock::new(|| {
    std::array::from_fn(|level| {
        let v = level as f64 / 255.0;
        (if v <= 0.04045 { v / 12.92 } else { libm::pow((v + 0.055) / 1.055, 2.4) }) as f32
    })
});

/// The level whose light is nearest.
fn encoded(light: f64) -> u8 {
    let above = LINEAR.partition_point(|l| f64::from(*l) < light);
    match above {
        0 => 0,
        256 => 255,
        n if light - f64::from(LINEAR[n - 1]) < f64::from(LINEAR[n]) - light => (n - 1) as u8,
        n => n as u8,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tile() -> Image {
        Image::new(3, 2, 3, vec![255, 0, 0, 0, 255, 0, 0, 0, 255, 255, 255, 255, 0, 0, 0, 188, 188, 188])
    }

    #[test]
    fn pixels_are_squares_over_the_edge_as_inside() {
        let view = View::enlarged(&tile(), [2, 1], [2, 2], 8);
        let at = |x: usize, y: usize| view.rgb[(y * view.width + x) * 3..][..3].to_vec();
        assert_eq!((view.width, view.height), (16, 16));
        assert_eq!([at(0, 0), at(7, 7)], [[188; 3], [188; 3]]);
        assert_eq!([at(8, 0), at(0, 8), at(15, 15)], [[255; 3], [0, 0, 255], [255, 0, 0]]);
    }

    /// Half white and half black light is level 188 (IEC 61966-2-1: 0.5 encodes to 0.7354).
    #[test]
    fn far_away_light_is_mixed_and_not_levels() {
        let stripes = Image::new(2, 1, 3, vec![255, 255, 255, 0, 0, 0]);
        let view = View::reduced(&stripes, Window { from: [0.5, 0.0], step: [2.0, 1.0], size: [3, 1] });
        assert_eq!(view.rgb, [188; 9]);
    }

    #[test]
    fn a_step_of_one_pixel_is_the_cloth_itself() {
        let view = View::reduced(&tile(), Window { from: [-1.0, -2.0], step: [1.0, 1.0], size: [4, 1] });
        assert_eq!(view.rgb, [0, 0, 255, 255, 0, 0, 0, 255, 0, 0, 0, 255]);
    }
}
