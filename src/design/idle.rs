//! What a delivery says of a kind of file that it doesn't make: it changes nothing, which is said.

use toml::Spanned;

use super::order::{Delivery, Kind};
use super::written::Deliver;

/// What is of some kinds of file only; the first is named.
const OF_SOME_KINDS: [(&str, &[Kind], Of); 7] = [
    ("packing", &[Kind::Tiff], |d| d.packing.as_ref().map(said)),
    ("colors", &[Kind::Png], |d| d.colors.as_ref().map(said)),
    ("quality", &[Kind::Jpeg], |d| d.quality.as_ref().map(said)),
    ("clip", &[Kind::Svg], |d| d.clip.then_some(Said::ForAll)),
    ("bleed", &[Kind::Pdf], |d| d.bleed.as_ref().map(said)),
    ("inks", &[Kind::Pdf, Kind::PatternPdf], |d| d.inks.as_ref().map(said)),
    ("cloth", &[Kind::Pdf, Kind::Svg, Kind::PlainSvg, Kind::PatternSvg, Kind::PatternPdf], |d| {
        d.cloth.as_ref().map(said)
    }),
];

/// Where a delivery says it, if it does.
type Of = fn(&Deliver) -> Option<Said>;

/// Where something is said.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Said {
    /// In the design, of one delivery.
    There,
    /// By a flag, of all deliveries.
    ForAll,
}

fn said<T>(value: &Spanned<T>) -> Said {
    if value.span().is_empty() { Said::ForAll } else { Said::There }
}

/// A sentence for each thing that changes nothing.
pub(super) fn idle(deliveries: &[Delivery], wanted: &[Deliver]) -> Vec<String> {
    let mut sentences = Vec::new();
    for (field, of_kinds, of) in OF_SOME_KINDS {
        let name = of_kinds[0].name();
        let said: Vec<_> = deliveries.iter().zip(wanted).filter_map(|(d, wanted)| Some((d, of(wanted)?))).collect();
        let makes = |delivery: &Delivery| delivery.kinds.iter().any(|kind| of_kinds.contains(kind));
        for (delivery, _) in said.iter().filter(|(delivery, said)| *said == Said::There && !makes(delivery)) {
            let kinds: Vec<&str> = delivery.kinds.iter().map(|kind| kind.name()).collect();
            sentences.push(format!(
                "{field} is for {name}, and this delivery makes {} only: add \"{name}\" to its as, or take {field} out",
                kinds.join(", ")
            ));
        }
        let mut flagged = said.iter().filter(|(_, said)| *said == Said::ForAll).peekable();
        if flagged.peek().is_some() && !flagged.any(|(delivery, _)| makes(delivery)) {
            sentences
                .push(format!("--{field} is for {name}, and none is made: add {name} to --as, or leave --{field} out"));
        }
    }
    sentences
}
