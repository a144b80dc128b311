//! What is seen of the cloth, shape by shape in painting order, on the plane.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::path::Path;
use std::sync::Arc;

use kurbo::{Affine, Rect};

use super::error::CutError;
use super::near::Near;
use super::plane::{EXACT, Plane, Whole};
use super::region::Region;
use crate::artwork::{Clip, Hindrance, InkName, Motif, Painted, Patterns, Seen, stretch};
use crate::limits::Limits;
use crate::wrap::Copies;

/// A shape of one ink, whole.
#[derive(Clone, Debug)]
pub struct LaidShape {
    /// Its ink, counted in [`Laid::inks`].
    pub ink: usize,
    /// What it covers.
    pub region: Region,
    bounds: Rect,
}

/// Everything that lies on a piece of cloth.
#[derive(Debug, Default)]
pub struct Laid {
    /// The curves.
    pub plane: Plane,
    /// In painting order.
    pub shapes: Vec<LaidShape>,
    /// In the order in which they first appear.
    pub inks: Vec<InkName>,
    /// Where each ink of a file stands; a color is the same in all.
    known: HashMap<(InkName, Option<String>), usize>,
    /// What is no shape and was left out, and the motif it belongs to.
    pub left_out: Vec<(usize, Hindrance)>,
    /// Motifs that let something shine through; it is cut as if it covered.
    pub translucent: BTreeSet<usize>,
}

impl Laid {
    /// Lays all copies that reach a window of the cloth, in EMU. `copies` are planned on whole EMU.
    pub fn of(
        copies: &Copies,
        motifs: &[Motif],
        window: [i64; 4],
        patterns: Patterns,
        limits: &Limits,
    ) -> Result<Laid, CutError> {
        few(copies, window, limits)?;
        let mut laid = Laid::default();
        let (mut homes, mut lines) = (Vec::new(), 0_u64);
        let mut known: HashMap<usize, Seen> = HashMap::new();
        for mark in copies.marks() {
            let motif = &motifs[mark.motif];
            let to = mark.to_units(motif, [0, 0]);
            let Some(ink) = motif.ink().bounds(to) else { continue };
            let steps = copies.steps_into([ink.x0, ink.y0, ink.x1, ink.y1], window);
            if steps.is_empty() {
                continue;
            }
            let [most, _] = stretch(to);
            let seen = known.entry(mark.motif).or_insert_with(|| {
                let seen = motif.seen(EXACT / 2.0 / most, patterns, limits);
                laid.left_out.extend(seen.hindrances.iter().map(|hindrance| (mark.motif, hindrance.clone())));
                if seen.shapes.iter().any(|shape| shape.translucent) {
                    laid.translucent.insert(mark.motif);
                }
                seen
            });
            let home = laid.home(seen, motif.file(), to);
            for step in &steps {
                let seen = before(window, *step);
                lines += home.iter().map(|(_, region)| region.sides_in(seen)).sum::<usize>() as u64;
                if lines > limits.cut_lines.most {
                    return Err(CutError::TooManyLines { limit: limits.cut_lines });
                }
            }
            homes.push((home, steps));
        }
        drop(known);
        for (home, steps) in homes {
            for step in steps {
                for (ink, region) in &home {
                    let region = laid.plane.moved(&region.in_reach(before(window, step)), step);
                    laid.put(*ink, region);
                }
            }
        }
        laid.tell_apart();
        Ok(laid)
    }

    /// Inks of one name from several files get their file's name behind it, and a number if that is the same, too.
    fn tell_apart(&mut self) {
        let mut files: HashMap<&InkName, usize> = HashMap::new();
        self.inks.iter().for_each(|ink| *files.entry(ink).or_default() += 1);
        let mut taken: HashSet<InkName> = self.inks.iter().cloned().collect();
        let mut named: Vec<_> = self.known.iter().filter(|((ink, _), _)| files[ink] > 1).collect();
        named.sort_by_key(|(_, number)| **number);
        let mut new = Vec::new();
        for ((ink, file), number) in named {
            let (InkName::Named(name), Some(file)) = (ink, file) else { continue };
            let stem = Path::new(file).file_stem().map_or_else(|| file.into(), |stem| stem.to_string_lossy());
            let again = (2..).map(|n| format!("{name} of {stem} {n}"));
            let mut names = std::iter::once(format!("{name} of {stem}")).chain(again).map(InkName::Named);
            new.extend(names.find(|name| taken.insert(name.clone())).map(|name| (*number, name)));
        }
        new.into_iter().for_each(|(number, name)| self.inks[number] = name);
    }

    fn put(&mut self, ink: usize, region: Region) {
        if let Some(bounds) = region.bounds() {
            self.shapes.push(LaidShape { ink, region, bounds });
        }
    }

