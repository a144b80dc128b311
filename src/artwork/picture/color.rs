//! From the colors of a file to sRGB, eight bits each, through the profile that it carries.
//!
//! Relative colorimetric, without black point compensation. A profile that moves no color by more
//! than one level is sRGB under another name, and is left aside, so that its numbers stay what they are.

use std::sync::Arc;

use moxcms::{ColorProfile, DataColorSpace, Layout, ProfileText, RenderingIntent, TransformExecutor, TransformOptions};

use super::decoded::{Alpha, Color, Decoded, Samples};
use super::loss;
use crate::artwork::finished::ColorSpace;
use crate::artwork::losses::Loss;

/// Pixels converted at once.
const STRETCH: usize = 1 << 16;

/// Straight RGBA in sRGB, or RGB where that is wanted of a picture without transparency, and what
/// was lost.
pub(super) fn to_srgb(decoded: Decoded, rgba: bool) -> (Vec<u8>, Vec<Loss>) {
    let Decoded { samples, color, channels, alpha, profile, mut losses, .. } = decoded;
    let shape = Shape { color, channels, alpha, rgba: rgba || alpha.is_some() };
    let profile = match profile.as_deref().map(|bytes| usable(bytes, color)) {
        Some(Ok(profile)) => Some(profile),
        Some(Err(what)) => {
            losses.push(loss("bad-profile", what));
            None
        }
        None if color == Color::Cmyk => {
            losses.push(loss("no-profile", "four inks without a profile"));
            None
        }
        None => None,
    };
    let srgb = ColorProfile::new_srgb();
    let to = profile.as_ref().map(|p| (p, layout(p)));
    let mut unfit = |e: moxcms::CmsError| losses.push(loss("bad-profile", e.to_string()));
    let bytes = match samples {
        Samples::Eight(samples) => {
            let step = to.map(|(p, layout)| p.create_transform_8bit(layout, &srgb, Layout::Rgb, options()));
            let step =
                step.and_then(|s| s.map_err(&mut unfit).ok()).filter(|s| color == Color::Cmyk || moves(&**s, to));
            if step.is_none() && shape.is_as_wanted() {
                samples
            } else {
                shape.convert_bytes(samples, step.map(|s| s as Arc<dyn TransformExecutor<u8>>), to.map(|t| t.1))
            }
        }
        Samples::Sixteen(samples) => {
            let probe = to.and_then(|(p, l)| p.create_transform_8bit(l, &srgb, Layout::Rgb, options()).ok());
            let same = color != Color::Cmyk && probe.is_some_and(|s| !moves(&*s, to));
            let to = to.filter(|_| !same);
            let step = to.map(|(p, layout)| p.create_transform_16bit(layout, &srgb, Layout::Rgb, options()));
            let step = step.and_then(|s| s.map_err(&mut unfit).ok());
            shape.convert(&samples, step.map(|s| s as Arc<dyn TransformExecutor<u16>>), to.map(|t| t.1))
        }
    };
    (bytes, losses)
}

/// What the numbers of a file are, as it says itself.
pub(super) fn space(decoded: &Decoded) -> ColorSpace {
    let Some(bytes) = &decoded.profile else {
        return match decoded.losses.iter().find(|loss| loss.code() == "color-space") {
            Some(loss) => ColorSpace::Other(loss.what().into()),
            None if decoded.says_srgb => ColorSpace::Srgb,
            None => ColorSpace::Unsaid,
        };
    };
    let Ok(profile) = usable(bytes, decoded.color) else { return ColorSpace::Other("a profile of no use".into()) };
    let to = (&profile, layout(&profile));
    let step = profile.create_transform_8bit(to.1, &ColorProfile::new_srgb(), Layout::Rgb, options());
    if decoded.color != Color::Cmyk && step.is_ok_and(|step| !moves(&*step, Some(to))) {
        return ColorSpace::Srgb;
    }
    ColorSpace::Other(name(&profile).unwrap_or_else(|| format!("a profile for {:?}", profile.color_space)))
}

