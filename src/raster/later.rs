//! Packed strips put in order: one that comes before its turn waits in a scratch file, so
//! memory does not grow with the tile.

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom, Write};

use super::sheet::Packed;

/// Strips in the order of the tile, whatever order they come in.
pub(super) struct InOrder {
    scratch: File,
    end: u64,
    waiting: Vec<Option<Waiting>>,
    next: usize,
}

struct Waiting {
    at: u64,
    len: usize,
    adler: u32,
    raw: u64,
}

impl InOrder {
    /// For so many strips; `scratch` is an empty file.
    pub(super) fn new(scratch: File, strips: usize) -> InOrder {
        InOrder { scratch, end: 0, waiting: (0..strips).map(|_| None).collect(), next: 0 }
    }

    /// Takes a strip, and hands on every strip whose turn has come.
    pub(super) fn put(
        &mut self,
        index: usize,
        strip: Packed,
        mut hand_on: impl FnMut(&Packed) -> io::Result<()>,
    ) -> io::Result<()> {
        if index != self.next {
            return self.keep(index, &strip);
        }
        hand_on(&strip)?;
        self.next += 1;
        while let Some(waiting) = self.waiting.get_mut(self.next).and_then(Option::take) {
            let mut data = vec![0; waiting.len];
            self.scratch.seek(SeekFrom::Start(waiting.at))?;
            self.scratch.read_exact(&mut data)?;
            hand_on(&Packed { data, adler: waiting.adler, raw: waiting.raw })?;
            self.next += 1;
        }
        Ok(())
    }

    /// Every strip was handed on.
    pub(super) fn finish(&self) -> io::Result<()> {
        match self.waiting.len() - self.next {
            0 => Ok(()),
            missing => Err(io::Error::other(format!("{missing} strips of the picture were never painted"))),
        }
    }

    fn keep(&mut self, index: usize, strip: &Packed) -> io::Result<()> {
        self.scratch.seek(SeekFrom::Start(self.end))?;
        self.scratch.write_all(&strip.data)?;
        self.waiting[index] = Some(Waiting { at: self.end, len: strip.data.len(), adler: strip.adler, raw: strip.raw });
        self.end += strip.data.len() as u64;
        Ok(())
    }
}
