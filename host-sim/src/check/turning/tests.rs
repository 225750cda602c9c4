//! Classes of paths that are told by hand.

use super::*;

const T: f64 = 1000.0;

/// A path at 1 mm/T that turns at these places, by so much in y.
fn class(path: &[(f64, f64)]) -> Class {
    class_of_y(path.iter().map(|(s, turn)| (*s, 0.0, *turn)))
}

/// The same for turns in x and y: what they are for y.
fn class_of_y(path: impl Iterator<Item = (f64, f64, f64)>) -> Class {
    let mut turns = Clusters::new(T);
    turns.at_speed(1.0 / T);
    for (s, x, y) in path {
        turns.pass(s, &[0.0; 3], &[x, y, 0.0]);
    }
    class_of(&turns)
}

fn class_of(turns: &Clusters) -> Class {
    let mut samples = Kept::new(8.0 * T, 128);
    for k in 0..=32 {
        let t = f64::from(k) * T / 16.0;
        samples.push([t, 0.0, t / T]);
    }
    // A turn of 1 changes the speed by a·T.
    let (axis, limit, span) = (1, 1.0 / T / T, T);
    Stretch {
        turns,
        samples: &samples,
        measured: &Measured { axis, limit, span },
    }
    .class(0)
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
        (0.49, Class::Close),
        (0.51, Class::Corner),
    ] {
        assert_eq!(class(&row(gap)), expected, "{gap}");
    }
}

// Too little each, but not together; and to and fro, where a stretch may end between the two.
#[test]
fn small_turns_add_up() {
    assert_eq!(class(&[(0.7, 0.04), (1.5, 0.04)]), Class::Corner);
    assert_eq!(class(&[(1.0, 0.04), (1.05, -0.04)]), Class::Corner);
    assert_eq!(class(&[(0.7, 0.02), (1.5, 0.02)]), Class::Bend);
}

// A turn of x before one of y leaves that one alone.
#[test]
fn a_run_is_of_one_axis() {
    let close = [(0.7, 0.4, 0.4), (1.1, 0.0, 0.4), (1.5, 0.4, 0.4)];
    assert_eq!(class_of_y(close.into_iter()), Class::Close);
    let apart = [(0.7, 0.4, 0.0), (1.1, 0.0, 0.4), (1.5, 0.4, 0.0)];
    assert_eq!(class_of_y(apart.into_iter()), Class::Corner);
}

// A bend before a stop makes no bend of a turn after it, nor the other way round.
#[test]
fn a_rest_ends_a_run() {
    for (rest, expected) in [(0, Class::Bend), (1, Class::Corner), (14, Class::Corner)] {
        let mut turns = Clusters::new(T);
        for k in 0..15 {
            if k == rest {
                turns.rest();
            }
            let turn = [0.0, 0.1, 0.0];
            turns.pass(0.3 + 0.1 * f64::from(k), &[0.0; 3], &turn);
        }
        assert_eq!(class_of(&turns), expected, "{rest}");
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

// Turns put together on a fast path are a row by themselves on a slow one, with no other turn about.
#[test]
fn a_wide_cluster_is_no_lone_corner() {
    let mut turns = Clusters::new(T);
    turns.at_speed(30.0 / T);
    for k in 0..13 {
        turns.pass(0.4 + 0.1 * f64::from(k), &[0.0; 3], &[0.0, 0.03, 0.0]);
    }
    assert_eq!(turns.next(), 1);
    assert_eq!(class_of(&turns), Class::Bend);
}
