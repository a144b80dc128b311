//! The first and the last line, if they are unlike their neighbours: a soft edge or a hairline.

use super::fault::{Fault, FaultKind, Places};
use super::image::Strip;
use super::inside::{Inside, quantile};
use super::soft::{LineLook, look};

/// So many times its error a value must be to be no chance.
const SURE: f64 = 6.0;
/// A line of another color is nowhere as those beside it, or nearly so; else it is a thread, or the end of a motif.
const FOREIGN: f64 = 0.35;
/// In a weave each line is torn from the one before along such a share.
const WOVEN: f64 = 0.2;

/// Lines at the join that are unlike their neighbours.
pub(super) fn lines(strip: &Strip, inside: &Inside, places: Places) -> Vec<Fault> {
    let noise = inside.noise;
    let size = |levels: &[f64; 4]| levels.iter().fold(0.0f64, |most, level| most.max(level.abs()));
    let sharp = |look: &LineLook| size(&look.offset);
    let most_sunk = inside.looks.iter().map(|look| size(&look.sunk)).fold(0.0, f64::max);
    let most_ridge = inside.looks.iter().map(|look| size(&look.ridge)).fold(0.0, f64::max);
    let is_woven = quantile(inside.looks.iter().map(|look| look.torn).collect(), 0.5) > WOVEN;
    let mut faults = Vec::new();
    for offset in [-1isize, 0] {
        let own = look(strip, offset, noise);
        let like_it = inside.looks.iter().filter(|l| l.share > 0.4 && sharp(l) > 0.5 * sharp(&own)).count();
        // The middle of so many samples is known better than each of them.
        let least = |samples: f64| 1.5 + SURE * noise / samples.sqrt();
        let length = strip.length as f64;
        let is_foreign = own.alike < FOREIGN;
        let stands_out =
            ((is_foreign || !is_woven) && own.share > 0.4 && sharp(&own) > least(own.share * length) && like_it == 0)
                || (is_foreign
                    && (size(&own.ridge) > least(length).max(2.0 * most_ridge)
                        || size(&own.sunk) > least(length).max(1.5 * most_sunk)));
        let thin = own.opacity < 0.985
            && quantile(inside.looks.iter().map(|l| (l.opacity - 1.0).abs()).collect(), 0.98)
                < (1.0 - own.opacity) / 2.0;
        // Lines inside that are told by as many samples; where a shape ends, a line is paler, too, but
        // not all of it alike.
        let like = || inside.looks.iter().filter(|l| l.samples * 2 >= own.samples && l.contrast.value < 1.0);
        let usual = quantile(like().map(|l| 1.0 - l.contrast.value).collect(), 0.98).max(0.02);
        let usually_clear = quantile(like().map(|l| l.contrast.differs(1.0)).collect(), 0.98);
        let clear = own.contrast.differs(1.0);
        let pale = (is_foreign || !is_woven)
            && own.contrast.value < 0.95
            && own.samples >= 12
            && clear > 5.0
            && (1.0 - own.contrast.value > 1.5 * usual || clear > 1.5 * usually_clear)
            // Packing pales a line that an edge leaves alone in its block.
            && !(places.image.is_lossy() && own.beside_edge);
        let area = places.line(offset);
        if thin {
            faults.push(Fault::new(FaultKind::SoftEdge, own.opacity, vec![area]));
        } else if pale && own.contrast.value > 0.05 {
            faults.push(Fault::new(FaultKind::SoftEdge, own.contrast.value, vec![area]));
        } else if pale || stands_out {
            faults.push(Fault::new(
                FaultKind::Hairline,
                sharp(&own).max(size(&own.ridge)).max(size(&own.sunk)),
                vec![area],
            ));
        }
    }
    faults
}
