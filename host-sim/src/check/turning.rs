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
//! long as the gaps are short: comparable is what turns, to and fro taken together, so much that it
//! changes the velocity at least half as much. Two things are above a·T:
//!
//! - *Gaps.* Turns of equal size g·l apart, at the speed that a bend of that radius allows, change the
//!   velocity by g·a·T each. With n = 1/g rounded down, a stretch of T holds n + 1 of them if it lies
//!   so, and means over T/8 see n + min(1, 8·(1 − n·g)): times g, that is at most 1.09 up to g = 0.25,
//!   at most 1.4 up to g = 0.7, and 1.75 at g = 0.875.
//! - *Ends.* A run of length b that changes the velocity by a·T, as it may where b is below l, leaves
//!   T − b/v for ramps before and after it in the same stretch: up to 2 − b/l times a·T in all.
//!
//! - *Sharp turns.* A ramp before or after a turn φ has 2·sin²(φ/2) of its change of velocity in common
//!   with it, whatever the run: little below 0.5 rad (a circle of radius δ/8 turns so in 0.06 l).
//!
//! | class | turn of a cluster | gaps | length | limit |
//! |---|---|---|---|---|
//! | bend | up to 0.5 | up to 0.25 l | 0.9 l or more | 1.1 |
//! | close corners | up to 1.0 | up to 0.7 l | 0.6 l or more | 1.4 |
//! | corner | – | – | – | 2.1 |
//!
//! A stretch has the class of its loosest cluster, of those that change the speed of the axis by at
//! least `MATTERS` of a·T; with none it is a bend, and so is a straight line. What is not reached when
//! the stretch ends does not count: the first turn of a bend, at the end of a stretch, is a corner
//! there, and shows the little that it changes.
//!
//! **Stops.** At a stop the speed is 0, whatever the directions before and after it: the acceleration is
//! within the limit at every moment, and so is its mean. A stop is no turn.
//!
//! The clusters are put together in two steps: as the path passes them, within half of `CLUSTER` of the
//! least l of the axes, so that what is kept is bounded in time however short the chords; and anew with
//! the l of an axis and a place.

use super::corner::length;
use super::windows::Kept;
use crate::motion::{AXES, Point};

/// What turns within this part of l is one turn.
const CLUSTER: f64 = 0.1;

/// What makes a run: the sharpest turn of a cluster, rad; the longest gap and the least length, l.
#[derive(Clone, Copy)]
struct Run {
    turn: f64,
    gap: f64,
    long: f64,
}

const BEND: Run = Run {
    turn: 0.5,
    gap: 0.25,
    long: 0.9,
};

const CLOSE: Run = Run {
    turn: 1.0,
    gap: 0.7,
    long: 0.6,
};

/// The least change of speed of a turn that matters, a·T.
const MATTERS: f64 = 0.05;

/// Clusters kept: at half of `CLUSTER` of l each, they last for 51 T or more.
const KEPT: usize = 1024;

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

/// Turns close together: path length of the first and the last, mm, the change of direction, and all
/// turns to and fro, rad.
#[derive(Clone, Copy, Debug, Default)]
struct Cluster {
    first: f64,
    last: f64,
    turn: Point,
    total: f64,
}

impl Cluster {
    fn join(&mut self, other: &Self) {
        self.first = self.first.min(other.first);
        self.last = self.last.max(other.last);
        self.turn = std::array::from_fn(|i| self.turn[i] + other.turn[i]);
        self.total += other.total;
    }
}

/// The turns that the pulses have passed.
#[derive(Clone, Debug)]
pub(super) struct Turning {
    kept: Box<[Cluster; KEPT]>,
    next: usize,
    /// T of the axis with the highest acceleration, ticks.
    span: f64,
    /// Turns within this way are put together, mm.
    together: f64,
}

impl Turning {
    /// `span` is the shortest T of the axes, ticks.
    pub fn new(span: f64) -> Self {
        Self {
            kept: Box::new([Cluster::default(); KEPT]),
            next: 0,
            span,
            together: 0.0,
        }
    }

    /// The path now has this speed, mm/tick.
    #[inline]
    pub fn at_speed(&mut self, speed: f64) {
        self.together = CLUSTER / 2.0 * speed * self.span;
    }

    /// The path turns at length `s` from direction `before` to `after`.
    #[inline]
    pub fn pass(&mut self, s: f64, before: &Point, after: &Point) {
        let turn = std::array::from_fn(|i| after[i] - before[i]);
        let cluster = Cluster {
            first: s,
            last: s,
            turn,
            total: length(&turn),
        };
        let last = &mut self.kept[self.next.wrapping_sub(1) % KEPT];
        if self.next > 0 && s - last.first <= self.together {
            return last.join(&cluster);
        }
        self.kept[self.next % KEPT] = cluster;
        self.next += 1;
    }

    /// The class of the stretch from sample `from` to the last one.
    pub fn class(&self, samples: &Kept, from: usize, measured: &Measured) -> Class {
        // One sample earlier: a turn right at the start may have come after it.
        let [.., start] = samples.get(from.saturating_sub(1).max(samples.oldest()));
        let mut at = self.next;
        // From the last one back: the stretch is short beside what is kept.
        while at > self.oldest() && self.kept[(at - 1) % KEPT].first >= start {
            at -= 1;
        }
        let mut class = Class::Bend;
        let span = measured.span;
        while at < self.next && class < Class::Corner {
            let speed = speed_at(samples, self.kept[at % KEPT].first, span);
            let (cluster, next) = self.after(at, CLUSTER * speed * span);
            let change = speed * cluster.turn[measured.axis].abs();
            if change >= MATTERS * measured.limit * span {
                class = class.max(self.class_of(&cluster, (at, next), speed, samples, span));
            }
            at = next;
        }
        class
    }

