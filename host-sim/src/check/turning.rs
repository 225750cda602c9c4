//! What the path does where an axis was measured: whether it bends, or turns at corners, and how far
//! these lie apart. From the program's geometry, and from the speeds that the pulses show.
//!
//! **Why it matters.** A machine may change its velocity by a·T in each stretch of T = √(8δ/a). A bend
//! of short chords does so evenly: in no stretch of T is it more. A lone corner does it all at once,
//! and a ramp down before it or up after it lies in the same stretch: up to 2·a·T. In between, a
//! stretch of T holds one turn more or less, by how it lies.
//!
//! **Clusters.** Let v be the speed of the path at a turn and l = v·T the way moved in T. What turns
//! within `CLUSTER` of l is one turn: no measurement tells it apart. The turns of a cluster are added as
//! vectors, so the to and fro of rounded coordinates is small beside a true corner.
//!
//! **Runs.** From a cluster, the path is followed both ways from one comparable cluster to the next, as
//! long as the gaps are short. Comparable is what changes the speed of the axis at least half as much,
//! to the same side; or what goes to and fro within a cluster, which a mean over T/8 does not see.
//! Turns to one side and the other further apart are no run: a stretch of T may hold one of them, and
//! a ramp.
//! Three things lift a run above a·T:
//!
//! - *Gaps.* Turns of equal size g·l apart, at the speed that a bend of that radius allows, change the
//!   velocity by g·a·T each. With n = 1/g rounded down, a stretch of T holds n + 1 of them if it lies
//!   so, and means over T/8 see n + min(1, 8·(1 − n·g)): times g, that is at most 1.09 up to g = 0.25,
//!   at most 1.32 up to g = 0.5 (3·g at g = 7/16), where turns half merge, and 1.75 at g = 0.875.
//! - *Ends.* A run of length b that changes the velocity by a·T, as it may where b is below l, leaves
//!   T − b/v for ramps before and after it in the same stretch: up to 2 − b/l times a·T in all.
//! - *Sharp turns.* A ramp before or after a turn φ has 2·sin²(φ/2) of its change of velocity in common
//!   with it: an eighth at 0.5 rad, a quarter at 0.7 rad.
//!
//! | class | turn of a cluster, rad | gaps | length | limit |
//! |---|---|---|---|---|
//! | bend | up to 0.5 | up to 0.25 l | 0.9 l or more | 1.1 |
//! | close corners | up to 0.7 | up to 0.5 l | 0.6 l or more | 1.4 |
//! | corner | – | – | – | 2.1 |
//!
//! A stretch has the loosest class whose clusters, with those of looser ones, change the speed of the
//! axis by at least `MATTERS` of a·T together; with none it is a bend, and so is a straight line (the
//! limit of 1.1 has room for so much, and for 2 % of rounding). What is not reached when the stretch
//! ends does not count: the first turn of a bend, at the end of a stretch, is a corner there, and
//! shows the little that it changes.
//!
//! **Stops.** At a stop the speed is 0, whatever the directions before and after it: the acceleration is
//! within the limit at every moment, and so is its mean. A stop is no turn, and ends clusters and runs: the
//! speed at turns before it tells nothing of the speed at those after it.

use super::cluster::{CLUSTER, Cluster, Clusters, SHARP};
use super::corner::length;
use super::windows::Kept;
use crate::motion::Point;

/// What makes a run: the sharpest turn of a cluster, rad; the longest gap and the least length, l.
#[derive(Clone, Copy)]
struct Run {
    turn: f64,
    gap: f64,
    long: f64,
}

const BEND: Run = Run {
    turn: SHARP,
    gap: 0.25,
    long: 0.9,
};

const CLOSE: Run = Run {
    turn: 0.7,
    gap: 0.5,
    long: 0.6,
};

/// The least change of speed at turns that matters, a·T.
const MATTERS: f64 = 0.05;

/// What the path does in a stretch, from the strictest to the loosest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Class {
    /// Straight, or turns that merge to a bend.
    Bend,
    /// Corners that half merge.
    Close,
    /// A corner by itself.
    Corner,
}

/// What is measured: the axis, its limit, mm/tick², and its T, ticks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Measured {
    pub axis: usize,
    pub limit: f64,
    pub span: f64,
}

/// What the class of a stretch is read from: the turns passed, and the samples of an axis (time,
/// position, path length).
pub(super) struct Stretch<'a> {
    pub turns: &'a Clusters,
    pub samples: &'a Kept,
    pub measured: &'a Measured,
}

