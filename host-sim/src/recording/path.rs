//! The path as a polyline with speeds, thinned as it grows so that it stays within its bound.

use crate::motion::{MoveKind, Point};
use crate::trace::Slice;

/// The most stretches that are kept.
pub const MAX_STRETCHES: usize = 20_000;

/// The finest grain, mm: slices that differ less are joined from the start (a cruise).
const FINEST_MM: f64 = 1e-3;

/// A straight stretch of the path; it starts where the one before it ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Where it ends, mm.
    pub to: Point,
    /// Lowest speed on it, mm/s.
    pub low_mm_s: f64,
    /// Lowest part of the speed asked for that is reached on it.
    pub low_share: f64,
    /// It is a rapid (for joined stretches: the longer part is).
    pub rapid: bool,
    /// Length of the path that it stands for, mm.
    length_mm: f64,
    /// Bound on how far that path lies from it, mm.
    error_mm: f64,
    /// Length shown slower than it is, weighted with the relative error of the speed, mm.
    misdrawn_mm: f64,
}

impl Stretch {
    fn of(slice: &Slice) -> Self {
        let low_mm_s = slice.entry_mm_s.min(slice.exit_mm_s);
        Self {
            to: slice.to,
            low_mm_s,
            low_share: low_mm_s / slice.asked_mm_s,
            rapid: matches!(slice.kind, Some(MoveKind::Rapid | MoveKind::TakeUp)),
            length_mm: slice.length_mm,
            error_mm: 0.0,
            misdrawn_mm: 0.0,
        }
    }

    /// This one, which starts at `from`, and the `next` as one straight stretch.
    fn join(&self, from: &Point, next: &Self) -> Self {
        let low_mm_s = self.low_mm_s.min(next.low_mm_s);
        // With v ≥ p ≥ low: (v − low)/v ≤ (v − p)/v + (p − low)/p, so the sum bounds the error.
        let misdrawn = |part: &Self| {
            let slower = if part.low_mm_s > 0.0 {
                1.0 - low_mm_s / part.low_mm_s
            } else {
                0.0
            };
            part.misdrawn_mm + part.length_mm * slower
        };
        let longer = if self.length_mm >= next.length_mm {
            self
        } else {
            next
        };
        let hidden_mm = if self.rapid == next.rapid {
            0.0
        } else {
            self.length_mm.min(next.length_mm)
        };
        Self {
            to: next.to,
            low_mm_s,
            low_share: self.low_share.min(next.low_share),
            rapid: longer.rapid,
            length_mm: self.length_mm + next.length_mm,
            // The distance to a segment is convex along a line, so between the ends of the two
            // old stretches it is at most that of the point where they met.
            error_mm: self.error_mm.max(next.error_mm) + distance(&self.to, from, &next.to),
            misdrawn_mm: misdrawn(self) + misdrawn(next) + hidden_mm,
        }
    }

    /// How much worse than the path this stretch looks, mm. A wrong shape is seen sooner than a
    /// wrong colour: at a quarter of the size (chosen by eye).
    fn cost_mm(&self) -> f64 {
        (4.0 * self.error_mm).max(self.misdrawn_mm)
    }
}

#[derive(Clone, Debug)]
pub(super) struct PathKeeper {
    start: Option<Point>,
    stretches: Vec<Stretch>,
    /// Joined stretches may cost this much, mm.
    grain_mm: f64,
}

impl PathKeeper {
    pub fn new() -> Self {
        Self {
            start: None,
            stretches: Vec::new(),
            grain_mm: FINEST_MM,
        }
    }

    pub fn start(&self) -> Option<Point> {
        self.start
    }

    pub fn stretches(&self) -> &[Stretch] {
        &self.stretches
    }

    pub fn error_mm(&self) -> f64 {
        self.stretches
            .iter()
            .map(|s| s.error_mm)
            .fold(0.0, f64::max)
    }

    pub fn slice(&mut self, slice: &Slice) {
        if slice.kind.is_none() {
            return; // at rest: no path
        }
        self.start.get_or_insert(slice.from);
        let next = Stretch::of(slice);
        if let Some(last) = self.stretches.last() {
            let joined = last.join(&self.from(self.stretches.len() - 1), &next);
            if joined.cost_mm() <= self.grain_mm {
                let end = self.stretches.len() - 1;
                self.stretches[end] = joined;
                return;
            }
        }
        if self.stretches.len() == MAX_STRETCHES {
            self.thin();
        }
        self.stretches.push(next);
    }

    /// Where the stretch `index` starts.
    fn from(&self, index: usize) -> Point {
        match index.checked_sub(1) {
            Some(before) => self.stretches[before].to,
            None => self.start.unwrap_or_default(),
        }
    }

    /// Joins a quarter of the stretches to their neighbours, those first where it shows least.
    fn thin(&mut self) {
        let count = self.stretches.len();
        let joined: Vec<Stretch> = (1..count)
            .map(|i| self.stretches[i - 1].join(&self.from(i - 1), &self.stretches[i]))
            .collect();
        let mut order: Vec<usize> = (0..joined.len()).collect();
        order.sort_by(|&a, &b| joined[a].cost_mm().total_cmp(&joined[b].cost_mm()));

        // Pairs that share no stretch: taking them greedily always finds at least a third.
        let mut taken = vec![false; count];
        let mut join = vec![false; count];
        let mut wanted = count / 4;
        for first in order {
            if wanted == 0 {
                break;
            }
            if !taken[first] && !taken[first + 1] {
                (taken[first], taken[first + 1], join[first]) = (true, true, true);
                self.grain_mm = self.grain_mm.max(joined[first].cost_mm());
                wanted -= 1;
            }
        }

        let mut kept = Vec::with_capacity(MAX_STRETCHES);
        let mut index = 0;
        while index < count {
            if join[index] {
                kept.push(joined[index]);
                index += 2;
            } else {
                kept.push(self.stretches[index]);
                index += 1;
            }
        }
        self.stretches = kept;
    }
}

/// Distance of `point` from the segment between `a` and `b`, mm.
fn distance(point: &Point, a: &Point, b: &Point) -> f64 {
    let along: Point = std::array::from_fn(|i| b[i] - a[i]);
    let to: Point = std::array::from_fn(|i| point[i] - a[i]);
    let dot = |u: &Point, v: &Point| u.iter().zip(v).map(|(u, v)| u * v).sum::<f64>();
    let squared = dot(&along, &along);
    let t = if squared > 0.0 {
        (dot(&to, &along) / squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let off: Point = std::array::from_fn(|i| to[i] - t * along[i]);
    dot(&off, &off).sqrt()
}
