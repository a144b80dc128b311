//! Files that cutters read. All say the true size; the same cut gives the same bytes.

use kurbo::{BezPath, PathEl, Point};

use super::job::CutSheet;

mod check;
mod dxf;
mod hpgl;
mod svg;

pub use check::CutFileError;

/// A kind of file for cutters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutFile {
    /// Millimetres, a group for each layer, hairlines.
    Svg,
    /// Millimetres, a layer for each layer, splines (AC1015).
    Dxf,
    /// Millimetres, a layer for each layer, polylines only (AC1009).
    DxfR12,
    /// True size, hairlines.
    Pdf,
    /// 40 units to the millimetre, a pen for each layer.
    Hpgl,
}

impl CutFile {
    /// All of them.
    pub const ALL: [CutFile; 5] = [CutFile::Svg, CutFile::Dxf, CutFile::DxfR12, CutFile::Pdf, CutFile::Hpgl];

    /// As it is written behind `--as`.
    pub const fn name(self) -> &'static str {
        match self {
            CutFile::Svg => "svg",
            CutFile::Dxf => "dxf",
            CutFile::DxfR12 => "dxf-r12",
            CutFile::Pdf => "pdf",
            CutFile::Hpgl => "hpgl",
        }
    }

    /// The files' ending.
    pub const fn ending(self) -> &'static str {
        match self {
            CutFile::Svg => "svg",
            CutFile::Dxf | CutFile::DxfR12 => "dxf",
            CutFile::Pdf => "pdf",
            CutFile::Hpgl => "plt",
        }
    }

    /// From its name.
    pub fn from_name(name: &str) -> Option<CutFile> {
        let name = name.trim().to_ascii_lowercase();
        CutFile::ALL.into_iter().find(|kind| kind.name() == name)
    }

    /// Reads written bytes again and holds them against the sheet they were written from.
    ///
    /// # Errors
    /// The first thing that differs.
    pub fn read_back(self, bytes: &[u8], sheet: &CutSheet) -> Result<(), CutFileError> {
        check::check(self, bytes, sheet)
    }

    /// The bytes of one sheet. `title` is written into files that can hold it.
    pub fn bytes(self, sheet: &CutSheet, title: &str) -> Vec<u8> {
        match self {
            CutFile::Svg => svg::write(sheet, title).into_bytes(),
            CutFile::Dxf => dxf::write(sheet).into_bytes(),
            CutFile::DxfR12 => dxf::write_r12(sheet).into_bytes(),
            CutFile::Pdf => pdf(sheet, title),
            CutFile::Hpgl => hpgl::write(sheet).into_bytes(),
        }
    }
}

/// EMU in a millimetre.
pub(super) const MM: f64 = 36_000.0;

fn pdf(sheet: &CutSheet, title: &str) -> Vec<u8> {
    let to_mm = kurbo::Affine::scale(1.0 / MM);
    let layers: Vec<(String, [u8; 3], Vec<BezPath>)> = sheet
        .layers
        .iter()
        .map(|layer| (layer.name.clone(), color(layer), layer.paths.iter().map(|path| to_mm * &path.path).collect()))
        .collect();
    crate::vector::lines(title, mm(sheet), &layers)
}

/// The sheet's sides in mm.
fn mm(sheet: &CutSheet) -> [f64; 2] {
    [sheet.size.width, sheet.size.height].map(|side| side.emu() as f64 / MM)
}

/// The color of a layer's lines: its ink, but never so light that it is not seen on white.
fn color(layer: &super::job::CutLayer) -> [u8; 3] {
    match layer.ink {
        Some(crate::artwork::InkName::Color(rgb)) if rgb.iter().map(|c| u32::from(*c)).sum::<u32>() < 600 => rgb,
        Some(_) => [128, 128, 128],
        None => [0, 0, 0],
    }
}

/// Decimals of a millimetre: whole EMU, at 2.8 in a hundred thousand mm each, are known again, and the sides of a needle
/// that lie a tenth of one apart don't change places.
const DIGITS: usize = 7;

/// A number of mm as short as it can be.
fn number(mm: f64) -> String {
    let text = format!("{mm:.DIGITS$}");
    let short = crate::length::trim_zeros(&text);
    if short == "-0" { "0".into() } else { short.to_owned() }
}

/// The corners of chords no farther off than so many mm, in mm; one list for each contour, the last corner of a closed
/// one being its first.
fn corners(path: &BezPath, exact: f64) -> Vec<Vec<Point>> {
    let mut out: Vec<Vec<Point>> = Vec::new();
    kurbo::flatten(path.elements().iter().copied(), exact * MM, |element| match element {
        PathEl::MoveTo(p) => out.push(vec![p]),
        PathEl::LineTo(p) => {
            if let Some(last) = out.last_mut() {
                last.push(p);
            }
        }
        PathEl::ClosePath => {
            if let Some(last) = out.last_mut()
                && last.first() != last.last()
            {
                last.extend(last.first().copied());
            }
        }
        _ => {}
    });
    out.iter_mut().flatten().for_each(|p| *p = Point::new(p.x / MM, p.y / MM));
    out
}
