//! A page.
use std::path::Path;
use super::*;
/// A page laid out by hand.
#[derive(Debug)]
pub struct Croquis {
    /// The page.
    pub page: Page,
    /// The ground.
    pub ground: Option<[u8; 3]>,
    /// The objects in painting order.
    pub pieces: Vec<Motif>,
}
impl Croquis {
    /// Reads a page.
    pub fn read(path: &Path, intake: &Intake) -> Result<Croquis, ArtworkError> {
        let m = Motif::read(path, intake)?;
        Ok(Croquis { page: m.page, ground: None, pieces: vec![m] })
    }
    /// Takes the bytes of a page.
    pub fn from_svg(name: &str, bytes: &[u8], intake: &Intake) -> Result<Croquis, ArtworkError> {
        let m = Motif::from_svg(name, bytes, intake)?;
        Ok(Croquis { page: m.page, ground: None, pieces: vec![m] })
    }
}
