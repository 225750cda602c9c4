//! Turns that are put together, and those that are not.

use super::*;

// Three turns within the width, a rest before the last one or none.
#[test]
fn a_rest_parts_turns() {
    for (rests, joined) in [(false, [3, 3]), (true, [2, 1])] {
        let mut turns = Clusters::new(1.0);
        for (k, s) in [1.0, 1.01, 1.02].into_iter().enumerate() {
            if k == 2 && rests {
                turns.rest();
            }
            turns.pass(s, &[0.0; 3], &[0.1, 0.0, 0.0]);
        }
        let size = |found: Option<(Cluster, usize)>| {
            found.map(|(cluster, _)| (cluster.turn[0] * 10.0).round() as i32)
        };
        let found = [turns.after(0, 0.1), turns.before(3, 0.1)].map(size);
        assert_eq!(found, joined.map(Some));
    }
}

// The same where they are put together as they are passed.
#[test]
fn a_rest_parts_turns_as_they_are_passed() {
    let mut turns = Clusters::new(1.0);
    turns.at_speed(2.0);
    turns.pass(1.0, &[0.0; 3], &[0.1, 0.0, 0.0]);
    turns.pass(1.01, &[0.0; 3], &[0.1, 0.0, 0.0]);
    assert_eq!(turns.next(), 1);
    turns.rest();
    turns.pass(1.02, &[0.0; 3], &[0.1, 0.0, 0.0]);
    assert_eq!(turns.next(), 2);
}

/// Turns in y at these places, each by so much, none put together as they are passed.
fn turns(path: &[(f64, f64)]) -> Clusters {
    let mut turns = Clusters::new(1.0);
    for (s, turn) in path {
        turns.pass(*s, &[0.0; AXES], &[0.0, *turn, 0.0]);
    }
    turns
}

/// The turns in y that are taken as one with the first, at most 0.1 mm after it.
fn first(path: &[(f64, f64)]) -> f64 {
    turns(path)
        .after(0, 0.1)
        .map_or(0.0, |(cluster, _)| cluster.turn[1])
}

// Sharp is above 0.5 rad. Both to one side are one turn however sharp; to and fro only where both are blunt.
#[test]
fn a_sharp_turn_is_not_put_together_with_one_back() {
    for (one, other, together) in [
        (0.7, 0.7, true),
        (0.4, -0.4, true),
        (0.5, -0.5, true),
        (0.7, -0.3, false),
        (0.3, -0.7, false),
        (0.7, -0.7, false),
    ] {
        let expected = if together { one + other } else { one };
        assert_eq!(
            first(&[(1.0, one), (1.05, other)]),
            expected,
            "{one} {other}"
        );
    }
    // Neither side for turns at right angles: one of them sharp, they are two.
    let mut turns = turns(&[(1.0, 0.7)]);
    turns.pass(1.05, &[0.0; AXES], &[0.2, 0.0, 0.0]);
    assert_eq!(turns.after(0, 0.1).map(|(_, next)| next), Some(1));
}

// At 2 mm in the T of 4 ticks, turns up to a twentieth of that apart: 0.1 mm.
#[test]
fn what_is_put_together_as_it_is_passed_is_half_of_the_tenth() {
    for (gap, clusters) in [(0.099, 1), (0.101, 2)] {
        let mut turns = Clusters::new(4.0);
        turns.at_speed(0.5);
        turns.pass(1.0, &[0.0; AXES], &[0.1, 0.0, 0.0]);
        turns.pass(1.0 + gap, &[0.0; AXES], &[0.1, 0.0, 0.0]);
        assert_eq!(turns.next(), clusters, "{gap}");
    }
}

#[test]
fn the_first_turn_from_a_place_on() {
    let turns = turns(&[(1.0, 0.1), (2.0, 0.1), (3.0, 0.1)]);
    for (s, at) in [(0.5, 0), (1.0, 0), (1.5, 1), (2.0, 1), (3.0, 2), (3.5, 3)] {
        assert_eq!(turns.from(s), at, "{s}");
    }
}

