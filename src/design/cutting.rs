//! Order → cut: the plan on whole EMU, and what is cut of it.

use std::path::Path;

use super::error::DesignError;
use super::failed::DeliverError;
use super::order::Order;
use super::together::{Written, write_together};
use crate::artwork::{Hindrance, HindranceKind};
use crate::cut::{Cut, CutError, CutFile, CutSheet, Settings};
use crate::pixels::Resolution;
use crate::progress::Progress;
use crate::repeat::Repeat;
use crate::wrap::Copies;

/// Why nothing is cut.
#[derive(Debug, thiserror::Error)]
pub enum CuttingError {
    /// The design is at fault.
    #[error(transparent)]
    Design(#[from] DesignError),
    /// Something of the drawings is no shape: the motif's name, what, its id, and its place.
    #[error("{}", said(.0))]
    NoShape(Vec<NoShape>),
    /// Nothing to cut, or not so.
    #[error(transparent)]
    Cut(#[from] CutError),
}

/// Something of a drawing that is no shape.
#[derive(Clone, Debug, PartialEq)]
pub struct NoShape {
    /// The motif.
    pub motif: String,
    /// What it is.
    pub kind: HindranceKind,
    /// Its id in the drawing.
    pub id: Option<String>,
    /// Its left upper corner and its size, in pixels of the drawing.
    pub at: [f64; 4],
}

impl HindranceKind {
    /// All of them.
    pub const ALL: [HindranceKind; 4] =
        [HindranceKind::Picture, HindranceKind::Filter, HindranceKind::SoftMask, HindranceKind::Dashes];

    /// The code to leave it out by.
    pub const fn code(self) -> &'static str {
        match self {
            HindranceKind::Picture => "picture",
            HindranceKind::Filter => "filter",
            HindranceKind::SoftMask => "soft-mask",
            HindranceKind::Dashes => "dashes",
        }
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            HindranceKind::Picture => "a picture made of pixels",
            HindranceKind::Filter => "a filter, such as a blur or a shadow",
            HindranceKind::SoftMask => "a mask that lets things half through",
            HindranceKind::Dashes => "a line of too many dashes",
        }
    }

    /// What to do about it.
    pub const fn remedy(self) -> &'static str {
        match self {
            HindranceKind::Picture => "draw or trace it as shapes",
            HindranceKind::Filter => "take the filter away, or draw what it shows as shapes",
            HindranceKind::SoftMask => "cut the shape with a clip path instead",
            HindranceKind::Dashes => "draw longer dashes, or a plain line",
        }
    }
}

/// `limpet: a picture made of pixels (glow) at 12, 30, 40 × 20 px large`.
impl std::fmt::Display for NoShape {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let id = self.id.as_ref().map_or_else(String::new, |id| format!(" ({id})"));
        let [x, y, width, height] = self.at;
        write!(
            f,
            "{}: {}{id} at {x:.0}, {y:.0} of the drawing, {width:.0} × {height:.0} px large",
            self.motif,
            self.kind.words()
        )
    }
}

fn said(all: &[NoShape]) -> String {
    let mut text = String::from("what is no shape can't be cut");
    for one in all.iter().take(20) {
        text.push_str(&format!("\n  {one}"));
    }
    if all.len() > 20 {
        text.push_str(&format!("\n  and {} more", all.len() - 20));
    }
    text
}

impl Order {
    /// Works out a cut of the goods, as large as the design asks: nothing is rounded to pixels.
    ///
    /// # Errors
    /// A size out of range, and what [`Cut::of`] refuses.
    pub fn cut(&self, settings: &Settings) -> Result<Cut, CuttingError> {
        let copies = self.on_emu()?;
        Cut::of(&copies, &self.motifs, settings, &self.limits).map_err(|error| match error {
            CutError::NoShape(all) => CuttingError::NoShape(self.no_shapes(&all)),
            other => other.into(),
        })
    }

    /// Writes a file of each kind for each sheet into `folder`, each read back before all appear together.
    ///
    /// # Errors
    /// As [`Order::deliver`], and a file that does not read back as it was worked out.
    pub fn deliver_cut(
        &self,
        cut: &Cut,
        kinds: &[CutFile],
        folder: &Path,
        progress: &dyn Progress,
    ) -> Result<Vec<Written>, DeliverError> {
        let files: Vec<_> = cut.sheets.iter().flat_map(|sheet| kinds.iter().map(move |kind| (*kind, sheet))).collect();
        let name = |(kind, sheet): &(CutFile, &CutSheet)| {
            let alike = kinds.iter().filter(|other| other.ending() == kind.ending()).count() > 1;
            let apart = if alike && *kind == CutFile::DxfR12 { "-r12" } else { "" };
            format!("{}-cut{}{apart}.{}", self.name, sheet.name, kind.ending())
        };
        let names: Vec<String> = files.iter().map(name).collect();
        write_together(folder, &names, &self.sources, progress, |index, blank| {
            let (kind, sheet) = files[index];
            blank.bytes(&kind.bytes(sheet, &self.name))?;
            let cut = |error| DeliverError::Cut { path: blank.path().into(), error };
            kind.read_back(&blank.read()?, sheet).map_err(cut)
        })
    }

    /// What a cut leaves out, in words.
    pub fn no_shapes(&self, left_out: &[(usize, Hindrance)]) -> Vec<NoShape> {
        let told = left_out.iter().map(|(motif, hindrance)| NoShape {
            motif: self.motifs[*motif].name().into(),
            kind: hindrance.kind,
            id: hindrance.id.clone(),
            at: [hindrance.at.x0, hindrance.at.y0, hindrance.at.width(), hindrance.at.height()],
        });
        told.collect()
    }

    /// The copies on a plane of whole EMU.
    fn on_emu(&self) -> Result<Copies, CuttingError> {
        let repeat = Repeat { ground: None, ..self.shown_at(Resolution::EMU)? };
        Ok(Copies::plan(&repeat, &self.motifs))
    }
}
