//! A PNG's chunks, and a part of them read as a PNG of its own.

use std::fs::File;
use std::io::{self, Cursor, Read, Seek, SeekFrom};

/// Where a PNG's chunks lie (PNG 5.3: a length, a kind, the data, a checksum).
pub(super) struct Chunks {
    /// Where each chunk of pixels begins.
    pub(super) data: Vec<u64>,
    /// The last chunk is the end's, and the file ends with it.
    pub(super) whole: bool,
}

impl Chunks {
    /// Walks a file from chunk to chunk.
    pub(super) fn of(mut file: File) -> io::Result<Chunks> {
        let end = file.metadata()?.len();
        let (mut at, mut data, mut last) = (8, Vec::new(), [0; 4]);
        while at < end {
            let mut head = [0; 8];
            file.seek(SeekFrom::Start(at))?;
            file.read_exact(&mut head)?;
            let [a, b, c, d, kind @ ..] = head;
            if kind == *b"IDAT" {
                data.push(at);
            }
            last = kind;
            at += 12 + u64::from(u32::from_be_bytes([a, b, c, d]));
        }
        Ok(Chunks { data, whole: at == end && last == *b"IEND" })
    }

    /// The file from a chunk of pixels on, with the head that a whole file has. The first chunk of
    /// pixels belongs to the head.
    pub(super) fn share(&self, mut file: File, chunk: usize) -> io::Result<Share> {
        let mut head = vec![0; self.data[1] as usize];
        file.read_exact(&mut head)?;
        file.seek(SeekFrom::Start(self.data[chunk]))?;
        Ok(Share { head: Cursor::new(head), rest: file })
    }
}

/// A file's head and then the file from where its handle stands.
pub(super) struct Share {
    head: Cursor<Vec<u8>>,
    rest: File,
}

impl Read for Share {
    fn read(&mut self, to: &mut [u8]) -> io::Result<usize> {
        match self.head.read(to)? {
            0 => self.rest.read(to),
            count => Ok(count),
        }
    }
}

/// The decoder asks for it by type and reads on without it.
impl Seek for Share {
    fn seek(&mut self, _: SeekFrom) -> io::Result<u64> {
        Err(io::ErrorKind::Unsupported.into())
    }
}
