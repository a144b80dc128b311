//! What can be typed to judge a design or a tile, and to show it.

use std::path::PathBuf;

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    seamfast check limpets.tif\n  \
    seamfast check shore.toml\n  \
    seamfast check limpets.tif --size 20in --goods paper\n\n\
    Exit code 0: no fault found; 1: a fault; 2: a file that can't be judged.")]
pub(in crate::cli) struct CheckArgs {
    /// Tiles of any making (PNG, TIFF, JPEG, WebP, SVG), and design files.
    #[arg(value_name = "FILE", required = true)]
    pub(in crate::cli) files: Vec<PathBuf>,
    /// What drawings are painted at to be judged; 150 if nothing is said.
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub(in crate::cli) dpi: Option<String>,
    /// The size that a tile is to be printed at, such as 8in (wide) or 20x25cm, if not its own.
    #[arg(long, value_name = "WxH", allow_hyphen_values = true)]
    pub(in crate::cli) size: Option<String>,
    /// What it is printed on: cloth or paper, which want 150 or 300 pixels an inch [the design's, or cloth].
    #[arg(long)]
    pub(in crate::cli) goods: Option<String>,
    /// The fewest pixels an inch, of tiles and of pictures on them [the goods' own].
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub(in crate::cli) ppi: Option<String>,
    /// The thinnest line that prints whole [0.25pt].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) line: Option<String>,
    /// The narrowest gap that stays open [0.25pt].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) gap: Option<String>,
    /// The goods need a ground: transparent pixels are a warning.
    #[arg(long)]
    pub(in crate::cli) opaque: bool,
    /// The tiles are borders: repeated across only. A design says itself what it is.
    #[arg(long)]
    pub(in crate::cli) border: bool,
    /// No file may be larger, such as 25MB.
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    pub(in crate::cli) max_bytes: Option<String>,
    /// Take more of what `seamfast limits` lists, or less; may be given often.
    #[arg(long = "limit", value_name = "NAME=VALUE")]
    pub(in crate::cli) limits: Vec<String>,
    /// One JSON object on standard output; a failure leaves standard output empty.
    #[arg(long)]
    pub(in crate::cli) json: bool,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    seamfast proof shore.toml --cloth 54inx1yd\n  \
    seamfast proof limpets.png --dpi 300 --paper letter\n\n\
    Writes NAME-proof.html, which holds all of it, NAME-proof.pdf and pictures.")]
pub(in crate::cli) struct ProofArgs {
    /// A design file, or a tile of any making (PNG, TIFF, JPEG, WebP, SVG).
    #[arg(value_name = "INPUT")]
    pub(in crate::cli) input: PathBuf,
    /// The piece of printed goods that is shown, selvedges beside it.
    #[arg(long, value_name = "WxH", default_value = "54inx1yd", allow_hyphen_values = true)]
    pub(in crate::cli) cloth: String,
    /// The tile is a border: repeated across only. A design says itself what it is.
    #[arg(long)]
    pub(in crate::cli) border: bool,
    /// The page of the true-size sheet: a4 or letter.
    #[arg(long, default_value = "a4")]
    pub(in crate::cli) paper: String,
    /// What a drawing is painted at [150], or the resolution of a picture that does not say it.
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub(in crate::cli) dpi: Option<String>,
    /// Where the files go.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(in crate::cli) out: PathBuf,
    /// How the files' names begin [the input's name].
    #[arg(long)]
    pub(in crate::cli) name: Option<String>,
    /// Take more of what `seamfast limits` lists, or less; may be given often.
    #[arg(long = "limit", value_name = "NAME=VALUE")]
    pub(in crate::cli) limits: Vec<String>,
    /// One JSON object on standard output; a failure leaves standard output empty.
    #[arg(long)]
    pub(in crate::cli) json: bool,
}
