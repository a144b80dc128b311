//! Why there are no pixels.

use std::io;

use crate::limits::Limit;

/// Why a raster was not made.
#[derive(Debug, thiserror::Error)]
pub enum RasterError {
    /// A painting no canvas can hold.
    #[error(
        "a motif comes to {width} × {height} px, more than can be painted; write a smaller width or a lower resolution"
    )]
    TooLarge {
        /// Its pixels across.
        width: i64,
        /// Its pixels down.
        height: i64,
    },
    /// A drawing that must be painted whole and is too large for that.
    #[error(
        "{name} comes to {width} × {height} px, and its filters can't be painted in pieces; at most {most} px a side: write a smaller width or a lower resolution, or flatten the filter in the drawing"
    )]
    Unsplittable {
        /// The motif.
        name: String,
        /// Its pixels across.
        width: i64,
        /// Its pixels down.
        height: i64,
        /// The most a side.
        most: i64,
    },
    /// More than is painted for one tile.
    #[error("the tile comes to {} painted pixels, most of them of {name}; the most is {limit}", round(*pixels))]
    TooMuch {
        /// The motif that takes most.
        name: String,
        /// What it comes to.
        pixels: f64,
        /// The limit.
        limit: Limit,
    },
    /// A tile that is larger than what is held in memory to be judged.
    #[error("the tile comes to {width} × {height} px; the most is {limit}")]
    TooLargeToJudge {
        /// Pixels across.
        width: u64,
        /// Pixels down.
        height: u64,
        /// The limit.
        limit: Limit,
    },
    /// Transparency that a format does not have.
    #[error("a JPEG has no transparency; give the design a ground, for example --ground linen")]
    NoGround,
    /// More pixels than a format counts.
    #[error("a JPEG has at most 65535 px a side, and this tile has {width} × {height}; write a TIFF or PNG")]
    TooLargeForJpeg {
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
    /// The disk refused.
    #[error(transparent)]
    Disk(#[from] io::Error),
    /// Asked to stop.
    #[error("stopped")]
    Stopped,
}

/// Two digits say enough.
fn round(pixels: f64) -> String {
    format!("{pixels:.1e}")
}
