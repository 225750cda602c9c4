//! Pulses of a path at a steady speed, for tests of the matcher: where each lies is known from the path alone.

use super::Piece;
use super::geometry::Path;
use super::random_motion::Random;
use super::test_machine;
use crate::machine::Machine;
use crate::motion::{AXES, MoveKind, Point};

pub(super) const PER_MM: Point = [80.0, 100.0, 40.0];

/// Speed of the path, mm/tick; a step then takes some 100 ticks or more.
pub(super) const SPEED: f64 = 1e-4;

/// When it starts: so late that it may have come to this speed, ticks.
const START: f64 = 1e5;

/// A step where the path is at length `s`, on a piece, at `x` mm of its axis.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub t: f64,
    pub s: f64,
    pub piece: usize,
    pub axis: usize,
    pub d: f64,
    pub x: f64,
}

pub(super) fn machine() -> Machine {
    let mut machine = test_machine::machine();
    for (axis, per_mm) in machine.axes.iter_mut().zip(PER_MM) {
        axis.steps_per_mm = per_mm;
        // Little, so that the speed is known from that of the last pulses, and not only from the feed.
        axis.acceleration_limit_mm_s2 *= 1e-4;
    }
    machine
}

/// A path through points given in steps, told as a whole, at a feed of twice their speed.
pub(super) fn path(points: &[Point]) -> Path {
    let in_mm = |p: &Point| std::array::from_fn(|i| p[i] / PER_MM[i]);
    let mut path = Path::new(&machine(), in_mm(&points[0]));
    for (k, ends) in points.windows(2).enumerate() {
        let piece = Piece {
            line: k as u32 + 1,
            from: in_mm(&ends[0]),
            to: in_mm(&ends[1]),
            feed: Some(2000.0 * SPEED),
            stop: false,
            rest_s: 0.0,
            kind: MoveKind::Line,
        };
        path.push(&piece).expect("a piece that fits");
    }
    path
}

/// Its steps from the step positions `stand` on, in order.
pub(super) fn steps(points: &[Point], stand: Point) -> Vec<Step> {
    let mut all = Vec::new();
    for axis in 0..AXES {
        let (mut n, mut last, mut s0) = (stand[axis], 0.0, 0.0);
        for (piece, ends) in points.windows(2).enumerate() {
            let way: Point = std::array::from_fn(|i| (ends[1][i] - ends[0][i]) / PER_MM[i]);
            let length = way[0].hypot(way[1]).hypot(way[2]);
            let (from, to) = (ends[0][axis], ends[1][axis]);
            let d = f64::signum(to - from);
            let moves = to != from;
            let next = |n: f64, last: f64| n + d * if last == -d { 0.5625 } else { 0.5 };
            while moves && d * next(n, last) <= d * to {
                let x = next(n, last);
                let s = s0 + length * ((x - from) / (to - from)).max(0.0);
                let x = x / PER_MM[axis];
                let t = START + (s / SPEED).round();
                all.push(Step {
                    t,
                    s,
                    piece,
                    axis,
                    d,
                    x,
                });
                (n, last) = (n + d, d);
            }
            s0 += length;
        }
    }
    all.sort_by(|a, b| a.s.total_cmp(&b.s));
    all
}

/// Clear of all places where a step may be: by a fiftieth of a step.
pub(super) fn is_clear(x: f64) -> bool {
    let part = (x - x.floor() - 0.5).abs();
    part > 0.02 && (part - 0.0625).abs() > 0.02
}

fn clear(random: &mut Random, from: f64, reach: f64) -> f64 {
    loop {
        let x = from + reach * random.side();
        if is_clear(x) {
            return x;
        }
    }
}

/// Corners that are clear of steps, with moves of all axes, of some, short and long.
pub(super) fn points(random: &mut Random, count: usize) -> Vec<Point> {
    let mut all = vec![[3.2, -7.9, 0.1]];
    while all.len() < count {
        let reach = [0.6, 3.0, 12.0][(3.0 * random.part()) as usize];
        let mut next = all[all.len() - 1];
        for x in &mut next {
            if random.part() < 0.7 {
                *x = clear(random, *x, reach);
            }
        }
        let last = all[all.len() - 1];
        let way: Point = std::array::from_fn(|i| (next[i] - last[i]) / PER_MM[i]);
        // What passes within two ticks hides what is before it.
        if way[0].hypot(way[1]).hypot(way[2]) > 2.5 * SPEED {
            all.push(next);
        }
    }
    all
}
