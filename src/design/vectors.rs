//! A delivery's vector files: planned for what each shows, written, read back; and what of them must be asked
//! before, a bleed and a piece of goods.

use std::io::{self, Write};

use super::deliver::disk;
use super::draft::Draft;
use super::error::DesignError;
use super::failed::DeliverError;
use super::measure;
use super::order::{Delivery, Kind, Order};
use super::written::Deliver;
use crate::length::{Length, Size};
use crate::pixels::PixelGrid;
use crate::progress::{Progress, Task};
use crate::raster;
use crate::repeat::Repeat;
use crate::vector::{self, Note, PdfOptions, Piece};
use crate::wrap::Copies;

impl Order {
    /// The bleed that is asked for, no more than the tile.
    pub(super) fn bleed(&self, deliver: &Deliver, grid: &PixelGrid) -> Result<Length, DesignError> {
        let Some(text) = &deliver.bleed else { return Ok(Length::ZERO) };
        let bleed = measure::length("bleed", text)?;
        let size = grid.size();
        if bleed > size.width.min(size.height) {
            let what = format!("{:?} is more than the tile, which is {size}", text.get_ref().trim());
            return Err(
                DesignError::about("bleed", text, what).with_hint("write what the printer cuts away, for example 3mm")
            );
        }
        Ok(bleed)
    }

    /// The piece of goods that is asked for, with no more copies of motifs on it than the limit.
    pub(super) fn goods(
        &self,
        deliver: &Deliver,
        grid: &PixelGrid,
        repeat: &Repeat,
    ) -> Result<Option<Size>, DesignError> {
        let Some(text) = &deliver.cloth else { return Ok(None) };
        let goods = measure::goods_size(text)?;
        let [across, down] = [(goods.width, grid.size().width), (goods.height, grid.size().height)]
            .map(|(goods, tile)| (goods.emu() as f64 / tile.emu() as f64).ceil() + 1.0);
        let cell = repeat.lattice.across() as f64 * repeat.lattice.down() as f64;
        let cells = across * down * repeat.tile.width as f64 * repeat.tile.height as f64 / cell;
        let copies = cells * (repeat.placements.len() * repeat.turns.len() * repeat.symmetry.len()) as f64;
        let limit = self.limits.cloth;
        if copies > limit.most as f64 {
            let what =
                format!("{:?} comes to some {copies:.0} copies of motifs; the most is {limit}", text.get_ref().trim());
            let hint = format!("show less of it, for example 54inx1yd; or {}", limit.raise());
            return Err(DesignError::about("cloth", text, what).with_hint(hint));
        }
        Ok(Some(goods))
    }

    /// Writes the vector drafts and reads each back; what is to be said of them.
    pub(super) fn make_vectors(
        &self,
        delivery: &Delivery,
        copies: &Copies,
        drafts: &[(Kind, Draft)],
        progress: &dyn Progress,
    ) -> Result<Vec<String>, DeliverError> {
        let mut remarks = Vec::new();
        for (kind, draft) in drafts.iter().filter(|(kind, _)| !kind.is_raster()) {
            if progress.stopped() {
                return Err(DeliverError::Stopped);
            }
            let notes = match kind {
                Kind::Pdf | Kind::PatternPdf => self.write_pdf(delivery, copies, *kind, draft, progress)?,
                _ => self.write_svg(delivery, copies, *kind, draft)?,
            };
            remarks.extend(notes.iter().map(|note| format!("{}: {note}", draft.path().display())));
        }
        Ok(remarks)
    }

