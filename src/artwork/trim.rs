//! A page drawn in, or out, to its ink: whole EMU of a drawing, whole pixels of a picture.
//!
//! ```text
//!   ┌───────────────┐        Nothing is moved or scaled: only what counts as
//!   │    ┌────┐     │        the page, and so its middle and its true size,
//!   │    │ /\ │     │  ─▶    becomes the box around the ink.
//!   │    └────┘     │
//!   └───────────────┘
//! ```

use kurbo::{Rect, Size as Pixels, Vec2};

use super::page::Page;
use crate::length::{LONGEST, Length, Size, div_round};

/// One side of the new page: where it begins and how long it is in pixels of the tree, and on the goods.
struct Side {
    from: f64,
    px: f64,
    length: Option<Length>,
}

/// The page of a drawing about its ink, and its corner: each edge on the nearest whole EMU of the true
/// size. `None` for ink without area, or longer than any length.
pub(super) fn drawing(page: Page, ink: Rect) -> Option<(Page, Vec2)> {
    let side = |from: f64, to: f64, px: f64, own: Option<Length>| {
        let Some(own) = own else { return (to > from).then_some(Side { from, px: to - from, length: None }) };
        let emu = px / own.emu() as f64;
        let (from, to) = ((from / emu).round(), (to / emu).round());
        let count = Some(to - from).filter(|n| (1.0..=LONGEST.emu() as f64).contains(n))?;
        #[allow(clippy::cast_possible_truncation, reason = "a whole number, at most LONGEST")]
        let length = Length::from_emu(count as i64);
        Some(Side { from: from * emu, px: count * emu, length: Some(length) })
    };
    Some(joined(
        side(ink.x0, ink.x1, page.px.width, page.size.map(|s| s.width))?,
        side(ink.y0, ink.y1, page.px.height, page.size.map(|s| s.height))?,
    ))
}

/// The page of a picture about the pixels that are seen, and its corner. Ink reaches half a pixel
/// around each of them, for a painter that smooths.
pub(super) fn picture(page: Page, ink: Rect) -> Option<(Page, Vec2)> {
    let side = |from: f64, to: f64, px: f64, own: Option<Length>| {
        let (from, to) = (from.ceil(), to.floor());
        let count = Some(to - from).filter(|n| (1.0..=px).contains(n))?;
        #[allow(clippy::cast_possible_truncation, reason = "whole numbers of a picture's pixels")]
        let share = |own: Length| div_round(i128::from(own.emu()) * count as i128, px as i128);
        let length = own.and_then(|own| i64::try_from(share(own)).ok()).map(|emu| Length::from_emu(emu.max(1)));
        Some(Side { from, px: count, length })
    };
    Some(joined(
        side(ink.x0, ink.x1, page.px.width, page.size.map(|s| s.width))?,
        side(ink.y0, ink.y1, page.px.height, page.size.map(|s| s.height))?,
    ))
}

fn joined(x: Side, y: Side) -> (Page, Vec2) {
    let size = x.length.zip(y.length).map(|(width, height)| Size { width, height });
    (Page { px: Pixels::new(x.px, y.px), size }, Vec2::new(x.from, y.from))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::artwork::{Intake, Motif};
    use crate::length::Unit;

    fn trimmed(svg: &str) -> Motif {
        Motif::from_svg("limpet", svg.as_bytes(), &Intake::new()).unwrap_or_else(|e| panic!("{e}")).trimmed()
    }

    fn mm(width: i64, height: i64) -> Option<Size> {
        Some(Size { width: Length::of(width, Unit::Mm), height: Length::of(height, Unit::Mm) })
    }

    /// 100 mm are 200 units: the ink from 20 to 120 is 50 mm, to the EMU.
    #[test]
    fn a_drawing_is_trimmed_to_whole_emu_of_its_true_size() {
        let page = "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='50mm' viewBox='0 0 200 100'>";
        let motif = trimmed(&format!("{page}<path d='M20 30H120V50H20Z'/></svg>"));
        assert_eq!(motif.size(), mm(50, 10));
        let middle = motif.middle();
        assert!((middle - Vec2::new(70.0, 40.0) * 200.0_f64.recip() * 377.952_756).hypot() < 1e-3, "{middle:?}");
        // Strokes are ink, and so is what hangs over the page.
        let motif = trimmed(&format!("{page}<path d='M-20 50H220' stroke='#000' stroke-width='8'/></svg>"));
        // The outline of a stroke is known to within a micrometre, which is added.
        let (size, wanted) = (motif.size().expect("a size"), mm(120, 4).expect("a size"));
        for added in [size.width - wanted.width, size.height - wanted.height] {
            assert!((0..=36).contains(&added.emu()), "{size:?}");
        }
    }

    #[test]
    fn without_a_true_size_only_the_proportions_change() {
        let motif = trimmed(
            "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 200 100'><path d='M20 30H120V50H20Z'/></svg>",
        );
        assert_eq!(motif.size(), None);
        assert_eq!(motif.page_px(), Pixels::new(100.0, 20.0));
    }

    #[test]
    fn without_ink_the_page_stays() {
        let motif = trimmed("<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='8mm'><g/></svg>");
        assert_eq!(motif.size(), mm(9, 8));
        assert!(motif.ink().is_empty());
    }

    /// 8 × 4 px, seen from (2,1) to (5,3): 3 × 2 px of them.
    #[test]
    fn a_picture_is_trimmed_to_whole_pixels() {
        let page = Page { px: Pixels::new(8.0, 4.0), size: mm(16, 8) };
        let (page, corner) = picture(page, Rect::new(1.5, 0.5, 5.5, 3.5)).expect("ink");
        assert_eq!((page.px, page.size, corner), (Pixels::new(3.0, 2.0), mm(6, 4), Vec2::new(2.0, 1.0)));
        // At an edge nothing reaches over.
        let whole = Page { px: Pixels::new(8.0, 4.0), size: None };
        let (page, corner) = picture(whole, Rect::new(0.0, 0.0, 8.0, 1.5)).expect("ink");
        assert_eq!((page.px, corner), (Pixels::new(8.0, 1.0), Vec2::ZERO));
    }
}
