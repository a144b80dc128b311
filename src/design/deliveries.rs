//! What is delivered: the grid of each delivery, its files and how they are packed.

use std::collections::BTreeSet;

use toml::Spanned;

use super::error::DesignError;
use super::order::{Delivery, Drawn, Kind, Order};
use super::slot::plain;
use super::written::{Deliver, Design};
use super::{measure, place, size};
use crate::pixels::{PixelGrid, Resolution, Side};
use crate::repeat::Repeat;
use crate::vector::SvgOptions;

/// A JPEG that no eye tells from the painting at arm's length (common practice, no source).
const DEFAULT_QUALITY: u8 = 92;

impl Order {
    /// The grid of a delivery, what was asked of it, and the design on it.
    pub(super) fn planned(
        &self,
        design: &Design,
        deliver: &Deliver,
        first_dpi: Resolution,
    ) -> Result<(PixelGrid, size::Asked, Repeat), DesignError> {
        let resolution = size::resolution(deliver)?;
        let page = if let Drawn::Page(page) = &self.drawn { Some(*page) } else { None };
        let (asked, blocks) = size::asked(design, &self.arrangement, page, first_dpi)?;
        // Pixels are counted at the first delivery's resolution; at another they are a length.
        let asked = if resolution == first_dpi { asked } else { asked.map(|s| Side::Length(s.length(first_dpi))) };
        let multiples = self.arrangement.scheme().multiples(blocks);
        let grid = (self.arrangement.fit((asked, blocks), resolution, deliver.exact))
            .map_err(|e| size::unfit(e, design, deliver, (asked, blocks, multiples)))?;
        let repeat = self.on_grid(&grid, blocks, None).ok_or_else(|| {
            DesignError::new(format!("{} px can't carry the layout {}", grid.width(), self.arrangement))
        })?;
        place::refuse_giants(design, &repeat, &self.motifs)?;
        Ok((grid, (asked, blocks), repeat))
    }

    pub(super) fn delivery(
        &self,
        design: &Design,
        deliver: &Deliver,
        first_dpi: Resolution,
        ground: Option<[u8; 3]>,
    ) -> Result<Delivery, DesignError> {
        let (grid, asked, mut repeat) = self.planned(design, deliver, first_dpi)?;
        repeat.ground = ground;
        let kinds = kinds(deliver)?;
        let stem = deliver.name.as_ref().map(measure::stem).transpose()?.unwrap_or_else(|| self.name.clone());
        let packing = deliver.packing.as_ref().map(measure::packing).transpose()?.unwrap_or_default();
        let colors = deliver.colors.as_ref().map(measure::colors).transpose()?.unwrap_or_default();
        let quality = deliver.quality.as_ref().map(measure::quality).transpose()?.unwrap_or(DEFAULT_QUALITY);
        let max_bytes = deliver.max_bytes.as_ref().map(measure::bytes).transpose()?;
        if kinds.contains(&Kind::Jpeg) && ground.is_none() {
            let e = DesignError::new("a JPEG has no transparency, and the design has no ground");
            let span = deliver.kinds.as_ref().and_then(|kinds| kinds.first()).map(Spanned::span);
            return Err(e
                .with_hint("write ground = \"linen\" in the design, or --ground linen")
                .at(span.unwrap_or_default()));
        }
        let svg = SvgOptions { clip: deliver.clip };
        let bleed = self.bleed(deliver, &grid)?;
        let goods = self.goods(deliver, &grid, &repeat)?;
        let separate = deliver.inks.as_ref().map(measure::inks).transpose()?.unwrap_or_default();
        Ok(Delivery {
            stem,
            kinds,
            grid,
            repeat,
            asked,
            packing,
            colors,
            quality,
            max_bytes,
            svg,
            bleed,
            goods,
            separate,
        })
    }

    /// Two files of one place would overwrite each other; neither letters' case nor how an accent is
    /// written tells files apart on every disk.
    pub(super) fn refuse_clashes(&self, wanted: &[Deliver]) -> Result<(), DesignError> {
        let mut seen = BTreeSet::new();
        for (delivery, deliver) in self.deliveries.iter().zip(wanted) {
            for kind in &delivery.kinds {
                let file = delivery.file(*kind);
                if !seen.insert(plain(&file)) {
                    let span = deliver.name.as_ref().map(Spanned::span);
                    let span = span.or(deliver.kinds.as_ref().and_then(|k| k.first()).map(Spanned::span));
                    let e = DesignError::new(format!("two deliveries would both write {file}"));
                    let e = e.with_hint(format!(
                        "give one of them a name of its own, for example name = \"{}-large\"",
                        delivery.stem
                    ));
                    return Err(e.at(span.unwrap_or_default()));
                }
            }
        }
        Ok(())
    }
}

/// A kind named twice is made once.
fn kinds(deliver: &Deliver) -> Result<Vec<Kind>, DesignError> {
    let Some(texts) = &deliver.kinds else { return Ok(Kind::USUAL.to_vec()) };
    let mut kinds = Vec::new();
    for text in texts {
        let kind = measure::kind(text)?;
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    if kinds.is_empty() {
        return Err(DesignError::new("a delivery names no kind of file").with_hint("write for example as = [\"png\"]"));
    }
    Ok(kinds)
}
