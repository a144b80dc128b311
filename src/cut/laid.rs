//! What is seen of the cloth, shape by shape in painting order, on the plane.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::path::Path;
use std::sync::Arc;

use kurbo::{Affine, Rect};

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
    pub fn of(copies: &Copies, motifs: &[Motif], window: [i64; 4], patterns: Patterns, limits: &Limits) -> Laid {
        let mut laid = Laid::default();
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
            for step in steps {
                for (ink, region) in &home {
                    let region = laid.plane.moved(region, step);
                    laid.put(*ink, region);
                }
            }
        }
        laid.tell_apart();
        laid
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
        let seen = self.shapes.iter().enumerate().map(|(index, shape)| {
            let above = self.shapes[index + 1..].iter();
            let above = above.filter(|over| over.ink != shape.ink && near(&over.bounds, &shape.bounds));
            shape.region.without(&Region::union(above.map(|over| &over.region)))
        });
        seen.collect()
    }

    /// The inks from the lowest film to the top one, so that what lies on top on the cloth lies on top of the films; and
    /// the inks that lie now over another and now under it, which no order of films can show.
    pub fn films(&self) -> (Vec<usize>, Vec<[usize; 2]>) {
        let count = self.inks.len();
        let mut over = vec![vec![false; count]; count];
        for (index, under) in self.shapes.iter().enumerate() {
            for above in &self.shapes[index + 1..] {
                let new = above.ink != under.ink && !over[above.ink][under.ink];
                if new && near(&above.bounds, &under.bounds) && !above.region.within(&under.region).is_empty() {
                    over[above.ink][under.ink] = true;
                }
            }
        }
        let both = (0..count).flat_map(|a| (0..a).map(move |b| [b, a])).filter(|[a, b]| over[*a][*b] && over[*b][*a]);
        let (mut order, mut left): (Vec<usize>, Vec<usize>) = (Vec::new(), (0..count).collect());
        while !left.is_empty() {
            // The one that lies over the fewest of those that are left.
            let lies_over = |ink: usize| left.iter().filter(|other| over[ink][**other]).count();
            let next = (0..left.len()).min_by_key(|slot| lies_over(left[*slot])).unwrap_or(0);
            order.push(left.remove(next));
        }
        (order, both.collect())
    }

    /// An upright rectangle in EMU.
    pub fn rectangle(&mut self, [x0, y0, x1, y1]: [Whole; 4]) -> Region {
        let [x0, y0, x1, y1] = [x0, y0, x1, y1].map(|n| n as f64);
        self.plane.lay(&kurbo::Shape::to_path(&Rect::new(x0, y0, x1, y1), 0.1), crate::artwork::Rule::NonZero)
    }
}

fn near(a: &Rect, b: &Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
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
