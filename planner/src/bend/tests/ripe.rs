//! What is handed out of a long path, and when.

use super::law::{Part, Path, Vector};
use super::{Kind, bends, limits, open, path};
use crate::bend::Bent;
use crate::brake_map::BrakeMap;
use crate::random::Random;
use crate::reason::LowPoint;
use std::vec::Vec;

/// What belongs to a turn: how far, at most v², what it takes per v², and whether it is a corner by itself.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Belongs {
    pub reach: f64,
    pub most: f64,
    pub share: f64,
    pub lone: bool,
}

const NOTHING: Belongs = Belongs {
    reach: 0.0,
    most: f64::INFINITY,
    share: 0.0,
    lone: false,
};

/// Of the turn at the start of a part: the least share s that keeps p·(1 − s·v²) + r·v² of each axis within
/// what the turn and changing speed may ask for together, up to the highest speed.
fn belongs(law: &Path, at: usize) -> Belongs {
    let (turn, part) = (&law.turns[at], &law.parts[at]);
    if at == 0 {
        return NOTHING;
    }
    let mut share = 0.0;
    if !turn.lone {
        let both = 0.95 + 1.05 / 0.75 * (turn.spread / turn.asked - 0.25).max(0.0);
        let top = turn.most.min(part.fastest);
        let parts = [0, 1, 2].map(|i| part.way[i].abs() / law.limits[i]);
        let along = parts.iter().copied().fold(0.0, f64::max);
        let left = (0..3).fold(1.0, |left: f64, i| {
            let room = (both - turn.rate[i] * top).max(0.0);
            left.min(room * along / parts[i])
        });
        share = (1.0 - left.max(0.03)) / top;
    }
    Belongs {
        reach: turn.spread,
        most: turn.most,
        share,
        lone: turn.lone,
    }
}

/// Both ends of a part, and the v² at which turns that leave most of it free are passed.
pub(crate) fn bent(law: &Path, at: usize) -> (Belongs, Belongs, f64) {
    let mut start = belongs(law, at);
    let mut end = if at + 1 < law.parts.len() {
        belongs(law, at + 1)
    } else {
        NOTHING
    };
    let part = &law.parts[at];
    let both = start.reach + end.reach;
    let mut within = f64::INFINITY;
    if start.lone || end.lone || both < 0.25 * part.length {
        let takes = |turn: Belongs| if turn.share > 0.0 { turn.most } else { 0.0 };
        let most = takes(start).max(takes(end));
        if most < part.fastest / 8.0 {
            within = most;
        }
    } else {
        // All of it is theirs.
        start.reach *= part.length / both;
        end.reach *= part.length / both;
    }
    (start, end, within)
}

/// So many parts from the front have turns at both ends that no part after these first `count` changes: from
/// each turn to the end of the newest it is further than any stretch that limits it.
fn ripe(law: &Path, count: usize) -> usize {
    let newest = count - 1;
    let mut turn = 1;
    while turn < newest + 1 {
        let length: f64 = law.parts[turn..newest].iter().map(|part| part.length).sum();
        let past = length + law.turns[newest].spread;
        let fastest = law.parts[turn].fastest.max(law.parts[turn - 1].fastest);
        if past * past < law.reach2(law.turns[turn].most.min(fastest)) {
            break;
        }
        turn += 1;
    }
    turn.saturating_sub(1)
}

fn same(found: &Bent, exact: &(Belongs, Belongs, f64), fastest: f64) -> bool {
    let near = |found: f32, exact: f64, least: f64| {
        let found = f64::from(found);
        found == exact || (found - exact).abs() <= 0.012 * exact.abs().max(least)
    };
    let ends = [(&found.start, &exact.0), (&found.end, &exact.1)];
    ends.iter().all(|(found, exact)| {
        let top = exact.most.min(fastest);
        // What does not reach anywhere says nothing.
        exact.reach == 0.0 && found.reach == 0.0
            || near(found.reach, exact.reach, 0.0)
            && near(found.most.min(fastest as f32), top, 0.0)
            // A hundredth of the acceleration.
            && near(found.share * top as f32, exact.share * top, 1.0)
            && found.lone == exact.lone
    }) && (exact.0.reach == 0.0 || near(found.within, exact.2, 0.0))
}

fn shown(bent: &Bent) -> ([f32; 7], [bool; 2]) {
    let (start, end) = (&bent.start, &bent.end);
    let numbers = [
        start.reach,
        start.most,
        start.share,
        end.reach,
        end.most,
        end.share,
        bent.within,
    ];
    (numbers, [start.lone, end.lone])
}

/// A long curve whose turns are limited by a few neighbours.
fn long(random: &mut Random, limits: Vector, fastest: f64) -> Vec<Part> {
    let mut parts = Vec::new();
    while parts.len() < 2 {
        parts = path(random, Kind::Curve, fastest);
    }
    let least = limits.iter().copied().fold(f64::INFINITY, f64::min);
    let reach = (fastest * 0.16 / least).sqrt();
    let first = parts[0].way;
    let flat = first[2] == 0.0;
    let axis_alone = random.chance(0.3) && flat;
    let axis = if flat {
        [0.0, 0.0, 1.0]
    } else {
        super::direction(random, false)
    };
    let turned = |k: usize| {
        let angle = 0.08 * k as f64;
        if axis_alone {
            return [angle.cos(), angle.sin(), 0.0];
        }
        super::turned(first, axis, angle)
    };
    let length = reach * random.within(0.2, 1.5);
    (0..40)
        .map(|k| Part {
            way: turned(k),
            length: length * random.within(0.8, 1.2),
            fastest,
        })
        .collect()
}

