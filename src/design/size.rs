//! Which layout, which tile, which resolution: what was asked, with every default filled in.

use toml::Spanned;

use super::arrangement::Arrangement;
use super::error::DesignError;
use super::measure;
use super::written::{Deliver, Design, RepeatEntry};
use crate::artwork::Page;
use crate::length::{Length, Unit, div_round};
use crate::pixels::{PixelError, Resolution, Side};

/// The tile when nothing is asked (8 in at 150 dpi: common practice for cloth, no source).
const DEFAULT_TILE: Length = Length::of(8, Unit::In);
const DEFAULT_DPI: i64 = 150;
const EIGHT: [Side; 2] = [Side::Length(DEFAULT_TILE); 2];

/// The tile's sides, and its blocks across and down.
pub(super) type Asked = ([Side; 2], [i64; 2]);

pub(super) fn resolution(deliver: &Deliver) -> Result<Resolution, DesignError> {
    match &deliver.dpi {
        Some(dpi) => measure::resolution("dpi", dpi),
        None => Resolution::dpi(DEFAULT_DPI).map_err(DesignError::new),
    }
}

/// The tile that is asked for, and its blocks across and down.
pub(super) fn asked(
    design: &Design,
    arrangement: &Arrangement,
    page: Option<Page>,
    dpi: Resolution,
) -> Result<Asked, DesignError> {
    let base = arrangement.scheme().tile_blocks();
    let times = |block: [Side; 2], blocks: [i64; 2]| match (block[0].times(blocks[0]), block[1].times(blocks[1])) {
        (Some(w), Some(h)) => Ok([w, h]),
        _ => {
            let what = "the tile would be longer than 10 km";
            Err(design
                .repeat
                .block
                .as_ref()
                .map_or(DesignError::new(what), |text| DesignError::about("block", text, what)))
        }
    };
    let sides = |field, text: &Option<Spanned<String>>, tied: bool| {
        let Some(text) = text else { return Ok(None) };
        arrangement
            .shaped(measure::sides(field, text)?, dpi, tied)
            .map(Some)
            .map_err(|(what, hint)| DesignError::about(field, text, what).with_hint(hint))
    };
    let block = sides("block", &design.repeat.block, true)?;
    let tile = sides("tile", &design.repeat.tile, block.is_none())?;
    let found = match (tile, block) {
        (Some(tile), None) => (tile, base),
        (None, Some(block)) => (times(block, base)?, base),
        (Some(tile), Some(block)) => {
            let blocks = [0, 1].map(|axis| {
                let [tile, block] = [tile, block].map(|sides| i128::from(sides[axis].length(dpi).emu()));
                let count = div_round(tile, block);
                // Each length may be rounded by half an EMU.
                let whole = (count * block - tile).abs() <= count && count > 0;
                i64::try_from(count).ok().filter(|count| whole && count % base[axis] == 0)
            });
            let [Some(across), Some(down)] = blocks else {
                let [w, h] = base;
                let what = format!(
                    "a {arrangement} tile is {w} × {h} blocks or a whole multiple of that, and this tile is not"
                );
                let e = match &design.repeat.tile {
                    Some(text) => DesignError::about("tile", text, what),
                    None => DesignError::new(what),
                };
                let [w, h] = [0, 1].map(|axis| nearest_whole(tile[axis], block[axis], base[axis], dpi));
                return Err(e.with_hint(format!(
                    "write tile {w}×{h} for these blocks, or leave out tile or block; the other follows"
                )));
            };
            (tile, [across, down])
        }
        (None, None) => match page.and_then(|page| page.size) {
            Some(size) => (times([size.width, size.height].map(Side::Length), base)?, base),
            None => (arrangement.shaped(EIGHT, dpi, false).unwrap_or(EIGHT), base),
        },
    };
    match page {
        Some(page) => same_shape(design, found, page, dpi),
        None => Ok(found),
    }
}

/// The whole multiple of a block, and of as many as a tile has, that is nearest to a tile's side.
fn nearest_whole(tile: Side, block: Side, base: i64, dpi: Resolution) -> Side {
    let [long, short] = [tile, block].map(|side| i128::from(side.length(dpi).emu()));
    let count = i64::try_from(div_round(long, short * i128::from(base))).unwrap_or(1).max(1);
    block.times(count * base).unwrap_or(tile)
}

/// A page is never squeezed: its block must have its shape, to one part in a hundred.
#[allow(clippy::cast_possible_truncation)] // 10 km in EMU is far inside what the cast keeps
fn same_shape(design: &Design, (tile, blocks): Asked, page: Page, dpi: Resolution) -> Result<Asked, DesignError> {
    let [w, h] = [0, 1].map(|axis| tile[axis].length(dpi).emu() as f64 / blocks[axis] as f64);
    let shape = match page.size {
        Some(size) => size.width.emu() as f64 / size.height.emu() as f64,
        None => page.px.width / page.px.height,
    };
    if (w / h / shape - 1.0).abs() <= 0.01 {
        return Ok((tile, blocks));
    }
    let block_height = Length::from_emu((w / shape).round() as i64);
    let what = format!("the page would be squeezed; its width is {shape:.3} of its height");
    let (e, across, down) = match (&design.repeat.tile, &design.repeat.block) {
        (Some(text), _) => {
            let height = Length::from_emu(block_height.emu() * blocks[1]);
            (DesignError::about("tile", text, what), tile[0].length(dpi), height)
        }
        (None, Some(text)) => {
            (DesignError::about("block", text, what), Length::from_emu(w.round() as i64), block_height)
        }
        // The page's own size has its shape.
        (None, None) => return Ok((tile, blocks)),
    };
    Err(e.with_hint(format!("write {}x{}", across.show(Unit::In, 3), down.show(Unit::In, 3))))
}

/// Why no grid fits, about the size as it was written: the tile's or the block's; where there
/// is none, the resolution is at fault.
pub(super) fn unfit(
    error: PixelError,
    design: &Design,
    deliver: &Deliver,
    (asked, blocks, multiples): ([Side; 2], [i64; 2], [i64; 2]),
) -> DesignError {
    let RepeatEntry { tile, block, .. } = &design.repeat;
    match (tile, block, &deliver.dpi, error) {
        (Some(tile), _, _, e) => DesignError::about("tile", tile, e),
        (None, Some(block), _, PixelError::Indivisible { pixels, multiple, below, above }) => {
            // Width is judged first; what was written is one block's pixels.
            let across = matches!(asked[0], Side::Pixels(width) if width % multiples[0] != 0);
            let n = blocks[usize::from(!across)];
            let [pixels, multiple, below, above] = [pixels, multiple, below, above].map(|count| count / n);
            DesignError::about("block", block, PixelError::Indivisible { pixels, multiple, below, above })
        }
        (None, Some(block), _, e) if blocks == [1, 1] => DesignError::about("block", block, e),
        (None, Some(block), _, e) => {
            DesignError::about("block", block, format!("the tile is {} × {} of these: {e}", blocks[0], blocks[1]))
        }
        (None, None, Some(dpi), e) => DesignError::about("dpi", dpi, e),
        (None, None, None, e) => DesignError::new(e),
    }
}

/// Width and height of the block, as far as they are known already.
pub(super) fn block_proportions(design: &Design) -> [f64; 2] {
    let known = || {
        let dpi = Resolution::dpi(DEFAULT_DPI).ok()?;
        let (tile, blocks) = asked(design, &Arrangement::read(design).ok()?, None, dpi).ok()?;
        Some([0, 1].map(|axis| tile[axis].length(dpi).emu() as f64 / blocks[axis] as f64))
    };
    known().unwrap_or([1.0; 2])
}