impl Stretch<'_> {
    /// The class from sample `from` to the last one.
    pub fn class(&self, from: usize) -> Class {
        let Measured { axis, limit, span } = *self.measured;
        let matters = MATTERS * limit * span;
        // What the corners, and what all turns but those of bends, change the speed of the axis by.
        let (mut corners, mut turns) = (0.0, 0.0);
        let mut at = self.turns.from(self.start(from));
        let from = from.saturating_sub(1);
        while at < self.turns.next() {
            let speed = self.speed_after(from, self.turns.get(at).first);
            let Some((cluster, next)) = self.turns.after(at, CLUSTER * speed * span) else {
                break;
            };
            // To and fro, the stretch may end between the two.
            let change = speed * cluster.swing[axis];
            if change > 0.0 {
                // Mostly plain: shorter than a run, and with no other turn within the longest gap, it
                // is in none.
                let (place, way) = ((at, next), speed * span);
                let alone = cluster.last - cluster.first < CLOSE.long * way
                    && self.turns.alone(&cluster, place, CLOSE.gap * way);
                if alone || !self.runs(&cluster, place, speed, &BEND) {
                    turns += change;
                    if alone || !self.runs(&cluster, place, speed, &CLOSE) {
                        corners += change;
                    }
                }
            }
            if corners >= matters {
                return Class::Corner;
            }
            at = next;
        }
        if turns >= matters {
            Class::Close
        } else {
            Class::Bend
        }
    }

    /// Told from less, with the greatest speed of the path about there: whether each turn is a corner by
    /// itself, so that the stretch is never of the class [`Class::Close`].
    pub fn has_no_close(&self, from: usize, fastest: f64) -> bool {
        // The way is a little longer, as sums are rounded. What is not within the longest gap of another
        // is not within `CLUSTER` of it either.
        let way = fastest * self.measured.span * (1.0 + 1e-9);
        self.turns.single(self.start(from), CLOSE.gap * way)
    }

    /// Where the path is at the start: one sample earlier, as a turn right there may have come after it.
    fn start(&self, from: usize) -> f64 {
        let from = from.saturating_sub(1).max(self.samples.oldest());
        self.samples.get(from)[2]
    }

    /// Whether a cluster that is passed at `speed`, and takes the places from `at` to `next`, lies in a
    /// run of this kind.
    fn runs(&self, cluster: &Cluster, (at, next): (usize, usize), speed: f64, run: &Run) -> bool {
        let axis = self.measured.axis;
        let turn = length(&cluster.turn);
        let way = speed * self.measured.span;
        let (gap, long) = (run.gap * way, run.long * way);
        if turn > run.turn {
            return false;
        }
        let comparable = |other: &Cluster, before: &Point| {
            let swing = length(&other.swing);
            let (turns, of) = if swing >= 2.0 * length(&other.turn) {
                (swing, turn)
            } else if other.turn[axis] * before[axis] > 0.0 {
                (other.turn[axis].abs(), cluster.turn[axis].abs())
            } else {
                (0.0, turn)
            };
            turns > 0.0 && self.speed_at(other.first) * turns >= speed * of / 2.0
        };
        let (mut from, mut to) = (cluster.first, cluster.last);
        let (mut ahead, mut last) = (next, cluster.turn);
        while to - from < long {
            let Some((other, next)) = self.turns.after(ahead, CLUSTER * way) else {
                break;
            };
            if other.rested || other.first - to > gap {
                break;
            }
            if comparable(&other, &last) {
                (to, last) = (other.last, other.turn);
            }
            ahead = next;
        }
        let (mut back, mut last, mut rested) = (at, cluster.turn, cluster.rested);
        while to - from < long && !rested {
            let Some((other, start)) = self.turns.before(back, CLUSTER * way) else {
                break;
            };
            if from - other.last > gap {
                break;
            }
            if comparable(&other, &last) {
                (from, last) = (other.first, other.turn);
            }
            (back, rested) = (start, other.rested);
        }
        to - from >= long
    }

    /// Speed of the path about length `s`, over T/8 or the samples around it, mm/tick.
    fn speed_at(&self, s: f64) -> f64 {
        self.speed_after(self.samples.oldest(), s)
    }

    /// The same, where `s` is known to lie at sample `from` or later.
    fn speed_after(&self, from: usize, s: f64) -> f64 {
        let (samples, span) = (self.samples, self.measured.span);
        let (first, last) = (samples.oldest(), samples.next() - 1);
        let (mut low, mut high) = (from.min(last.saturating_sub(1)).max(first), last);
        while high - low > 1 {
            let middle = (low + high) / 2;
            if samples.get(middle)[2] <= s {
                low = middle;
            } else {
                high = middle;
            }
        }
        loop {
            let ([t0, _, s0], [t1, _, s1]) = (samples.get(low), samples.get(high));
            if t1 - t0 >= span / 8.0 && s1 > s0 || (low == first && high == last) {
                return ((s1 - s0) / (t1 - t0)).max(0.0);
            }
            // To the side whose next sample is nearer in time: a rest on the other side tells nothing.
            let (before, after) = (low.saturating_sub(1).max(first), (high + 1).min(last));
            let sooner = samples.get(after)[0] - t1 <= t0 - samples.get(before)[0];
            if after > high && (sooner || before == low) {
                high = after;
            } else {
                low = before;
            }
        }
    }
}

#[cfg(test)]
mod tests;
