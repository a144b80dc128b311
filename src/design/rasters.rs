//! A delivery's rasters: painted once for all formats, written, read back.

use std::path::Path;

use super::deliver::disk;
use super::draft::Draft;
use super::failed::DeliverError;
use super::order::{ColorMode, Delivery, Kind, Order};
use crate::progress::{Progress, Task};
use crate::raster::{self, Colors, Format, PngColors, SheetSpec, Target, Woven};
use crate::wrap::Copies;

impl Order {
    /// Writes the raster drafts and reads each back; what is to be said of them, and what `beside`
    /// gives, which is done meanwhile.
    pub(super) fn make_rasters<T: Send>(
        &self,
        delivery: &Delivery,
        copies: &Copies,
        drafts: &[(Kind, Draft)],
        progress: &dyn Progress,
        beside: impl FnOnce() -> T + Send,
    ) -> Result<(Vec<String>, T), DeliverError> {
        let spec = raster::spec(copies, delivery.grid.resolution()).map_err(DeliverError::Raster)?;
        {
            let _busy = progress.busy(Task::Planning);
            raster::hold(copies, &self.motifs, self.limits.painted).map_err(DeliverError::Raster)?;
        }
        let formats = self.formats(delivery, copies, spec, drafts)?;
        let woven = self.write_rasters(copies, spec, &formats, progress)?;
        let (remarks, beside) = rayon::join(|| read_rasters(&formats, &woven), beside);
        Ok((remarks?, beside))
    }

    /// The raster drafts with their formats; counts the colors first where a format needs it.
    fn formats<'a>(
        &self,
        delivery: &Delivery,
        copies: &Copies,
        spec: SheetSpec,
        drafts: &'a [(Kind, Draft)],
    ) -> Result<Vec<(Format, &'a Draft)>, DeliverError> {
        let mut formats = Vec::new();
        for (kind, draft) in drafts {
            formats.push(match kind {
                Kind::Png => (Format::Png(self.png_colors(delivery, copies, spec, draft.path())?), draft),
                Kind::Tiff => (Format::Tiff(delivery.packing), draft),
                Kind::Jpeg => (Format::Jpeg(delivery.quality), draft),
                Kind::Svg | Kind::Pdf | Kind::PatternSvg | Kind::PatternPdf | Kind::PlainSvg => continue,
            });
        }
        Ok(formats)
    }

    fn png_colors(
        &self,
        delivery: &Delivery,
        copies: &Copies,
        spec: SheetSpec,
        path: &Path,
    ) -> Result<PngColors, DeliverError> {
        let (pick, what): (fn(&Colors) -> Option<PngColors>, _) = match delivery.colors {
            ColorMode::Full => return Ok(PngColors::Full),
            ColorMode::Grey => (
                Colors::as_grey,
                "not every pixel is an opaque grey; write colors = \"full\", or use grey inks and a grey ground",
            ),
            ColorMode::Palette => {
                (Colors::as_palette, "the tile has more than 256 colors; write colors = \"full\", or use fewer inks")
            }
        };
        let found = raster::colors(copies, &self.motifs, spec).map_err(DeliverError::Raster)?;
        pick(&found).ok_or_else(|| DeliverError::Colors { path: path.into(), what })
    }

    fn write_rasters(
        &self,
        copies: &Copies,
        spec: SheetSpec,
        formats: &[(Format, &Draft)],
        progress: &dyn Progress,
    ) -> Result<Woven, DeliverError> {
        let mut targets = Vec::new();
        for (format, draft) in formats {
            let (file, scratch) = (draft.handle(), draft.scratch());
            let disk = disk(draft.path());
            let (file, scratch) = (file.map_err(&disk)?, scratch.map_err(&disk)?);
            targets.push(Target { format: format.clone(), file, scratch });
        }
        raster::paint(copies, &self.motifs, spec, targets, progress)
            .map_err(|e| DeliverError::unpainted(formats[0].1.path(), e))
    }
}

/// Reads the finished rasters again; what is to be said of them.
fn read_rasters(formats: &[(Format, &Draft)], woven: &Woven) -> Result<Vec<String>, DeliverError> {
    let mut remarks = Vec::new();
    for (format, draft) in formats {
        let remark =
            raster::read_back(format, &|| draft.handle(), woven).map_err(|e| DeliverError::unread(draft.path(), e))?;
        remarks.extend(remark.map(|what| format!("{}: {what}", draft.path().display())));
    }
    Ok(remarks)
}