/// The name in a profile.
fn name(profile: &ColorProfile) -> Option<String> {
    let name = match profile.description.as_ref()? {
        ProfileText::PlainString(text) => text,
        ProfileText::Localizable(texts) => &texts.first()?.value,
        ProfileText::Description(text) => &text.ascii_string,
    };
    let name = name.trim_matches(|c: char| c.is_control() || c.is_whitespace());
    (!name.is_empty()).then(|| name.chars().take(80).collect())
}

fn options() -> TransformOptions {
    TransformOptions { rendering_intent: RenderingIntent::RelativeColorimetric, ..TransformOptions::default() }
}

/// A profile that is sound and for this kind of color. Grey may be told in an RGB profile.
fn usable(bytes: &[u8], color: Color) -> Result<ColorProfile, String> {
    let profile = ColorProfile::new_from_slice(bytes).map_err(|e| format!("a profile that cannot be read: {e}"))?;
    let fits = match color {
        Color::Grey => matches!(profile.color_space, DataColorSpace::Gray | DataColorSpace::Rgb),
        Color::Rgb => profile.color_space == DataColorSpace::Rgb,
        Color::Cmyk => profile.color_space == DataColorSpace::Cmyk,
    };
    let kinds = (profile.color_space, color);
    if fits { Ok(profile) } else { Err(format!("a profile for {:?} in a picture of {:?}", kinds.0, kinds.1)) }
}

/// How colors go into the profile: CMYK in four channels, which moxcms calls RGBA.
fn layout(profile: &ColorProfile) -> Layout {
    match profile.color_space {
        DataColorSpace::Gray => Layout::Gray,
        DataColorSpace::Cmyk => Layout::Rgba,
        _ => Layout::Rgb,
    }
}

/// Whether a profile moves any of a grid of colors by more than one level.
fn moves(step: &(dyn TransformExecutor<u8> + Send + Sync), to: Option<(&ColorProfile, Layout)>) -> bool {
    let levels = || (0..=255u8).step_by(15);
    let grey = to.is_some_and(|(_, layout)| layout == Layout::Gray);
    let colors: Vec<[u8; 3]> = if grey {
        (0..=255).map(|n| [n; 3]).collect()
    } else {
        levels().flat_map(|r| levels().flat_map(move |g| levels().map(move |b| [r, g, b]))).collect()
    };
    let source: Vec<u8> = if grey { colors.iter().map(|c| c[0]).collect() } else { colors.concat() };
    let mut out = vec![0; colors.len() * 3];
    step.transform(&source, &mut out).is_err() || colors.concat().iter().zip(&out).any(|(a, b)| a.abs_diff(*b) > 1)
}

/// One sample: eight or sixteen bits.
trait Sample: Copy + Default {
    const MOST: u32;
    fn wide(self) -> u32;
    fn of(wide: u32) -> Self;
    fn byte(self) -> u8;
}

impl Sample for u8 {
    const MOST: u32 = 255;
    fn wide(self) -> u32 {
        self.into()
    }
    fn of(wide: u32) -> u8 {
        u8::try_from(wide).unwrap_or(u8::MAX)
    }
    fn byte(self) -> u8 {
        self
    }
}

impl Sample for u16 {
    const MOST: u32 = 65_535;
    fn wide(self) -> u32 {
        self.into()
    }
    fn of(wide: u32) -> u16 {
        u16::try_from(wide).unwrap_or(u16::MAX)
    }
    fn byte(self) -> u8 {
        // Rounded: 65 535 / 255 = 257.
        u8::of((self.wide() + 128) / 257)
    }
}

struct Shape {
    color: Color,
    channels: usize,
    alpha: Option<Alpha>,
    /// Four channels are wanted, not three.
    rgba: bool,
}

impl Shape {
    fn is_as_wanted(&self) -> bool {
        let straight = self.alpha.is_none_or(|alpha| !alpha.multiplied);
        self.color == Color::Rgb && straight && self.channels == if self.rgba { 4 } else { 3 }
    }

