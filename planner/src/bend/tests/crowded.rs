//! What happens where no room is left.

use super::law::{Part, Vector, minus, norm};
use super::{Kind, bends, closed, limits, open, path};
use crate::bend::chord::Chord;
use crate::bend::{Bends, LOOK_BACK};
use crate::brake_map::BrakeMap;
use crate::random::Random;
use crate::reason::LowPoint;
use std::vec::Vec;

fn full(random: &mut Random, limits: Vector) -> Bends<3> {
    let mut parts: Vec<Part> = Vec::new();
    while parts.len() < LOOK_BACK {
        parts = path(random, Kind::Curve, 1e12);
    }
    let mut bends = bends(limits);
    for (k, part) in parts.iter().enumerate() {
        let mut open = open(part, k == 0);
        open.moves = 1 + (random.part() * 5.0) as u16;
        let (cap, reach) = (random.within(0.0, 1e4), random.within(0.0, 1e3));
        open.braking = BrakeMap::new(cap as f32, LowPoint::Corner, reach as f32, f32::INFINITY);
        bends.close(&open, None);
    }
    assert!(bends.chords.is_full());
    bends
}

/// The turn, neither the newest nor at the border of what is settled, whose two chords are the shortest for how
/// far back they lie.
fn missed_least(chords: &[Chord<3>], settled: usize) -> usize {
    let lengths: Vec<f64> = chords.iter().map(|chord| chord.length.into()).collect();
    let part = |at: usize| (lengths[at - 1] + lengths[at]) / lengths[at..].iter().sum::<f64>();
    (1..chords.len() - 1)
        .filter(|at| *at != settled)
        .min_by(|a, b| part(*a).total_cmp(&part(*b)))
        .unwrap()
}

fn near(found: f32, exact: f64) -> bool {
    f64::from(found) == exact || (f64::from(found) - exact).abs() <= 1e-4 * exact.abs()
}

#[test]
fn the_turn_that_is_missed_least_goes_and_nothing_that_it_limits_is_lost() {
    let mut random = Random::new(9);
    for _ in 0..200 {
        let limits = limits(&mut random);
        let mut bends = full(&mut random, limits);
        bends.settled = (random.part() * 6.0) as usize;
        bends.done = bends.settled + 1 + (random.part() * 4.0) as usize;
        let (settled, done) = (bends.settled, bends.done);
        let before: Vec<Chord<3>> = bends.chords.to_vec();
        let at = missed_least(&before, settled);
        bends.make_room();

        assert_eq!(bends.chords.len(), LOOK_BACK - 1);
        assert_eq!(bends.settled, settled - usize::from(at < settled));
        assert_eq!(bends.done, done - usize::from(at < done));
        for (k, found) in bends.chords.iter().enumerate() {
            let old = &before[if k < at { k } else { k + 1 }];
            let (length, moves, way);
            if k + 1 == at {
                // Two chords from end to end.
                let (a, b) = (&before[k], &before[k + 1]);
                let sum = [0, 1, 2].map(|i| {
                    f64::from(a.length) * f64::from(a.way[i])
                        + f64::from(b.length) * f64::from(b.way[i])
                });
                way = sum.map(|x| x / norm(sum));
                length = f64::from(a.length) + f64::from(b.length);
                moves = a.moves + b.moves;
                for v2 in [0.0, 100.0, 1e5] {
                    let both = a.braking.at(b.braking.at(v2).v2).v2;
                    assert!(near(found.braking.at(v2).v2, both.into()));
                }
                assert_eq!(found.fastest, a.fastest.max(b.fastest));
            } else {
                (length, moves, way) = (old.length.into(), old.moves, old.way.map(f64::from));
                assert_eq!(found.braking.at(77.0).v2, old.braking.at(77.0).v2);
                assert_eq!(found.fastest, old.fastest);
            }
            assert!(near(found.length, length));
            assert_eq!((found.moves, found.from_rest), (moves, k == 0));
            assert!((0..3).all(|i| (f64::from(found.way[i]) - way[i]).abs() < 1e-5));
            // The turns on both sides take over what the one between was limited to.
            let taken = k + 1 == at || k == at;
            let other = if taken { &before[at].turn } else { &old.turn };
            assert_eq!(found.turn.most, old.turn.most.min(other.most));
            for axis in 0..3 {
                assert_eq!(
                    found.turn.rate[axis],
                    old.turn.rate[axis].max(other.rate[axis])
                );
            }
            if !taken || k == 0 {
                assert_eq!(found.turn.both, old.turn.both.min(other.both));
                assert_eq!(found.turn.spread, old.turn.spread);
                continue;
            }
            // They turn by more, and with more room.
            let ways = [k - 1, k].map(|k| bends.chords[k].way.map(f64::from));
            let half = 0.5 * norm(minus(ways[1], ways[0]));
            let asked = super::DEVIATION * (1.0 + half.asin().cos()) / half;
            let room = 0.5 * f64::from(bends.chords[k - 1].length.min(found.length));
            assert!((f64::from(found.turn.spread) - asked.min(room)).abs() < 1e-3 * room);
            let both = if asked > room {
                0.95 + 1.4 * (room / asked - 0.25).max(0.0)
            } else {
                f64::INFINITY
            };
            let least = both.min(old.turn.both.into()).min(other.both.into());
            assert!(
                near(found.turn.both, least) || (f64::from(found.turn.both) - least).abs() < 1e-3
            );
            assert!(found.turn.share < 0.0);
        }
    }
}

/// Parts of the way without a turn are one as well.
#[test]
fn room_is_made_where_nothing_turns() {
    let part = Part {
        way: [1.0, 0.0, 0.0],
        length: 1.0,
        fastest: 1e12,
    };
    let mut bends = closed([500.0; 3], &[part; LOOK_BACK]);
    bends.close(&open(&part, false), None);
    assert_eq!(bends.chords.len(), LOOK_BACK);
    let length: f32 = bends.chords.iter().map(|chord| chord.length).sum();
    assert_eq!(length, LOOK_BACK as f32 + 1.0);
}
