//! Graphics states (ISO 32000-1, 8.4.5): alphas, blends and soft masks, those that are alike written once.

use pdf_writer::types::MaskType;
use pdf_writer::{Name, Ref};

use super::book::Book;

/// A graphics state, as far as it is set: alphas in 1/65 535, the blend, a soft mask.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct State {
    pub(super) fill: Option<u16>,
    pub(super) stroke: Option<u16>,
    pub(super) blend: Option<&'static str>,
    pub(super) mask: Option<(i32, Seen)>,
}

/// What of a mask's drawing counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Seen {
    Alpha,
    Luminance,
}

impl Book<'_> {
    pub(super) fn state(&mut self, state: State) -> Ref {
        if let Some(id) = self.states.get(&state) {
            return *id;
        }
        let id = self.id();
        self.states.insert(state, id);
        let mut dict = self.pdf.ext_graphics(id);
        let level = |n: u16| f32::from(n) / f32::from(u16::MAX);
        if let Some(fill) = state.fill {
            dict.non_stroking_alpha(level(fill));
        }
        if let Some(stroke) = state.stroke {
            dict.stroking_alpha(level(stroke));
        }
        if let Some(blend) = state.blend {
            dict.pair(Name(b"BM"), Name(blend.as_bytes()));
        }
        if let Some((group, seen)) = state.mask {
            let mut mask = dict.soft_mask();
            let subtype = if seen == Seen::Alpha { MaskType::Alpha } else { MaskType::Luminosity };
            mask.subtype(subtype).group(Ref::new(group));
            if seen == Seen::Luminance {
                mask.backdrop([0.0]);
            }
        }
        id
    }
}

/// PDF's name of a blend.
pub(super) fn blend(mode: usvg::BlendMode) -> &'static str {
    use usvg::BlendMode as B;
    match mode {
        B::Normal => "Normal",
        B::Multiply => "Multiply",
        // PDF has no sum of two colors; the screen is the nearest.
        B::Screen | B::PlusLighter => "Screen",
        B::Overlay => "Overlay",
        B::Darken => "Darken",
        B::Lighten => "Lighten",
        B::ColorDodge => "ColorDodge",
        B::ColorBurn => "ColorBurn",
        B::HardLight => "HardLight",
        B::SoftLight => "SoftLight",
        B::Difference => "Difference",
        B::Exclusion => "Exclusion",
        B::Hue => "Hue",
        B::Saturation => "Saturation",
        B::Color => "Color",
        B::Luminosity => "Luminosity",
    }
}
