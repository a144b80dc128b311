//! What is drawn around pictures: rulers, words, marks. Drawn once, as SVG, for pictures and paper alike.

use std::fmt::Write;

use crate::artwork::{ArtworkError, Intake, Motif};
use crate::limits::Limits;
use crate::raster::{self, RasterError};

/// The dyes of the house.
pub(super) const LINEN: [u8; 3] = [0xf3, 0xee, 0xe3];
pub(super) const INDIGO: &str = "#1f2d4d";
pub(super) const MADDER: &str = "#a8402f";
pub(super) const WOAD: &str = "#5b7f9f";
pub(super) const WELD: &str = "#d8a72a";

/// A drawing on a page, in units of its own.
pub(super) struct Frame {
    head: String,
    body: String,
}

/// Where a line of words is held.
#[derive(Clone, Copy)]
pub(super) enum Held {
    Left,
    Middle,
    Right,
}

/// Along which edge a ruler lies; its lines grow into the ruler from the measured edge.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Lies {
    Above,
    Below,
    LeftOf,
    RightOf,
}

/// A ruler: how long its unit is in the drawing, how many units, where lines and numbers stand.
#[derive(Clone, Copy)]
pub(super) struct Ruler {
    pub(super) unit: f64,
    pub(super) count: f64,
    /// Lines in a unit.
    pub(super) parts: usize,
    /// Units from one number to the next.
    pub(super) every: usize,
    /// A number stands for so many units: 10 for millimetres that are numbered as centimetres.
    pub(super) name: &'static str,
    pub(super) text: f64,
}

impl Frame {
    /// A page of so many units, each so many CSS pixels on the finished page.
    pub(super) fn new(width: f64, height: f64, size: [String; 2]) -> Frame {
        let [w, h] = size;
        let head = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {width} {height}\" \
             font-family=\"DejaVu Serif\" font-weight=\"bold\">"
        );
        Frame { head, body: String::new() }
    }

    /// A page whose unit is a pixel.
    pub(super) fn pixels(width: usize, height: usize) -> Frame {
        Frame::new(width as f64, height as f64, [width.to_string(), height.to_string()])
    }

    /// Words in one line; letters that the bundled font lacks become dots.
    pub(super) fn words(&mut self, [x, y]: [f64; 2], size: f64, held: Held, color: &str, text: &str) {
        let anchor = match held {
            Held::Left => "start",
            Held::Middle => "middle",
            Held::Right => "end",
        };
        let text: String = text.chars().map(|c| if has(c) { c } else { '·' }).collect();
        let text = text.replace('&', "&amp;").replace('<', "&lt;");
        let _ = writeln!(
            self.body,
            "<text x=\"{x:.3}\" y=\"{y:.3}\" font-size=\"{size}\" text-anchor=\"{anchor}\" fill=\"{color}\">{text}</text>"
        );
    }

    /// Lines, as path data.
    pub(super) fn lines(&mut self, path: &str, width: f64, color: &str) {
        let _ = writeln!(self.body, "<path d=\"{path}\" fill=\"none\" stroke=\"{color}\" stroke-width=\"{width}\"/>");
    }

    /// A shape, as path data.
    pub(super) fn shape(&mut self, path: &str, color: &str, opacity: f64) {
        let _ = writeln!(self.body, "<path d=\"{path}\" fill=\"{color}\" fill-opacity=\"{opacity}\"/>");
    }

    /// A ruler whose measured edge begins at a point. Its first and last lines stand exactly at the ends.
    pub(super) fn ruler(&mut self, [x, y]: [f64; 2], lies: Lies, ruler: Ruler) {
        let mut path = String::new();
        let lines = (ruler.count * ruler.parts as f64 + 1e-6).floor() as usize;
        for line in 0..=lines {
            let at = ruler.unit * line as f64 / ruler.parts as f64;
            let unit = line / ruler.parts;
            let numbered = line.is_multiple_of(ruler.parts) && unit.is_multiple_of(ruler.every);
            let half = (line * 2).is_multiple_of(ruler.parts);
            let long = ruler.text
                * if numbered {
                    1.1
                } else if half {
                    0.8
                } else {
                    0.5
                };
            let _ = match lies {
                Lies::Above => write!(path, "M{:.4} {y:.4}v{:.4}", x + at, -long),
                Lies::Below => write!(path, "M{:.4} {y:.4}v{long:.4}", x + at),
                Lies::LeftOf => write!(path, "M{x:.4} {:.4}h{:.4}", y + at, -long),
                Lies::RightOf => write!(path, "M{x:.4} {:.4}h{long:.4}", y + at),
            };
            if numbered {
                let name = if line == 0 { ruler.name.to_owned() } else { unit.to_string() };
                let (place, held) = match lies {
                    Lies::Above => ([x + at, y - ruler.text * 1.3], Held::Middle),
                    Lies::Below => ([x + at, y + ruler.text * 2.1], Held::Middle),
                    Lies::LeftOf => ([x - ruler.text * 1.3, y + at + ruler.text * 0.35], Held::Right),
                    Lies::RightOf => ([x + ruler.text * 1.3, y + at + ruler.text * 0.35], Held::Left),
                };
                self.words(place, ruler.text, held, INDIGO, &name);
            }
        }
        let end = ruler.unit * ruler.count;
        let _ = match lies {
            Lies::Above | Lies::Below => write!(path, "M{x:.4} {y:.4}h{end:.4}"),
            Lies::LeftOf | Lies::RightOf => write!(path, "M{x:.4} {y:.4}v{end:.4}"),
        };
        self.lines(&path, ruler.text / 12.0, INDIGO);
    }

    /// The drawing, taken in by the same door as anyone's.
    pub(super) fn drawing(&self) -> Result<Motif, ArtworkError> {
        Motif::from_svg("frame", format!("{}\n{}</svg>", self.head, self.body).as_bytes(), &Intake::new())
    }

    /// Painted: straight RGBA, for a page whose unit is a pixel.
    pub(super) fn painted(&self) -> Result<Vec<u8>, FrameError> {
        let drawing = self.drawing()?;
        let page = drawing.page_px();
        let (_, _, rgba) = raster::page(&drawing, [page.width, page.height], Limits::default().tile)?;
        Ok(rgba)
    }
}

/// A circle, as path data.
pub(super) fn circle([x, y]: [f64; 2], r: f64) -> String {
    format!("M{:.2} {y:.2}a{r:.2} {r:.2} 0 1 0 {:.2} 0a{r:.2} {r:.2} 0 1 0 {:.2} 0Z", x - r, 2.0 * r, -2.0 * r)
}

/// Why a frame could not be drawn: a fault of ours.
#[derive(Debug, thiserror::Error)]
pub enum FrameError {
    /// It does not read.
    #[error(transparent)]
    Drawing(#[from] ArtworkError),
    /// It can't be painted.
    #[error(transparent)]
    Painting(#[from] RasterError),
}

/// What the bundled font has, of what names and units are written with.
fn has(letter: char) -> bool {
    matches!(letter, ' '..='~' | '\u{a1}'..='\u{ff}' | '–' | '…' | '’' | '“' | '”')
}