    fn oldest(&self) -> usize {
        self.next.saturating_sub(KEPT)
    }

    /// The cluster at `at`, of a width, and what follows it.
    fn after(&self, mut at: usize, width: f64) -> (Cluster, usize) {
        let mut cluster = self.kept[at % KEPT];
        at += 1;
        while at < self.next && self.kept[at % KEPT].last - cluster.first <= width {
            cluster.join(&self.kept[at % KEPT]);
            at += 1;
        }
        (cluster, at)
    }

    /// The cluster that ends before `at`, of a width, and where it starts.
    fn before(&self, mut at: usize, width: f64) -> (Cluster, usize) {
        at -= 1;
        let mut cluster = self.kept[at % KEPT];
        while at > self.oldest() && cluster.last - self.kept[(at - 1) % KEPT].first <= width {
            at -= 1;
            cluster.join(&self.kept[at % KEPT]);
        }
        (cluster, at)
    }

    /// The class of one cluster, passed at `speed`, that takes the places from `at` to `next`.
    fn class_of(
        &self,
        cluster: &Cluster,
        (at, next): (usize, usize),
        speed: f64,
        samples: &Kept,
        span: f64,
    ) -> Class {
        let way = speed * span;
        let width = CLUSTER * way;
        let turn = length(&cluster.turn);
        let least = speed * turn / 2.0;
        let comparable = |other: &Cluster| {
            other.total > 0.0 && speed_at(samples, other.first, span) * other.total >= least
        };
        let run = |Run {
                       turn: most,
                       gap,
                       long,
                   }| {
            if turn > most {
                return false;
            }
            let (mut from, mut to) = (cluster.first, cluster.last);
            let mut ahead = next;
            while ahead < self.next && to - from < long * way {
                let (other, next) = self.after(ahead, width);
                if other.first - to > gap * way {
                    break;
                }
                if comparable(&other) {
                    to = other.last;
                }
                ahead = next;
            }
            let mut back = at;
            while back > self.oldest() && to - from < long * way {
                let (other, start) = self.before(back, width);
                if from - other.last > gap * way {
                    break;
                }
                if comparable(&other) {
                    from = other.first;
                }
                back = start;
            }
            to - from >= long * way
        };
        if run(BEND) {
            Class::Bend
        } else if run(CLOSE) {
            Class::Close
        } else {
            Class::Corner
        }
    }
}

/// Speed of the path about length `s`, over T/8 or the samples around it, mm/tick.
fn speed_at(samples: &Kept, s: f64, span: f64) -> f64 {
    let (first, last) = (samples.oldest(), samples.next() - 1);
    let (mut low, mut high) = (first, last);
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
        low = low.saturating_sub(1).max(first);
        high = (high + 1).min(last);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const T: f64 = 1000.0;

    /// A path at 1 mm/T that turns at these places, by so much in y.
    fn class(turns: &[(f64, f64)]) -> Class {
        let mut turning = Turning::new(T);
        turning.at_speed(1.0 / T);
        for (s, turn) in turns {
            turning.pass(*s, &[0.0; AXES], &[0.0, *turn, 0.0]);
        }
        let mut samples = Kept::new(8.0 * T, 128);
        for k in 0..=32 {
            let t = f64::from(k) * T / 16.0;
            samples.push([t, 0.0, t / T]);
        }
        // A turn of 1 changes the speed by a·T.
        let measured = Measured {
            axis: 1,
            limit: 1.0 / T / T,
            span: T,
        };
        turning.class(&samples, 0, &measured)
    }

    #[test]
    fn one_turn_is_a_corner() {
        assert_eq!(class(&[(1.0, 1.0)]), Class::Corner);
        assert_eq!(class(&[(1.0, 0.04)]), Class::Bend);
        assert_eq!(class(&[]), Class::Bend);
    }

    #[test]
    fn gaps() {
        let row = |gap: f64| -> Vec<(f64, f64)> {
            (1..=(2.0 / gap) as u32)
                .map(|k| (f64::from(k) * gap, gap))
                .collect()
        };
        for (gap, expected) in [
            (0.01, Class::Bend),
            (0.049, Class::Bend),
            (0.051, Class::Bend),
            (0.099, Class::Bend),
            (0.11, Class::Bend),
            (0.24, Class::Bend),
            (0.26, Class::Close),
            (0.69, Class::Close),
            (0.71, Class::Corner),
        ] {
            assert_eq!(class(&row(gap)), expected, "{gap}");
        }
    }

    // A corner rounded by chords of 1/200 of l, and one in the to and fro of rounded coordinates.
    #[test]
    fn a_corner_among_small_turns() {
        let rounded: Vec<_> = (0..10).map(|k| (1.0 + f64::from(k) / 200.0, 0.1)).collect();
        assert_eq!(class(&rounded), Class::Corner);
        let mut noise: Vec<_> = (0..100)
            .map(|k| (f64::from(k) / 50.0, if k % 2 == 0 { 0.04 } else { -0.04 }))
            .collect();
        assert_eq!(class(&noise), Class::Bend);
        noise[50].1 += 1.0;
        assert_eq!(class(&noise), Class::Corner);
    }
}
