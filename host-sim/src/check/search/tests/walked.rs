//! The search against a walk of the path in small steps.

use super::super::super::random_motion::Random;
use super::super::super::test_walk::points;
use super::*;

/// Steps of the walk on each piece.
const PARTS: usize = 400;

fn length(way: &Point) -> f64 {
    way[0].hypot(way[1]).hypot(way[2])
}

/// Where the axis first is within 1e-5 mm of `goal`, mm counted in direction `d`, from `along` on the first of these
/// points: which piece, path length from the first point, and the axis furthest off there or at a corner on the way,
/// if it has no room. None past a corner where an axis is more than 4 steps off. On a first piece that leads away from
/// the goal it counts without a fault, but only if the axis is still there at its end, or if no other place is free of
/// faults.
fn walk(
    points: &[Point],
    along: f64,
    (j, d, goal): (usize, f64, f64),
    stand: &Point,
) -> Option<Place> {
    let (mut s0, mut first, mut fault) = (0.0, None, None);
    for (ahead, ends) in points.windows(2).enumerate() {
        let way: Point = std::array::from_fn(|i| (ends[1][i] - ends[0][i]) / PER_MM[i]);
        let length = length(&way);
        let at = |i: usize, on: f64| ends[0][i] + (ends[1][i] - ends[0][i]) * on / length;
        let is_there = |on: f64| d * at(j, on) / PER_MM[j] >= goal - 1e-5;
        let from = if ahead == 0 { along } else { 0.0 };
        let part = (length - from) / PARTS as f64;
        let place = (0..=PARTS)
            .map(|k| from + part * k as f64)
            .find(|on| is_there(*on));
        let place = place.map(|on| {
            let (mut low, mut high) = (f64::max(from, on - part), on);
            for _ in 0..60 {
                let middle = (low + high) / 2.0;
                if is_there(middle) {
                    high = middle;
                } else {
                    low = middle;
                }
            }
            high
        });
        if ahead == 0 && d * way[j] < 0.0 {
            first = place.map(|on| (0, on, None));
        }
        let place = place.filter(|_| first.is_none() || ahead > 0 || is_there(length));
        let off = |i: usize| (at(i, place.unwrap_or(length)) - stand[i]).abs();
        for i in (0..AXES).filter(|i| off(*i) > 0.5625 + 1e-5 * PER_MM[*i]) {
            if fault.is_none_or(|(_, worst)| off(i) > worst) {
                fault = Some((i, off(i)));
            }
        }
        if first.is_some() && fault.is_some() {
            return first;
        }
        if let Some(on) = place {
            return Some((ahead, s0 + on, fault));
        }
        if (0..AXES).any(|i| off(i) > 4.0) {
            break;
        }
        s0 += length;
    }
    first
}

// No time has passed, so nothing is rounded; all is known but whether the path has come to the crossing already.
#[test]
fn the_earliest_place_is_found() {
    let mut seen = [0; 4];
    for seed in 0..3000 {
        let random = &mut Random::new(seed);
        let points = points(random, 6);
        let j = (3.0 * random.part()) as usize;
        let [d, before] = [random.side().signum(), random.side().signum()];
        let (from, to) = (points[1], points[2]);
        let part = 0.01 + 0.98 * random.part();
        let way = std::array::from_fn(|i| (to[i] - from[i]) / PER_MM[i]);
        let along = part * length(&way);
        let mut stand: Point =
            std::array::from_fn(|i| (from[i] + part * (to[i] - from[i])).round());
        stand[j] += (3.0 * random.side()).round();
        let mut start = there(&points, 1, along, stand);
        start.0.direction[j] = before;
        let s = start.0.s;
        let goal = stand[j] + d * if before == d { 0.5 } else { 0.5625 };
        let goal = d * goal / PER_MM[j];
        let plain = walk(&points[1..], along, (j, d, goal), &stand);
        let found = find(start, (REST, j, d));
        let why = format!("seed {seed}: {found:?}, {plain:?}");
        assert_eq!(found.is_some(), plain.is_some(), "{why}");
        let Some(((ahead, place, fault), (on, way, off))) = found.zip(plain) else {
            seen[0] += 1;
            continue;
        };
        assert_eq!(ahead, on, "{why}");
        assert!((s - along + way - place).abs() < 1e-9, "{why}");
        assert_eq!(fault.map(|fault| fault.0), off.map(|off| off.0), "{why}");
        if let Some((fault, off)) = fault.zip(off) {
            assert!((fault.1 - off.1).abs() < 1e-6, "{why}");
        }
        seen[1 + ahead.min(1)] += 1;
        seen[3] += usize::from(fault.is_some());
    }
    assert!(seen.iter().all(|seen| *seen > 200), "{seen:?}");
}
