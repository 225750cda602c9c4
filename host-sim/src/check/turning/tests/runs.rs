//! What lies in a run, by hand: places in l, turns in y. The unit of length makes no difference, nor how much of the
//! path came before.

use super::*;

/// The turns of a path at `l` mm in T from `start` mm on; those within `together` l are put together as they are passed.
fn turns_of(path: &[(f64, f64)], (l, start): (f64, f64), together: f64) -> Clusters {
    let mut turns = Clusters::new(T);
    turns.at_speed(together / CLUSTER * 2.0 * l / T);
    for (s, turn) in path {
        turns.pass(start + l * s, &[0.0; 3], &[0.0, *turn, 0.0]);
    }
    turns
}

fn samples_of((l, start): (f64, f64)) -> Kept {
    let mut samples = Kept::new(8.0 * T, 128);
    for k in 0..=32 {
        let t = f64::from(k) * T / 16.0;
        samples.push([t, 0.0, start + l * t / T]);
    }
    samples
}

/// A turn of 1 changes the speed by a·T.
fn measured((l, _): (f64, f64)) -> Measured {
    Measured {
        axis: 1,
        limit: l / T / T,
        span: T,
    }
}

const UNITS: [(f64, f64); 3] = [(1.0, 0.0), (0.0625, 0.0), (16.0, 0.0)];

fn class_in(path: &[(f64, f64)], unit: (f64, f64), together: f64) -> Class {
    Stretch {
        turns: &turns_of(path, unit, together),
        samples: &samples_of(unit),
        measured: &measured(unit),
    }
    .class(0)
}

fn put_together(path: &[(f64, f64)], together: f64) -> Class {
    let classes = UNITS.map(|unit| class_in(path, unit, together));
    assert!(
        classes.iter().all(|class| *class == classes[0]),
        "{path:?} {classes:?}"
    );
    classes[0]
}

fn class(path: &[(f64, f64)]) -> Class {
    put_together(path, CLUSTER / 2.0)
}

fn row(gap: f64, turns: &[f64]) -> Vec<(f64, f64)> {
    let count = (2.0 / gap) as u32 - 1;
    let turn = |k: u32| turns[k as usize % turns.len()];
    (1..=count).map(|k| (f64::from(k) * gap, turn(k))).collect()
}

// Up to a quarter of l, and up to half of it, from either end.
#[test]
fn gaps_at_their_edges() {
    assert_eq!(class(&row(0.25, &[0.1])), Class::Bend);
    assert_eq!(class(&row(0.5, &[0.1])), Class::Close);
}

#[test]
fn turns_to_one_side_and_the_other() {
    assert_eq!(class(&row(0.2, &[-0.1])), Class::Bend);
    assert_eq!(class(&row(0.3, &[0.3, -0.2])), Class::Corner);
    assert_eq!(class(&row(0.3, &[-0.3, 0.2])), Class::Corner);
}

#[test]
fn sharp_turns() {
    for (turn, expected) in [
        (0.5, Class::Bend),
        (0.51, Class::Close),
        (0.69, Class::Close),
        (0.71, Class::Corner),
    ] {
        assert_eq!(class(&row(0.2, &[turn])), expected, "{turn}");
    }
}

// A turn goes on in those at least half as large.
#[test]
fn a_turn_among_smaller_ones() {
    for (turn, expected) in [(0.1, Class::Bend), (0.2, Class::Bend), (0.4, Class::Corner)] {
        let mut path = row(0.2, &[0.1]);
        path[4].1 = turn;
        assert_eq!(class(&path), expected, "{turn}");
    }
}

// To and fro by 0.04 each turns to no side, so no turn beside it is to the same.
#[test]
fn to_and_fro_in_a_bend() {
    let bend = |k: u32| (0.08 + 0.24 * f64::from(k), 0.3);
    let mut path: Vec<_> = (0..8).map(bend).collect();
    assert_eq!(class(&path), Class::Bend);
    path.splice(4..4, [(0.92, 0.04), (0.93, -0.04)]);
    assert_eq!(class(&path), Class::Corner);
}

// 0.06 and half of it near by are 0.2 l long, which is no run. What is far from there makes it none, though the mean
// of it is near.
#[test]
fn a_run_ends_at_a_long_gap() {
    assert_eq!(
        class(&[(0.5, 0.06), (0.7, 0.03), (1.3, 0.01)]),
        Class::Corner
    );
    assert_eq!(
        class(&[(0.5, 0.01), (1.1, 0.03), (1.3, 0.06)]),
        Class::Corner
    );
}

// On a faster path turns were put together that are now as long as a run, with no other about.
#[test]
fn a_cluster_as_long_as_a_run() {
    for (long, expected) in [
        (0.5, Class::Corner),
        (0.6, Class::Close),
        (0.7, Class::Close),
        (0.95, Class::Bend),
    ] {
        let path = [(0.0, 0.2), (long, 0.2)];
        assert_eq!(put_together(&path, 1.0), expected, "{long}");
    }
    let path = [(0.5, 0.2), (1.2, 0.2)];
    assert_eq!(class_in(&path, (16.0, 64.0), 1.0), Class::Close);
}

// More than half of l from the one before: not just half, which may be a run.
#[test]
fn turns_that_are_corners_by_themselves() {
    for unit in UNITS {
        let samples = samples_of(unit);
        for (gap, expected) in [(0.45, false), (0.5, false), (0.51, true), (0.9, true)] {
            let path: Vec<_> = (0..3).map(|k| (f64::from(k) * gap, 0.1)).collect();
            let stretch = Stretch {
                turns: &turns_of(&path, unit, CLUSTER / 2.0),
                samples: &samples,
                measured: &measured(unit),
            };
            let found = stretch.has_no_close(0, unit.0 / T);
            assert_eq!(found, expected, "{unit:?} {gap}");
        }
    }
}