#[test]
fn each_chord_is_handed_out_as_soon_as_nothing_changes_it_any_more() {
    let mut random = Random::new(11);
    for _ in 0..100 {
        let limits = limits(&mut random);
        let fastest = random.of_any_size(1e3, 1e5);
        let parts = long(&mut random, limits, fastest);
        let law = Path::new(limits, &parts, true);
        let mut bends = bends(limits);
        let mut found = Vec::new();
        for (k, part) in parts.iter().enumerate() {
            assert!(!bends.chords.is_full(), "{k}: {parts:?}");
            bends.close(&open(part, k == 0), None);
            assert!(!bends.all_settled());
            while let Some(bent) = bends.ripe(false) {
                found.push(bent);
            }
            if k + 12 < parts.len() {
                assert_eq!(found.len(), ripe(&law, k + 1), "{k}, {limits:?}, {parts:?}");
            }
        }
        bends.end();
        while let Some(bent) = bends.ripe(true) {
            found.push(bent);
        }
        assert!(bends.all_settled());
        assert_eq!(found.len(), parts.len());
        for (k, found) in found.iter().enumerate() {
            let exact = bent(&law, k);
            assert!(
                same(found, &exact, fastest),
                "{k}: {:?} {exact:?}, {limits:?}, {parts:?}",
                shown(found)
            );
        }
    }
}

/// What was there before is gone.
#[test]
fn a_cleared_path_brakes_for_nothing() {
    let mut random = Random::new(1);
    let parts = long(&mut random, [500.0; 3], 1e4);
    let mut bends = bends([500.0; 3]);
    for (k, part) in parts[..6].iter().enumerate() {
        bends.close(&open(part, k == 0), None);
    }
    bends.ripe(true).unwrap();
    assert!(bends.braking().at(0.0).v2 < 1e5);
    bends.clear();
    assert!(bends.all_settled());
    assert!(bends.ripe(true).is_none());
    assert_eq!(bends.braking().at(7.0).v2, 7.0);
    bends.close(&open(&parts[6], false), None);
    assert!(!bends.all_settled());
    assert!(bends.ripe(true).is_some());
}

/// The chords that are not handed out yet get other maps, each for the moves that it has.
#[test]
fn maps_can_be_renewed() {
    let mut random = Random::new(1);
    let mut parts = long(&mut random, [500.0; 3], 1e4);
    // Straight on: the maps alone count.
    let way = parts[0].way;
    let mut bends = bends([500.0; 3]);
    for (k, part) in parts[..5].iter_mut().enumerate() {
        part.way = way;
        let open = crate::bend::Open {
            moves: k as u16 + 1,
            ..open(part, k == 0)
        };
        bends.close(&open, None);
    }
    bends.ripe(true).unwrap();
    let mut asked = Vec::new();
    bends.renew(|moves| {
        asked.push(moves);
        BrakeMap::new(
            1e6,
            LowPoint::Corner,
            10.0 * f32::from(moves),
            f32::INFINITY,
        )
    });
    assert_eq!(asked, [2, 3, 4, 5]);
    assert_eq!(bends.braking().at(3.0).v2, 3.0 + 10.0 * 14.0);
}

/// Out of two sharp turns into slight ones, at one speed: a stretch may begin on a chord that was handed out. The longest
/// stretch that limits something is `reach`, and turns by 8δ/`reach`.
#[test]
fn chords_that_are_handed_out_still_count() {
    let mut random = Random::new(17);
    let mut early = 0;
    for _ in 0..500 {
        let least = random.of_any_size(50.0, 2000.0);
        let reach = random.of_any_size(1.0, 3.0);
        let fastest = least * reach * reach / 0.16;
        let mut angle = 0.0;
        let parts: Vec<Part> = (0..6)
            .map(|k| {
                let turn = match k {
                    0 => 0.0,
                    1 | 2 => random.within(1.5, 2.2),
                    _ => random.within(0.1, 0.4),
                };
                angle += turn * 0.16 / reach;
                Part {
                    way: [angle.cos(), angle.sin(), 0.0],
                    length: reach * random.of_any_size(0.05, 0.25),
                    fastest,
                }
            })
            .collect();
        let law = Path::new([least; 3], &parts, false);
        let mut bends = bends([least; 3]);
        let mut found = Vec::new();
        for (k, part) in parts.iter().enumerate() {
            bends.close(&open(part, k == 0), None);
            while let Some(bent) = bends.ripe(false) {
                found.push(bent);
            }
        }
        early += found.len();
        while let Some(bent) = bends.ripe(true) {
            found.push(bent);
        }
        for (k, found) in found.iter().enumerate() {
            let exact = bent(&law, k);
            assert!(
                same(found, &exact, fastest),
                "{k}: {:?} {exact:?}, {least}, {parts:?}",
                shown(found)
            );
        }
    }
    assert!(early > 500, "{early}");
}