// Ten more than are kept: the first ten are gone.
#[test]
fn what_is_overwritten_is_not_looked_at() {
    let many: Vec<_> = (0..KEPT + 10).map(|k| (k as f64, 0.1)).collect();
    let turns = turns(&many);
    assert_eq!(turns.from(0.0), 10);
    assert!(turns.before(10, 0.1).is_none());
    let back = turns.before(KEPT + 10, 1e9);
    assert_eq!(
        back.map(|(cluster, at)| (cluster.first, at)),
        Some((10.0, 10))
    );
    // The oldest that is left has none before it, though another lies in its place.
    assert!(turns.single(10.0, 0.5) && turns.single(0.0, 0.5));
    let (oldest, next) = turns.after(10, 0.1).unwrap();
    assert!(turns.alone(&oldest, (10, next), 0.5) && !turns.alone(&oldest, (10, next), 1.0));
}

#[test]
fn turns_by_themselves() {
    let path = [(1.0, 0.1), (2.0, 0.1), (4.0, 0.1)];
    let turns = turns(&path);
    // More than the gap apart, from the place on that is asked for.
    assert!(turns.single(0.0, 0.9) && !turns.single(0.0, 1.0) && !turns.single(0.0, 1.1));
    assert!(turns.single(3.0, 1.9) && !turns.single(3.0, 2.0));
    let alone = |at: usize, gap: f64| {
        let (cluster, next) = turns.after(at, 0.0).unwrap();
        turns.alone(&cluster, (at, next), gap)
    };
    assert!(alone(0, 0.9) && !alone(0, 1.0), "one ahead");
    assert!(alone(1, 0.9) && !alone(1, 1.0), "one behind");
    assert!(alone(2, 1.9) && !alone(2, 2.0), "one behind the last");
}

#[test]
fn a_rest_leaves_turns_by_themselves() {
    let mut turns = turns(&[(1.0, 0.1)]);
    turns.rest();
    turns.pass(1.01, &[0.0; AXES], &[0.1, 0.0, 0.0]);
    assert!(turns.single(0.0, 1.0));
    for at in 0..2 {
        let (cluster, next) = turns.after(at, 0.1).unwrap();
        assert!(turns.alone(&cluster, (at, next), 1.0), "{at}");
    }
    turns.pass(1.02, &[0.0; AXES], &[0.1, 0.0, 0.0]);
    assert!(!turns.single(0.0, 1.0));
}

// Several that were put together are no turn by itself.
#[test]
fn turns_put_together_are_not_single() {
    let mut turns = Clusters::new(1.0);
    turns.at_speed(2.0);
    turns.pass(1.0, &[0.0; AXES], &[0.1, 0.0, 0.0]);
    assert!(turns.single(0.0, 10.0));
    turns.pass(1.01, &[0.0; AXES], &[0.1, 0.0, 0.0]);
    assert!(!turns.single(0.0, 1e-6));
}

#[test]
fn what_turns_before_a_place() {
    let turns = turns(&[(1.0, 0.1), (2.0, 0.1), (2.01, 0.1)]);
    let (cluster, at) = turns.before(3, 0.1).unwrap();
    assert_eq!((cluster.first, cluster.last, at), (2.0, 2.01, 1));
    assert!((cluster.turn[1] - 0.2).abs() < 1e-15);
    assert_eq!(
        turns.before(1, 0.1).map(|(cluster, at)| (cluster.last, at)),
        Some((1.0, 0))
    );
    assert!(turns.before(0, 0.1).is_none());
}

// Right at the start of a fast path, where there is nothing yet to put it together with.
#[test]
fn the_first_turn_is_kept() {
    let mut turns = Clusters::new(1.0);
    turns.at_speed(2.0);
    turns.pass(0.05, &[0.0; AXES], &[0.1, 0.0, 0.0]);
    assert_eq!(turns.next(), 1);
    assert_eq!(turns.get(0).turn, [0.1, 0.0, 0.0]);
}
