//! Wishes of a toss that can't be met, in the design's own words and with their place.

#![allow(clippy::cast_possible_truncation, reason = "lengths to be shown: rounded first")]

use toml::Spanned;

use super::bench::Bench;
use super::error::DesignError;
use super::toss::TossEntry;
use super::written::Entry;
use crate::length::{Length, Unit};
use crate::toss::TossError;

impl Bench {
    /// Wishes that can't be met, in the design's words.
    pub(super) fn refused(&self, error: TossError, entry: &TossEntry, fixed: &[Entry]) -> DesignError {
        let shown = |emu: f64| Length::from_emu(emu.round() as i64).show(Unit::Mm, 1);
        let file = |kind: usize| entry.motifs[kind].file.get_ref();
        let at = |kind: usize| entry.motifs[kind].file.span();
        match error {
            TossError::Gap { step, .. } => {
                let what =
                    format!("{} is no shorter than the block's shortest step, {}", entry.gap.get_ref(), shown(step));
                DesignError::about("gap", &entry.gap, what).with_hint("write a smaller gap, or a larger block")
            }
            TossError::TooLarge { kind, near } => {
                let what = match near {
                    _ if self.part < 1.0 => format!("{} does not fit into the border, wherever it lies", file(kind)),
                    0.0 => format!("{} overlaps its own copies, wherever it lies", file(kind)),
                    near => format!("{} comes {} near to its own copies, wherever it lies", file(kind), shown(near)),
                };
                let hint = "write a smaller width or gap, or a larger block";
                DesignError::new(what)
                    .with_hint(hint)
                    .at(entry.motifs[kind].width.as_ref().map_or(at(kind), Spanned::span))
            }
            TossError::FixedTooNear { fixed: two, near, .. } => {
                let [a, b] = two.map(|n| self.hands[n]);
                let names = [a, b].map(|n| fixed[n].file.get_ref().as_str());
                let gap = entry.gap.get_ref();
                let far = match near {
                    0.0 => "overlap".into(),
                    near => format!("are {} apart, nearer than the gap", shown(near)),
                };
                let (what, hint) = if a == b {
                    let what = format!("{} and its own copy a step away {far}", names[0]);
                    (what, format!("write a smaller width or a larger block, or a gap smaller than {gap}"))
                } else {
                    let what = format!("{} and {} {far}", names[0], names[1]);
                    (what, format!("move one of them, or write a gap smaller than {gap}"))
                };
                let hint = format!("{hint}; or overlap = true under it, if it is meant");
                DesignError::new(what)
                    .with_hint(hint)
                    .at(fixed[b].at.as_ref().map_or(fixed[b].file.span(), Spanned::span))
            }
            TossError::Shares => {
                let first = entry.motifs.iter().find_map(|motif| motif.share.as_ref());
                let what = "the shares sum to nothing";
                let e = first.map_or(DesignError::new(what), |share| DesignError::about("share", share, what));
                e.with_hint("write share = 1 for one of them at least, and for one filler if there are any")
            }
            TossError::OnlyFillers => DesignError::new(error).with_hint("take filler = true out of one").at(at(0)),
            TossError::Alone => match &entry.apart {
                Some(apart) => {
                    DesignError::about("apart", apart, error).with_hint("add another motif, or take apart out")
                }
                None => DesignError::new(error),
            },
            TossError::Apart { apart, step } => {
                let what = format!(
                    "own kinds are to be {} apart, and a motif's own copy is no farther off than {}, the block's \
                     shortest step",
                    shown(apart),
                    shown(step)
                );
                let e = entry.apart.as_ref().map_or(DesignError::new(&what), |a| DesignError::about("apart", a, &what));
                e.with_hint("write a shorter apart, or a larger block")
            }
            TossError::Sizes { kind, .. } | TossError::NoInk { kind } => DesignError::new(error).at(at(kind)),
            TossError::NoKind | TossError::NoBlock => DesignError::new(error).at(entry.gap.span()),
        }
    }
}