    /// A motif's shapes under one transform. A gradient or pattern is one ink in its file; in another it is another.
    fn home(&mut self, seen: &Seen, file: &str, to: Affine) -> Vec<(usize, Region)> {
        let mut clips = Clips { to, known: HashMap::new() };
        let mut home: Vec<(usize, Vec<Region>)> = Vec::new();
        for Painted { path, rule, ink, clips: within, .. } in &seen.shapes {
            let mut region = self.plane.lay(&(to * path), *rule);
            for clip in within {
                region = region.within(&clips.region(clip, &mut self.plane));
            }
            if region.is_empty() {
                continue;
            }
            let of = matches!(ink, InkName::Named(_)).then(|| file.to_owned());
            let inks = &mut self.inks;
            let ink = *self.known.entry((ink.clone(), of)).or_insert_with(|| {
                inks.push(ink.clone());
                inks.len() - 1
            });
            match home.last_mut() {
                Some((last, below)) if *last == ink => below.push(region),
                _ => home.push((ink, vec![region])),
            }
        }
        // One ink over itself is one shape.
        home.into_iter().map(|(ink, all)| (ink, Region::union(&all))).collect()
    }

    /// What is seen of each shape: what no shape of another ink covers.
    pub fn visible(&self) -> Vec<Region> {
        let boxes: Vec<Rect> = self.shapes.iter().map(|shape| shape.bounds).collect();
        let near = Near::of(&boxes);
        let seen = self.shapes.iter().enumerate().map(|(index, shape)| {
            let above = near.behind(index).into_iter().map(|over| &self.shapes[over]);
            let above = above.filter(|over| over.ink != shape.ink);
            shape.region.without(&Region::union(above.map(|over| &over.region)))
        });
        seen.collect()
    }

    /// The inks from the lowest film to the top one, so that what lies on top on the cloth lies on top of the films; and
    /// the inks that lie now over another and now under it, which no order of films can show.
    pub fn films(&self) -> (Vec<usize>, Vec<[usize; 2]>) {
        let count = self.inks.len();
        let boxes: Vec<Rect> = self.shapes.iter().map(|shape| shape.bounds).collect();
        let near = Near::of(&boxes);
        let mut over = vec![HashSet::new(); count];
        for (index, under) in self.shapes.iter().enumerate() {
            for above in near.behind(index).into_iter().map(|above| &self.shapes[above]) {
                let new = above.ink != under.ink && !over[above.ink].contains(&under.ink);
                if new && !above.region.within(&under.region).is_empty() {
                    over[above.ink].insert(under.ink);
                }
            }
        }
        let mut under: Vec<Vec<usize>> = vec![Vec::new(); count];
        let mut both = Vec::new();
        for (ink, below) in over.iter().enumerate() {
            below.iter().for_each(|other| under[*other].push(ink));
            both.extend(below.iter().filter(|other| **other < ink && over[**other].contains(&ink)).map(|b| [*b, ink]));
        }
        both.sort_by_key(|[b, a]| [*a, *b]);
        // Next the one that lies over the fewest of those that are left.
        let mut lies_over: Vec<usize> = over.iter().map(HashSet::len).collect();
        let mut left: BTreeSet<(usize, usize)> = (0..count).map(|ink| (lies_over[ink], ink)).collect();
        let mut order = Vec::with_capacity(count);
        while let Some((_, ink)) = left.pop_first() {
            order.push(ink);
            for above in &under[ink] {
                if left.remove(&(lies_over[*above], *above)) {
                    lies_over[*above] -= 1;
                    left.insert((lies_over[*above], *above));
                }
            }
        }
        (order, both)
    }

    /// An upright rectangle in EMU.
    pub fn rectangle(&mut self, [x0, y0, x1, y1]: [Whole; 4]) -> Region {
        let [x0, y0, x1, y1] = [x0, y0, x1, y1].map(|n| n as f64);
        self.plane.lay(&kurbo::Shape::to_path(&Rect::new(x0, y0, x1, y1), 0.1), crate::artwork::Rule::NonZero)
    }
}

/// A window as it lies before a step.
fn before([x0, y0, x1, y1]: [i64; 4], [x, y]: [i64; 2]) -> Rect {
    Rect::new((x0 - x) as f64, (y0 - y) as f64, (x1 - x) as f64, (y1 - y) as f64)
}

/// No more copies than the limit, before any is looked at.
fn few(copies: &Copies, window: [i64; 4], limits: &Limits) -> Result<(), CutError> {
    let lattice = copies.lattice();
    let area = (window[2] - window[0]) as f64 * (window[3] - window[1]) as f64;
    let cells = area / (lattice.across() as f64 * lattice.down() as f64);
    let count = cells * copies.marks().len() as f64;
    let limit = limits.cloth;
    if count > limit.most as f64 { Err(CutError::TooManyCopies { count, limit }) } else { Ok(()) }
}

/// The clips of one motif, each laid once.
struct Clips {
    to: Affine,
    known: HashMap<*const Clip, Region>,
}

impl Clips {
    fn region(&mut self, clip: &Arc<Clip>, plane: &mut Plane) -> Region {
        if let Some(region) = self.known.get(&Arc::as_ptr(clip)) {
            return region.clone();
        }
        let mut all = Region::default();
        for part in &clip.parts {
            let mut region = plane.lay(&(self.to * &part.path), part.rule);
            for outer in &part.clips {
                region = region.within(&self.region(outer, plane));
            }
            all = if part.opens { Region::union([&all, &region]) } else { all.without(&region) };
        }
        self.known.insert(Arc::as_ptr(clip), all.clone());
        all
    }
}