    /// Stretch by stretch, so that little memory is needed beside the two pictures.
    fn convert<T: Sample>(
        &self,
        samples: &[T],
        step: Option<Arc<dyn TransformExecutor<T>>>,
        layout: Option<Layout>,
    ) -> Vec<u8> {
        let mut out = Vec::with_capacity(samples.len() / self.channels * self.wanted());
        for stretch in samples.chunks(STRETCH * self.channels) {
            out.extend(self.converted(stretch, step.as_deref(), layout));
        }
        out
    }

    /// The same where the samples lay, if they take no less room: a large picture is not held twice.
    fn convert_bytes(
        &self,
        mut samples: Vec<u8>,
        step: Option<Arc<dyn TransformExecutor<u8>>>,
        layout: Option<Layout>,
    ) -> Vec<u8> {
        if self.wanted() > self.channels {
            return self.convert(&samples, step, layout);
        }
        let (mut read, mut written) = (0, 0);
        while read < samples.len() {
            let end = (read + STRETCH * self.channels).min(samples.len());
            let bytes = self.converted(&samples[read..end], step.as_deref(), layout);
            samples[written..written + bytes.len()].copy_from_slice(&bytes);
            (read, written) = (end, written + bytes.len());
        }
        samples.truncate(written);
        samples
    }

    /// Bytes of a pixel that are wanted.
    fn wanted(&self) -> usize {
        if self.rgba { 4 } else { 3 }
    }

    /// Some pixels as bytes.
    fn converted<T: Sample>(
        &self,
        samples: &[T],
        step: Option<&(dyn TransformExecutor<T> + '_)>,
        layout: Option<Layout>,
    ) -> Vec<u8> {
        let pixels = samples.chunks_exact(self.channels);
        let spread = step.is_none() || layout != Some(Layout::Gray);
        let mut colors = Vec::with_capacity(pixels.len() * self.color.channels().max(3));
        for pixel in pixels.clone() {
            self.color(pixel, spread, &mut colors);
        }
        let mut rgb = vec![T::default(); pixels.len() * 3];
        match step {
            Some(step) if step.transform(&colors, &mut rgb).is_ok() => {}
            _ if self.color == Color::Cmyk => without_profile(&colors, &mut rgb),
            _ => rgb.copy_from_slice(&colors),
        }
        let mut out = Vec::with_capacity(pixels.len() * self.wanted());
        for (pixel, rgb) in pixels.zip(rgb.chunks_exact(3)) {
            let alpha = self.alpha.map_or(255, |a| pixel[a.channel].byte());
            out.extend_from_slice(&[rgb[0].byte(), rgb[1].byte(), rgb[2].byte(), alpha][..self.wanted()]);
        }
        out
    }

    /// The colors of one pixel, not multiplied; grey as three where it is wanted so.
    fn color<T: Sample>(&self, pixel: &[T], spread: bool, out: &mut Vec<T>) {
        let whole = self.alpha.filter(|a| a.multiplied).map(|a| pixel[a.channel].wide());
        let plain = |level: T| match whole {
            Some(0) => T::default(),
            Some(alpha) => T::of(((level.wide() * T::MOST + alpha / 2) / alpha).min(T::MOST)),
            None => level,
        };
        match self.color {
            Color::Grey if spread => out.extend([plain(pixel[0]); 3]),
            _ => out.extend(pixel[..self.color.channels()].iter().map(|level| plain(*level))),
        }
    }
}

/// What is left of white after the color's ink and after black, if nothing better is known.
fn without_profile<T: Sample>(inks: &[T], rgb: &mut [T]) {
    for (ink, out) in inks.chunks_exact(4).zip(rgb.chunks_exact_mut(3)) {
        let left = |ink: T| u64::from(T::MOST - ink.wide());
        for (out, ink_of) in out.iter_mut().zip(ink) {
            let most = u64::from(T::MOST);
            let level = (left(*ink_of) * left(ink[3]) + most / 2) / most;
            *out = T::of(u32::try_from(level).unwrap_or(T::MOST));
        }
    }
}

#[cfg(test)]
mod tests;
