//! Where paths may begin, and the nearest such place: a tree of points that come in and go out.
//!
//! The points are known from the start, so the tree is halved once and stays; each box counts which of its points are
//! in, and boxes without any are passed by (J. L. Bentley, 1975, and for taking out 1990; from memory).

use kurbo::{Point, Rect};

/// Points in a box that is not halved any more.
const FEW: usize = 8;

/// A place where a path may begin.
#[derive(Clone, Copy, Debug)]
pub(super) struct Begin {
    pub at: Point,
    pub path: u32,
    pub corner: u32,
}

/// All places, and which of them are in.
pub(super) struct Begins {
    /// In the order of boxes.
    all: Vec<Begin>,
    /// Where the points of each path are in it.
    of_path: Vec<Vec<u32>>,
    parts: Vec<Part>,
    is_in: Vec<bool>,
}

struct Part {
    bounds: Rect,
    from: u32,
    to: u32,
    /// The boxes of its two halves; none for itself.
    halves: Option<[u32; 2]>,
    count: u32,
}

impl Begins {
    /// Of so many paths; none is in.
    pub fn new(mut all: Vec<Begin>, paths: usize) -> Begins {
        let mut parts = Vec::new();
        if !all.is_empty() {
            halve(&mut all, 0, &mut parts);
        }
        let mut of_path = vec![Vec::new(); paths];
        for (slot, begin) in all.iter().enumerate() {
            of_path[begin.path as usize].push(index(slot));
        }
        Begins { is_in: vec![false; all.len()], all, of_path, parts }
    }

    /// Brings a path's places in, or takes them out.
    pub fn set(&mut self, path: usize, is_in: bool) {
        for slot in &self.of_path[path] {
            if std::mem::replace(&mut self.is_in[*slot as usize], is_in) == is_in {
                continue;
            }
            let mut next = Some(0);
            while let Some(number) = next {
                let one = &mut self.parts[number as usize];
                one.count = if is_in { one.count + 1 } else { one.count - 1 };
                let halves = one.halves;
                next = halves.map(|[a, b]| if *slot < self.parts[b as usize].from { a } else { b });
            }
        }
    }

    /// The nearest that is in; of several, the first path's first corner.
    pub fn nearest(&self, here: Point) -> Option<Begin> {
        let mut best: Option<(f64, Begin)> = None;
        let mut waiting = if self.parts.is_empty() { Vec::new() } else { vec![0_u32] };
        while let Some(number) = waiting.pop() {
            let one = &self.parts[number as usize];
            if one.count == 0 || best.is_some_and(|(way, _)| off(one.bounds, here) > way) {
                continue;
            }
            if let Some([a, b]) = one.halves {
                let [near, far] = [a, b].map(|half| off(self.parts[half as usize].bounds, here));
                waiting.extend(if near <= far { [b, a] } else { [a, b] });
                continue;
            }
            for slot in one.from as usize..one.to as usize {
                let begin = self.all[slot];
                let way = begin.at.distance(here);
                let first = |(far, other): (f64, Begin)| {
                    way < far || (way == far && (begin.path, begin.corner) < (other.path, other.corner))
                };
                if self.is_in[slot] && best.is_none_or(first) {
                    best = Some((way, begin));
                }
            }
        }
        best.map(|(_, begin)| begin)
    }
}

/// Halves a box along its longer side until it holds few points; the number of the box.
fn halve(points: &mut [Begin], from: usize, parts: &mut Vec<Part>) -> u32 {
    let bounds = points.iter().map(|begin| Rect::from_points(begin.at, begin.at)).reduce(|a, b| a.union(b));
    let bounds = bounds.unwrap_or_default();
    let number = parts.len();
    parts.push(Part { bounds, from: index(from), to: index(from + points.len()), halves: None, count: 0 });
    if points.len() > FEW {
        let middle = points.len() / 2;
        let wide = bounds.width() >= bounds.height();
        let key = |begin: &Begin| if wide { begin.at.x } else { begin.at.y };
        let before = |a: &Begin, b: &Begin| key(a).total_cmp(&key(b)).then((a.path, a.corner).cmp(&(b.path, b.corner)));
        points.select_nth_unstable_by(middle, before);
        let (left, right) = points.split_at_mut(middle);
        let halves = [halve(left, from, parts), halve(right, from + middle, parts)];
        parts[number].halves = Some(halves);
    }
    index(number)
}

/// How far a point lies off a box.
fn off(r: Rect, p: Point) -> f64 {
    Point::new(p.x.clamp(r.x0, r.x1), p.y.clamp(r.y0, r.y1)).distance(p)
}

fn index(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_of_those_that_are_in() {
        // A grid with every place twice, so that many are equally near.
        let place = |n: u32| Point::new(f64::from(n / 2 % 17), f64::from(n / 34));
        let all: Vec<Begin> = (0..578).map(|n| Begin { at: place(n), path: n % 90, corner: n / 90 }).collect();
        let mut begins = Begins::new(all.clone(), 90);
        assert!(begins.nearest(Point::ZERO).is_none());
        let mut is_in = [false; 90];
        for step in 0..400_usize {
            let path = step * 37 % 90;
            is_in[path] = step % 5 < 3;
            begins.set(path, is_in[path]);
            let here = Point::new((step % 23) as f64 - 2.5, (step % 31) as f64 * 0.7);
            let key = |b: &Begin| (b.at.distance(here), b.path, b.corner);
            let of_those = all.iter().filter(|b| is_in[b.path as usize]).map(key);
            let want = of_those.min_by(|a, b| a.partial_cmp(b).expect("numbers"));
            assert_eq!(begins.nearest(here).as_ref().map(key), want, "at step {step}");
        }
        assert!(Begins::new(Vec::new(), 0).nearest(Point::ZERO).is_none());
    }
}
