//! A file over its limit of bytes: which setting would meet it, found by trying.

use super::deliver::FileReport;
use super::failed::DeliverError;
use super::order::{ColorMode, Delivery, Kind, Order};
use super::slot::Slot;
use crate::pixels::Resolution;
use crate::progress::{Progress, Task};
use crate::raster::TiffPacking;
use crate::wrap::Copies;

impl Order {
    /// Refuses a delivery with a file over its limit, and says what would meet it.
    pub(super) fn hold_limit(
        &self,
        delivery: &Delivery,
        files: &[FileReport],
        slots: &[(Kind, Slot)],
        progress: &dyn Progress,
    ) -> Result<(), DeliverError> {
        let Some(most) = delivery.max_bytes else { return Ok(()) };
        let Some(file) = files.iter().find(|file| file.bytes > most) else { return Ok(()) };
        let remedy = Search { order: self, slots, most, quiet: &Quiet(progress) }.remedy(delivery, file)?;
        Err(DeliverError::TooManyBytes { path: file.path.clone(), bytes: file.bytes, most, remedy })
    }
}

/// Tries settings; what it writes is dropped again.
struct Search<'a> {
    order: &'a Order,
    slots: &'a [(Kind, Slot)],
    most: u64,
    quiet: &'a Quiet<'a>,
}

/// Tries move no bar, but a stop is heard.
struct Quiet<'a>(&'a dyn Progress);

impl Progress for Quiet<'_> {
    fn stopped(&self) -> bool {
        self.0.stopped()
    }

    fn begins(&self, task: Task<'_>) {
        self.0.begins(task);
    }

    fn ends(&self) {
        self.0.ends();
    }
}

impl Search<'_> {
    fn remedy(&self, delivery: &Delivery, file: &FileReport) -> Result<String, DeliverError> {
        if !file.kind.is_raster() {
            let kind = file.kind.ending().to_uppercase();
            let article = if kind == "SVG" { "an" } else { "a" };
            return Ok(format!("no setting makes {article} {kind} smaller: use simpler motifs or fewer of them"));
        }
        let alone = Delivery { kinds: vec![file.kind], ..delivery.clone() };
        for (setting, tried) in self.settings(&alone) {
            if let Some(bytes) = self.weight(&tried)?.filter(|bytes| *bytes <= self.most) {
                return Ok(format!("{setting} makes {bytes} bytes"));
            }
        }
        self.lower_resolution(&alone, file.bytes)
    }

    /// Settings that keep the pixels, or in a JPEG almost.
    fn settings(&self, d: &Delivery) -> Vec<(String, Delivery)> {
        match d.kinds[0] {
            Kind::Tiff if d.packing != TiffPacking::Deflate => {
                vec![("packing = \"deflate\"".into(), Delivery { packing: TiffPacking::Deflate, ..d.clone() })]
            }
            Kind::Png if d.colors == ColorMode::Full => [("palette", ColorMode::Palette), ("grey", ColorMode::Grey)]
                .map(|(name, colors)| (format!("colors = \"{name}\""), Delivery { colors, ..d.clone() }))
                .to_vec(),
            Kind::Jpeg => (50..d.quality)
                .rev()
                .filter(|quality| quality % 5 == 0)
                .map(|quality| (format!("quality = {quality}"), Delivery { quality, ..d.clone() }))
                .collect(),
            _ => Vec::new(),
        }
    }

    /// A lower whole resolution: bytes go about with its square.
    fn lower_resolution(&self, d: &Delivery, bytes: u64) -> Result<String, DeliverError> {
        let mut dpi = d.grid.resolution().value();
        let mut bytes = bytes;
        for _ in 0..6 {
            dpi = (dpi * (self.most as f64 / bytes as f64).sqrt() * 0.98).floor();
            let Some(tried) = self.at(d, dpi) else { break };
            match self.weight(&tried)? {
                Some(found) if found <= self.most => return Ok(format!("dpi = {dpi} makes {found} bytes")),
                Some(found) => bytes = found,
                None => break,
            }
        }
        Ok("no setting was found that meets it: make the tile smaller".into())
    }

    /// The delivery at another resolution.
    fn at(&self, d: &Delivery, dpi: f64) -> Option<Delivery> {
        let resolution: Resolution = format!("{dpi}").parse().ok()?;
        let (asked, blocks) = d.asked;
        let asked = asked.map(|side| crate::pixels::Side::Length(side.length(d.grid.resolution())));
        let grid = self.order.arrangement.fit((asked, blocks), resolution, false).ok()?;
        let repeat = self.order.on_grid(&grid, blocks, d.repeat.ground)?;
        Some(Delivery { grid, repeat, ..d.clone() })
    }

    /// The bytes of its one file; `None` if the art does not allow the setting.
    fn weight(&self, d: &Delivery) -> Result<Option<u64>, DeliverError> {
        let copies = Copies::plan(&d.repeat, &self.order.motifs);
        match self.order.make(d, &copies, self.slots, self.quiet) {
            Ok(made) => {
                let draft = &made.drafts[0].1;
                draft.bytes().map(Some).map_err(|error| DeliverError::Disk { path: draft.path().into(), error })
            }
            Err(DeliverError::Colors { .. }) => Ok(None),
            Err(other) => Err(other),
        }
    }
}
