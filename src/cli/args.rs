//! What can be typed.

use std::path::PathBuf;

mod cut;
mod judge;

pub(super) use cut::CutArgs;
pub(super) use judge::{CheckArgs, ProofArgs};

use clap::{Parser, Subcommand};
use clap_complete::Shell;

/// Puts motifs into exact, seamless repeat for cloth, paper and wallcovering.
#[derive(Debug, Parser)]
#[command(
    version,
    after_help = "Example: seamfast make limpet.svg --motif-width 2.5in --layout half-drop --tile 8in --dpi 300"
)]
pub(super) struct Args {
    #[command(subcommand)]
    pub(super) command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Start a design file from motifs.
    New(NewArgs),
    /// Make tiles from a design file, or from motifs and flags.
    Make(Box<MakeArgs>),
    /// Judge designs and anyone's tiles: does the join show, and what repeats inside?
    Check(CheckArgs),
    /// Make evidence for the eye: joins through a loupe, a sheet at true size, the cloth.
    Proof(ProofArgs),
    /// Strew a design's motifs evenly by their silhouettes, and write their places into the design.
    Toss(TossArgs),
    /// Paths for a blade or laser, at true size.
    Cut(Box<CutArgs>),
    /// Open the page: the design as cloth in the browser, on this machine only.
    Open(OpenArgs),
    /// Work out sizes, pixels and resolutions.
    Size(SizeArgs),
    /// Print the limits of what artwork may ask for, with their usual values.
    Limits(LimitsArgs),
    /// Print the JSON Schema of design files, for editors.
    #[command(after_help = "Example: seamfast schema > seamfast.schema.json")]
    Schema,
    /// Print a shell's completions.
    #[command(after_help = "Example: seamfast completions bash > ~/.local/share/bash-completion/completions/seamfast")]
    Completions {
        /// Which shell.
        shell: Shell,
    },
    /// Print the man page, or write one for each command into a folder.
    #[command(after_help = "Example: seamfast man | man -l -")]
    Man {
        /// The folder.
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
    },
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    seamfast open                          begin with an empty cloth in this folder\n  \
    seamfast open shore.toml\n  \
    seamfast open limpet.svg kelp.svg      begin a design of these\n\n\
    Nothing leaves this machine. What is changed is written into the design file at once, and can be undone.")]
pub(super) struct OpenArgs {
    /// A design file (.toml), or motifs: SVG, or pictures (PNG, JPEG, TIFF, WebP).
    #[arg(value_name = "INPUT")]
    pub(super) inputs: Vec<PathBuf>,
    /// The port to listen on [any that is free].
    #[arg(long, value_name = "N")]
    pub(super) port: Option<u16>,
    /// Say where the page is, and start no browser.
    #[arg(long)]
    pub(super) no_browser: bool,
    /// One JSON object on standard output: the design's file and the page's address.
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Example: seamfast new limpet.svg kelp.svg --name shore")]
pub(super) struct NewArgs {
    /// The motifs: SVG, or pictures (PNG, JPEG, TIFF, WebP).
    #[arg(value_name = "FILE")]
    pub(super) files: Vec<PathBuf>,
    /// The design's name; the file is NAME.toml. Without it, the first motif's name.
    #[arg(long)]
    pub(super) name: Option<String>,
    /// Take more of what `seamfast limits` lists, or less; may be given often.
    #[arg(long = "limit", value_name = "NAME=VALUE")]
    pub(super) limits: Vec<String>,
    /// One JSON object on standard output; a failure leaves standard output empty.
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Example: seamfast toss shore.toml\n\n\
    What is strewn, and how, stands in the design under [toss]; places are written as [[motif]] with tossed = true,\n\
    and replaced by the next toss. Motifs without that line stay where they are, and the others go around them.\n\
    Ctrl-C ends it with the best so far.")]
pub(super) struct TossArgs {
    /// The design file (.toml).
    #[arg(value_name = "DESIGN")]
    pub(super) design: PathBuf,
    /// Strew them another way; the number is written into the design [the design's, or 1].
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = clap::value_parser!(u64).range(..=i64::MAX as u64))]
    pub(super) seed: Option<u64>,
    /// Take more of what `seamfast limits` lists, or less; may be given often.
    #[arg(long = "limit", value_name = "NAME=VALUE")]
    pub(super) limits: Vec<String>,
    /// One JSON object on standard output; a failure leaves standard output empty.
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    seamfast limits\n  \
    seamfast make limpet.svg --limit nodes=2000000 --limit memory=4GB\n\n\
    In a design file they stand under [limits], for example nodes = 2000000.")]
pub(super) struct LimitsArgs {
    /// One JSON object on standard output.
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    seamfast make shore.toml\n  \
    seamfast make limpet.svg --motif-width 2.5in --layout half-drop --tile 8in --dpi 300\n  \
    seamfast make page.svg --croquis --as svg,tiff\n\n\
    With a design file, flags replace what the design says of the same thing.")]
pub(super) struct MakeArgs {
    #[command(flatten)]
    pub(super) input: InputArgs,
    /// Pixels per inch: 150, 299.5 or 10px/mm [150].
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub(super) dpi: Option<String>,
    /// The background, such as #f3eee3, or none [none; a croquis: the page's own].
    #[arg(long, value_name = "COLOR")]
    pub(super) ground: Option<String>,
    /// Kinds of file: svg, png, tiff, jpeg, pdf, pattern-svg, pattern-pdf, plain-svg [the first three].
    #[arg(long = "as", value_name = "KINDS", value_delimiter = ',')]
    pub(super) kinds: Vec<String>,
    /// Refuse a size that whole pixels don't meet exactly.
    #[arg(long)]
    pub(super) exact: bool,
    /// Cut the copies in the SVG at the tile's edge.
    #[arg(long)]
    pub(super) clip: bool,
    /// How much of the neighbors a PDF shows around its page, such as 3mm [none].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(super) bleed: Option<String>,
    /// A piece of printed goods that vector files show instead of the tile, such as 54inx1yd.
    #[arg(long, value_name = "WxH", allow_hyphen_values = true)]
    pub(super) cloth: Option<String>,
    /// What the flat colors of a PDF are: srgb, or separation, each an ink of its own [srgb].
    #[arg(long, value_name = "INKS")]
    pub(super) inks: Option<String>,
    /// How a TIFF is packed: deflate, lzw or none [deflate].
    #[arg(long)]
    pub(super) packing: Option<String>,
    /// How a PNG keeps its colors: full, grey or palette [full].
    #[arg(long)]
    pub(super) colors: Option<String>,
    /// A JPEG's quality, 1 to 100 [92].
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub(super) quality: Option<i64>,
    /// No file may be larger, such as 25MB; if one would be, the setting that meets it is named.
    #[arg(long, value_name = "SIZE")]
    pub(super) max_bytes: Option<String>,
    /// How many threads paint and pack [one for each core].
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub(super) threads: Option<u16>,
}

/// What a design is made from, and where its files go: of all commands that make something of one.
#[derive(Debug, clap::Args)]
pub(super) struct InputArgs {
    /// A design file (.toml), or motifs: SVG, or pictures (PNG, JPEG, TIFF, WebP).
    #[arg(value_name = "INPUT", required = true)]
    pub(super) inputs: Vec<PathBuf>,
    /// The one SVG is a page laid out by hand: the page is the block, and what hangs over an edge comes in again by the other.
    #[arg(long)]
    pub(super) croquis: bool,
    /// How blocks follow one another: straight, half-drop, brick, drop=1/3, brick=1/3, mirror, mirror-across, mirror-down, mirror-drop, turn, turn-drop, pinwheel, ogee, diamond, hexagonal, satin=5, stripes, rows, checker or border [motifs: half-drop; a croquis: straight].
    #[arg(long)]
    pub(super) layout: Option<String>,
    /// A plane group by its International Tables name, such as p4mm: the block is its cell.
    #[arg(long, value_name = "GROUP")]
    pub(super) symmetry: Option<String>,
    /// Motifs alternate in columns, rows or as on a checker board, each on its kind of place; columns=3 has three.
    #[arg(long, value_name = "ALONG")]
    pub(super) alternate: Option<String>,
    /// The tile's size: 8in, 20x25cm, 2048px [8in; a croquis: the page's own].
    #[arg(long, value_name = "WxH", allow_hyphen_values = true)]
    pub(super) tile: Option<String>,
    /// The block's size, instead of the tile's or beside it.
    #[arg(long, value_name = "WxH", allow_hyphen_values = true)]
    pub(super) block: Option<String>,
    /// Every motif's width on the goods, if not its own true size.
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(super) motif_width: Option<String>,
    /// Take each motif's ink for its page, without the paper around it.
    #[arg(long)]
    pub(super) trim: bool,
    /// Where the files go.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(super) out: PathBuf,
    /// The files' name [the design's, or the first motif's].
    #[arg(long)]
    pub(super) name: Option<String>,
    /// Let artwork lose what this code names; may be given often.
    #[arg(long, value_name = "CODE")]
    pub(super) allow: Vec<String>,
    /// Take more of what `seamfast limits` lists, or less; may be given often.
    #[arg(long = "limit", value_name = "NAME=VALUE")]
    pub(super) limits: Vec<String>,
    /// Draw text whose font is not on this machine in another that is; may be given often.
    #[arg(long, value_name = "FONT=OTHER")]
    pub(super) font: Vec<String>,
    /// One JSON object on standard output; a failure leaves standard output empty.
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    seamfast size 640mm --dpi 150             how many pixels, and what is left over\n  \
    seamfast size 2048px --dpi 300            how long\n  \
    seamfast size 8in 2400px                  which resolution\n  \
    seamfast size 8in --layout drop=1/3       what the layout asks of the size\n  \
    seamfast size 8in --cloth 54inx3yd        how many tiles on the cloth")]
pub(super) struct SizeArgs {
    /// One size (8in, 20x25cm, 2048px); or a length and its pixels.
    #[arg(value_name = "LENGTH", required = true, num_args = 1..=2)]
    pub(super) lengths: Vec<String>,
    /// Pixels per inch: 150, 299.5 or 10px/mm [150].
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub(super) dpi: Option<String>,
    /// The layout that the tile must carry; straight without a layout and a symmetry.
    #[arg(long)]
    pub(super) layout: Option<String>,
    /// The symmetry that it must carry: a plane group such as p4mm, or one of the trade's names.
    #[arg(long, value_name = "GROUP")]
    pub(super) symmetry: Option<String>,
    /// A piece of cloth, to count tiles on.
    #[arg(long, value_name = "WxH", allow_hyphen_values = true)]
    pub(super) cloth: Option<String>,
    /// One JSON object on standard output; a failure leaves standard output empty.
    #[arg(long)]
    pub(super) json: bool,
}
