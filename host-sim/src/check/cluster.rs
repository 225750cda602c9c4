//! The turns that the path has passed, those close together as one.
//!
//! They are put together in two steps: as the path passes them, within half of `CLUSTER` of the least
//! way that it moves in the T of an axis, so that what is kept is bounded in time however short the
//! chords; and anew, with the width that a question asks for.

use super::corner::length;
use crate::motion::{AXES, Point};

/// What turns within this part of the way moved in T is one turn.
pub(super) const CLUSTER: f64 = 0.1;

/// A turn sharper than this (rad) is not put together with one to the other side: they would cancel,
/// but are two corners however close; the path is slow there, whatever its speed a little before.
pub(super) const SHARP: f64 = 0.5;

/// Clusters kept: at half of `CLUSTER` each, they last for 51 T or more.
const KEPT: usize = 1024;

/// Turns close together.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Cluster {
    /// Path length of the first and the last, mm.
    pub first: f64,
    pub last: f64,
    /// Change of direction, rad.
    pub turn: Point,
    /// All turns to and fro, of each axis, rad.
    pub swing: Point,
    /// The machine rests between the turn before and this one.
    pub rested: bool,
}

impl Cluster {
    /// Whether it may be taken as one turn with the next, if both lie within `width`. Not across a
    /// stop, where the speed before tells nothing of the speed after.
    fn joins(&self, next: &Self, width: f64) -> bool {
        let sharp = |cluster: &Self| length(&cluster.turn) > SHARP;
        let blunt = || self.same_side(&next.turn) || !sharp(self) && !sharp(next);
        !next.rested && next.last - self.first <= width && blunt()
    }

    /// Whether it turns to the side that `turn` does.
    pub fn same_side(&self, turn: &Point) -> bool {
        (0..AXES).map(|i| self.turn[i] * turn[i]).sum::<f64>() > 0.0
    }

    fn join(&mut self, next: &Self) {
        self.last = next.last;
        self.turn = std::array::from_fn(|i| self.turn[i] + next.turn[i]);
        self.swing = std::array::from_fn(|i| self.swing[i] + next.swing[i]);
    }
}

/// The clusters, with ever-growing indices; the oldest are overwritten.
#[derive(Clone, Debug)]
pub(super) struct Clusters {
    kept: Box<[Cluster; KEPT]>,
    next: usize,
    /// The machine rested since the last turn.
    rested: bool,
    /// The shortest T of the axes, ticks.
    span: f64,
    /// Turns within this way are put together, mm.
    together: f64,
}

impl Clusters {
    /// `span` is the shortest T of the axes, ticks.
    pub fn new(span: f64) -> Self {
        Self {
            kept: Box::new([Cluster::default(); KEPT]),
            next: 0,
            rested: false,
            span,
            together: 0.0,
        }
    }

    /// The path now has this speed, mm/tick.
    #[inline]
    pub fn at_speed(&mut self, speed: f64) {
        self.together = CLUSTER / 2.0 * speed * self.span;
    }

    /// The machine rests here.
    #[inline]
    pub fn rest(&mut self) {
        self.rested = true;
    }

    /// The path turns at length `s` from direction `before` to `after`.
    #[inline]
    pub fn pass(&mut self, s: f64, before: &Point, after: &Point) {
        let turn: Point = std::array::from_fn(|i| after[i] - before[i]);
        if turn == [0.0; AXES] {
            return;
        }
        let cluster = Cluster {
            first: s,
            last: s,
            turn,
            swing: turn.map(f64::abs),
            rested: std::mem::take(&mut self.rested),
        };
        let last = &mut self.kept[self.next.wrapping_sub(1) % KEPT];
        if self.next > 0 && last.joins(&cluster, self.together) {
            return last.join(&cluster);
        }
        self.kept[self.next % KEPT] = cluster;
        self.next += 1;
    }

    /// Index that the next one gets.
    pub fn next(&self) -> usize {
        self.next
    }

    /// Index of the oldest one still there.
    fn oldest(&self) -> usize {
        self.next.saturating_sub(KEPT)
    }

    /// The first one from path length `s` on.
    pub fn from(&self, s: f64) -> usize {
        let mut at = self.next;
        // From the last one back: the stretch is short beside what is kept.
        while at > self.oldest() && self.get(at - 1).first >= s {
            at -= 1;
        }
        at
    }

    /// Whether each turn from path length `s` on is more than `gap`, mm, from the one before it, or parted
    /// from it by a rest, and none is several put together.
    pub fn single(&self, s: f64, gap: f64) -> bool {
        let apart = |at: usize| {
            let cluster = self.get(at);
            let free = at <= self.oldest()
                || cluster.rested
                || cluster.first - self.get(at - 1).last > gap;
            free && cluster.first == cluster.last
        };
        (self.from(s)..self.next).all(apart)
    }

    pub fn get(&self, at: usize) -> &Cluster {
        &self.kept[at % KEPT]
    }

    /// Whether no other turn lies within `gap`, mm, of the `cluster` that takes the places from `at` to
    /// `next`, on the same side of a stop.
    pub fn alone(&self, cluster: &Cluster, (at, next): (usize, usize), gap: f64) -> bool {
        let ahead = next < self.next && {
            let other = self.get(next);
            !other.rested && other.first - cluster.last <= gap
        };
        let back =
            !cluster.rested && at > self.oldest() && cluster.first - self.get(at - 1).last <= gap;
        !(ahead || back)
    }

    /// What turns from `at` on within `width`, mm, and what follows it.
    #[inline]
    pub fn after(&self, mut at: usize, width: f64) -> Option<(Cluster, usize)> {
        if at >= self.next {
            return None;
        }
        let mut cluster = *self.get(at);
        at += 1;
        while at < self.next && cluster.joins(self.get(at), width) {
            cluster.join(self.get(at));
            at += 1;
        }
        Some((cluster, at))
    }

    /// What turns before `at` within `width`, mm, and where it starts.
    pub fn before(&self, mut at: usize, width: f64) -> Option<(Cluster, usize)> {
        if at <= self.oldest() {
            return None;
        }
        at -= 1;
        let mut cluster = *self.get(at);
        while at > self.oldest() && self.get(at - 1).joins(&cluster, width) {
            at -= 1;
            let last = cluster;
            cluster = *self.get(at);
            cluster.join(&last);
        }
        Some((cluster, at))
    }
}

#[cfg(test)]
mod tests;
