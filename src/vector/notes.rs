//! What a vector file does not hold as curves and flat colors, named with its motif.

use std::collections::BTreeMap;
use std::fmt;

/// What became of a part of a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// A filter, painted at so many pixels an inch of the goods.
    Filter(u32),
    /// A picture made of pixels, kept as it is.
    Picture,
    /// A picture whose data no reader takes; nothing of it is seen.
    Unread,
    /// A sum of colors, which is drawn as a screen.
    PlusLighter,
    /// Clipped miters, which are beveled.
    MiterClip,
    /// A gradient that is repeated more often than is written.
    Repeats,
    /// A gradient or pattern that is no separation.
    Mixed,
    /// An opacity or blend over other ink, which mixes separations.
    Blend,
    /// A clip that is no boolean.
    Clip,
    /// A mask.
    Mask,
    /// A filter that stays one.
    KeptFilter,
    /// A blend that stands in a style, where SVG wants it.
    Style,
}

/// One thing that is to be said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// The motif.
    pub motif: String,
    /// What became of it.
    pub what: What,
    /// How often.
    pub count: usize,
}

/// What is to be said, each once with its count.
#[derive(Clone, Debug, Default)]
pub(super) struct Notes(BTreeMap<(String, What), usize>);

impl Notes {
    pub(super) fn add(&mut self, motif: &str, what: What) {
        *self.0.entry((motif.into(), what)).or_default() += 1;
    }

    pub(super) fn all(self) -> Vec<Note> {
        self.0.into_iter().map(|((motif, what), count)| Note { motif, what, count }).collect()
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Note { motif, what, count } = self;
        let many = *count > 1;
        let (s, is) = if many { ("s", "are") } else { ("", "is") };
        match what {
            What::Filter(dpi) => write!(f, "{motif}: {count} filter{s} can't be curves, and {is} painted at {dpi} dpi"),
            What::Picture => {
                write!(f, "{motif}: {count} picture{s} stay{} made of pixels", if many { "" } else { "s" })
            }
            What::Unread => write!(f, "{motif}: {count} part{s} can't be read, and {is} left out"),
            What::PlusLighter => write!(f, "{motif}: {count} sum{s} of colors (plus-lighter) {is} drawn as a screen"),
            What::MiterClip => {
                write!(f, "{motif}: {count} line{s} with clipped miters {is} beveled where they are clipped")
            }
            What::Repeats => write!(f, "{motif}: {count} gradient{s} {is} not repeated to the end"),
            What::Mixed => write!(
                f,
                "{motif}: {count} gradient{s} {is} no separation, and stay{} in sRGB",
                if many { "" } else { "s" }
            ),
            What::Blend => write!(
                f,
                "{motif}: {count} blend{s} mix{} separations, which printers do each in their way",
                if many { "" } else { "es" }
            ),
            What::Clip => write!(f, "{motif}: {count} clip{s} stay{} clip{s}", if many { "" } else { "s" }),
            What::Mask => write!(f, "{motif}: {count} mask{s} stay{} mask{s}", if many { "" } else { "s" }),
            What::KeptFilter => write!(f, "{motif}: {count} filter{s} stay{} filter{s}", if many { "" } else { "s" }),
            What::Style => write!(f, "{motif}: {count} blend{s} stay{} in a style", if many { "" } else { "s" }),
        }
    }
}
