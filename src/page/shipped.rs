//! The motifs that come with Seamfast, for who has none at hand.

/// Name and drawing.
pub(super) const MOTIFS: [(&str, &str); 12] = [
    ("limpet", include_str!("../../motifs/limpet.svg")),
    ("kelp", include_str!("../../motifs/kelp.svg")),
    ("tern", include_str!("../../motifs/tern.svg")),
    ("buoy", include_str!("../../motifs/buoy.svg")),
    ("dory", include_str!("../../motifs/dory.svg")),
    ("starfish", include_str!("../../motifs/starfish.svg")),
    ("mussel", include_str!("../../motifs/mussel.svg")),
    ("crab", include_str!("../../motifs/crab.svg")),
    ("anchor", include_str!("../../motifs/anchor.svg")),
    ("lighthouse", include_str!("../../motifs/lighthouse.svg")),
    ("rope-knot", include_str!("../../motifs/rope-knot.svg")),
    ("label", include_str!("../../motifs/label.svg")),
];

/// A drawing by its name.
pub(super) fn drawing(name: &str) -> Option<&'static str> {
    MOTIFS.iter().find(|(own, _)| *own == name).map(|(_, svg)| *svg)
}
