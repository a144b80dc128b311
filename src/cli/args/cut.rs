//! What can be typed behind `seamfast cut`.

use super::InputArgs;

#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    seamfast cut shore.toml --mode inlay --as svg,dxf\n  \
    seamfast cut limpet.svg --motif-width 2.5in --tiles 3x2 --mode outline --distance 2mm\n  \
    seamfast cut shore.toml --mode stencil --islands bridge --sheet 300x200mm\n\n\
    Lines are at true size. Before anything is cut: the machine's manual, the material's data sheet and local rules come first.")]
pub(in crate::cli) struct CutArgs {
    #[command(flatten)]
    pub(in crate::cli) input: InputArgs,
    /// What becomes pieces: silhouette (all ink as one), stacked (each ink whole), inlay (each ink as far as it is seen), outline (the silhouette grown, for a kiss-cut) or stencil.
    #[arg(long, default_value = "silhouette")]
    pub(in crate::cli) mode: String,
    /// A pattern is one ink by its name (ink), or the shapes that it shows (shapes).
    #[arg(long, default_value = "ink")]
    pub(in crate::cli) patterns: String,
    /// Kinds of file: svg, dxf (splines), dxf-r12 (polylines), pdf, hpgl.
    #[arg(long = "as", value_name = "KINDS", value_delimiter = ',', default_value = "svg")]
    pub(in crate::cli) kinds: Vec<String>,
    /// So many tiles across and down, welded over their joins [1x1].
    #[arg(long, value_name = "NxN", conflicts_with = "cloth", allow_hyphen_values = true)]
    pub(in crate::cli) tiles: Option<String>,
    /// A piece of cloth, such as 54inx1yd, welded over all joins.
    #[arg(long, value_name = "WxH", allow_hyphen_values = true)]
    pub(in crate::cli) cloth: Option<String>,
    /// The cloth goes on above and below: lines end at those edges, where the next length takes them up.
    #[arg(long)]
    pub(in crate::cli) roll: bool,
    /// Inlay: how far a piece reaches under what lies on it [0].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) overlap: Option<String>,
    /// Outline: how far it lies off the ink; less than nothing lies inside [2mm].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) distance: Option<String>,
    /// Outline: round or mitred corners [round].
    #[arg(long)]
    pub(in crate::cli) corners: Option<String>,
    /// Outline: holes up to this wide are filled [5mm].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) fill_holes: Option<String>,
    /// Stencil: cut out the ink, or the ground, so that the ink stays [ink].
    #[arg(long)]
    pub(in crate::cli) cut_out: Option<String>,
    /// Stencil: the sheet that stands around the cloth [10mm].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) frame: Option<String>,
    /// Stencil: parts that would fall out are an error (refuse), told (list) or held (bridge) [refuse].
    #[arg(long)]
    pub(in crate::cli) islands: Option<String>,
    /// Stencil: how wide bridges are [1.5mm].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) bridge: Option<String>,
    /// What the beam or blade takes away; each piece grows by half of it [0].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) kerf: Option<String>,
    /// How far curves may move to become fewer; 0 keeps all [0.01mm].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) simplify: Option<String>,
    /// What cuts, for what is too small: blade (pieces under 2 mm, parts under 0.5 mm) or laser (pieces and parts under 1 mm, gaps under 0.5 mm).
    #[arg(long, default_value = "blade")]
    pub(in crate::cli) tool: String,
    /// Warn of pieces and holes that are smaller both ways [the tool's].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) least_piece: Option<String>,
    /// Warn of parts of pieces that are narrower [the tool's].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) least_part: Option<String>,
    /// Warn of gaps that are narrower [the tool's].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) least_gap: Option<String>,
    /// Sheets of this size; what one does not hold as it lies is laid in rows on as many as it takes.
    #[arg(long, value_name = "WxH", allow_hyphen_values = true)]
    pub(in crate::cli) sheet: Option<String>,
    /// What stays free along a sheet's edges [10mm].
    #[arg(long, value_name = "LEN", requires = "sheet", allow_hyphen_values = true)]
    pub(in crate::cli) margin: Option<String>,
    /// What stays free between pieces that are laid anew [3mm].
    #[arg(long, value_name = "LEN", requires = "sheet", allow_hyphen_values = true)]
    pub(in crate::cli) apart: Option<String>,
    /// A frame so far around all pieces, by which the waste comes off.
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) weed_border: Option<String>,
    /// Lines through the waste, so far apart, by which it comes off in strips.
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) weed_lines: Option<String>,
    /// Crosses at the corners, by which layers are laid over one another.
    #[arg(long)]
    pub(in crate::cli) marks: bool,
    /// Along the cut, in a second, for the time it takes [20mm].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) speed: Option<String>,
    /// Between cuts, in a second [100mm].
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    pub(in crate::cli) travel_speed: Option<String>,
    /// Leave out what is no shape: picture, filter, soft-mask or dashes; may be given often.
    #[arg(long, value_name = "KIND")]
    pub(in crate::cli) skip: Vec<String>,
}
