//! The content of a page, form or pattern (ISO 32000-1, 7.8.2): operators as text, and what they name.
//!
//! Colors and transforms are followed, so that a color is set once, and a pattern knows where it is used.

use std::collections::BTreeSet;
use std::fmt::Write;

use kurbo::{Affine, BezPath, PathEl, Point};
use pdf_writer::Ref;

use super::number::number;

/// What a stream names: the sort of resource, as its dictionary is called, and the letter of its names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    Space,
    State,
    Pattern,
    Shading,
    Drawn,
}

impl Kind {
    pub(super) const ALL: [Kind; 5] = [Kind::Space, Kind::State, Kind::Pattern, Kind::Shading, Kind::Drawn];

    pub(super) const fn dictionary(self) -> &'static [u8] {
        match self {
            Kind::Space => b"ColorSpace",
            Kind::State => b"ExtGState",
            Kind::Pattern => b"Pattern",
            Kind::Shading => b"Shading",
            Kind::Drawn => b"XObject",
        }
    }

    pub(super) const fn letter(self) -> char {
        match self {
            Kind::Space => 'C',
            Kind::State => 'G',
            Kind::Pattern => 'P',
            Kind::Shading => 'S',
            Kind::Drawn => 'X',
        }
    }
}

/// What ink is laid with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Color {
    /// Three levels in a color space, 0 to 1.
    Three(Ref, [f64; 3]),
    /// A whole tint of a separation.
    Ink(Ref),
    /// A level of grey, in masks.
    Grey(f64),
    /// A pattern.
    Pattern(Ref),
}

/// A color is for filling or for strokes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Use {
    Fill,
    Stroke,
}

#[derive(Clone, Copy, Debug)]
struct Now {
    to_stream: Affine,
    colors: [Option<Color>; 2],
}

/// A stream that is being written.
#[derive(Debug)]
pub(super) struct Stream {
    pub(super) text: String,
    pub(super) uses: BTreeSet<(Kind, i32)>,
    now: Now,
    saved: Vec<Now>,
}

impl Stream {
    pub(super) fn new() -> Stream {
        let now = Now { to_stream: Affine::IDENTITY, colors: [None; 2] };
        Stream { text: String::new(), uses: BTreeSet::new(), now, saved: Vec::new() }
    }

    /// From what is drawn now to the stream's own space, in which patterns lie.
    pub(super) fn to_stream(&self) -> Affine {
        self.now.to_stream
    }

    pub(super) fn save(&mut self) {
        self.saved.push(self.now);
        self.text.push_str("q\n");
    }

    pub(super) fn restore(&mut self) {
        self.now = self.saved.pop().unwrap_or(self.now);
        self.text.push_str("Q\n");
    }

    pub(super) fn transform(&mut self, by: Affine) {
        if by != Affine::IDENTITY {
            self.numbers(by.as_coeffs());
            self.text.push_str("cm\n");
            self.now.to_stream *= by;
        }
    }

    /// The name of a resource, which is then one of the stream's.
    fn name(&mut self, kind: Kind, id: Ref) {
        self.uses.insert((kind, id.get()));
        let _ = write!(self.text, "/{}{} ", kind.letter(), id.get());
    }

    pub(super) fn state(&mut self, id: Ref) {
        self.name(Kind::State, id);
        self.text.push_str("gs\n");
    }

    pub(super) fn draw(&mut self, id: Ref) {
        self.name(Kind::Drawn, id);
        self.text.push_str("Do\n");
    }

    pub(super) fn shade(&mut self, id: Ref) {
        self.name(Kind::Shading, id);
        self.text.push_str("sh\n");
    }

    pub(super) fn color(&mut self, of: Use, color: Color) {
        let fill = of == Use::Fill;
        let set = if fill { &mut self.now.colors[0] } else { &mut self.now.colors[1] };
        if *set == Some(color) {
            return;
        }
        *set = Some(color);
        let (space, level, grey) = if fill { ("cs ", "scn\n", "g\n") } else { ("CS ", "SCN\n", "G\n") };
        match color {
            Color::Three(id, levels) => {
                self.name(Kind::Space, id);
                self.text.push_str(space);
                self.numbers(levels.map(|level| (level * 1e5).round() / 1e5));
            }
            Color::Ink(id) => {
                self.name(Kind::Space, id);
                self.text.push_str(space);
                self.numbers([1.0]);
            }
            Color::Grey(at) => {
                self.numbers([(at * 1e5).round() / 1e5]);
                self.text.push_str(grey);
                return;
            }
            Color::Pattern(id) => {
                self.text.push_str("/Pattern ");
                self.text.push_str(space);
                self.name(Kind::Pattern, id);
            }
        }
        self.text.push_str(level);
    }

    pub(super) fn numbers(&mut self, all: impl IntoIterator<Item = f64>) {
        for n in all {
            number(&mut self.text, n);
            self.text.push(' ');
        }
    }

    pub(super) fn op(&mut self, operator: &str) {
        self.text.push_str(operator);
        self.text.push('\n');
    }

    /// A rectangle.
    pub(super) fn rect(&mut self, [left, top, right, bottom]: [f64; 4]) {
        self.numbers([left, top, right - left, bottom - top]);
        self.op("re");
    }

    /// A path, to be painted or clipped by the next operator.
    pub(super) fn path(&mut self, path: &BezPath) {
        let mut last = Point::ZERO;
        let points = |out: &mut Stream, all: &[Point], operator: &str| {
            out.numbers(all.iter().flat_map(|p| [p.x, p.y]));
            out.op(operator);
        };
        for element in path.elements() {
            match *element {
                PathEl::MoveTo(p) => {
                    points(self, &[p], "m");
                    last = p;
                }
                PathEl::LineTo(p) => {
                    points(self, &[p], "l");
                    last = p;
                }
                PathEl::QuadTo(c, p) => {
                    // The cubic that is the same curve.
                    points(self, &[last + (c - last) * (2.0 / 3.0), p + (c - p) * (2.0 / 3.0), p], "c");
                    last = p;
                }
                PathEl::CurveTo(a, b, p) => {
                    points(self, &[a, b, p], "c");
                    last = p;
                }
                PathEl::ClosePath => self.op("h"),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_color_is_set_once_and_comes_back() {
        let mut out = Stream::new();
        let red = Color::Three(Ref::new(4), [1.0, 0.0, 0.0]);
        out.color(Use::Fill, red);
        out.color(Use::Fill, red);
        out.save();
        out.color(Use::Fill, Color::Grey(0.5));
        out.restore();
        out.color(Use::Fill, red);
        assert_eq!(out.text, "/C4 cs 1 0 0 scn\nq\n0.5 g\nQ\n");
    }
}