    fn write_svg(
        &self,
        delivery: &Delivery,
        tile: &Copies,
        kind: Kind,
        draft: &Draft,
    ) -> Result<Vec<Note>, DeliverError> {
        let piece = piece(delivery, tile, kind);
        let patterned = kind == Kind::PatternSvg;
        let wide = (!patterned && delivery.goods.is_some())
            .then(|| Copies::plan_window(&delivery.repeat, &self.motifs, piece.window(Length::ZERO)));
        let copies = wide.as_ref().unwrap_or(tile);
        let wrong = |error| DeliverError::Vector { path: draft.path().into(), error };
        let (text, notes) = match kind {
            Kind::PatternSvg => (vector::pattern_svg(copies, &self.motifs, &self.name, &piece), Vec::new()),
            Kind::PlainSvg => vector::plain_svg(copies, &self.motifs, &self.name, &piece).map_err(wrong)?,
            _ => (vector::svg(copies, &self.motifs, &self.name, &piece, delivery.svg), Vec::new()),
        };
        write(draft, text.as_bytes())?;
        let read = draft.handle().and_then(io::read_to_string).map_err(disk(draft.path()))?;
        let held = match kind {
            Kind::PlainSvg => vector::read_plain_back(&read, copies, &piece),
            _ => vector::read_back(&read, copies, &self.motifs, &piece, patterned),
        };
        held.map(|()| notes).map_err(wrong)
    }

    fn write_pdf(
        &self,
        delivery: &Delivery,
        tile: &Copies,
        kind: Kind,
        draft: &Draft,
        progress: &dyn Progress,
    ) -> Result<Vec<Note>, DeliverError> {
        let patterned = kind == Kind::PatternPdf;
        let piece = piece(delivery, tile, kind);
        let bleed = if patterned { Length::ZERO } else { delivery.bleed };
        let options = PdfOptions {
            piece,
            bleed,
            separate: delivery.separate,
            dpi: delivery.grid.resolution().value(),
            profile: raster::SRGB,
        };
        let wide = (!patterned && (delivery.goods.is_some() || bleed > Length::ZERO))
            .then(|| Copies::plan_window(&delivery.repeat, &self.motifs, piece.window(bleed)));
        let copies = wide.as_ref().unwrap_or(tile);
        if self.motifs.iter().any(|motif| motif.effort().widest(1.0, f64::MAX) > 0.0) {
            raster::hold(tile, &self.motifs, self.limits.painted).map_err(DeliverError::Raster)?;
        }
        let painter = |name: &str, node: &vector::Node, to, px| {
            let _busy = progress.busy(Task::Painting(name));
            raster::node(node, to, px)
        };
        let write_one = if patterned { vector::pattern_pdf } else { vector::pdf };
        let wrong = |error| DeliverError::Pdf { path: draft.path().into(), error };
        let made = write_one(copies, &self.motifs, &self.name, &options, &painter).map_err(wrong)?;
        write(draft, &made.bytes)?;
        let mut read = Vec::new();
        let again = draft.handle().and_then(|mut file| io::Read::read_to_end(&mut file, &mut read));
        again.map_err(disk(draft.path()))?;
        vector::read_pdf_back(read, copies, &self.motifs, &options, patterned).map_err(wrong)?;
        Ok(made.notes)
    }
}

/// What a file of a kind shows: the tile, the goods if any are asked for, or for a pattern without goods two tiles
/// by two, so that its joins are seen.
fn piece(delivery: &Delivery, tile: &Copies, kind: Kind) -> Piece {
    if let Some(goods) = delivery.goods {
        return Piece::goods(tile, goods);
    }
    let one = Piece::tile(tile);
    if !matches!(kind, Kind::PatternSvg | Kind::PatternPdf) {
        return one;
    }
    let twice = |length: Length| Length::from_emu(2 * length.emu());
    let Size { width, height } = one.size;
    Piece { size: Size { width: twice(width), height: twice(height) }, units: one.units.map(|n| 2.0 * n) }
}

fn write(draft: &Draft, bytes: &[u8]) -> Result<(), DeliverError> {
    let written = draft.handle().and_then(|mut file| file.write_all(bytes).and_then(|()| file.flush()));
    written.map_err(disk(draft.path()))
}
