//! Classes of paths that are told by hand.

use super::super::random_motion::Random;
use super::*;

mod runs;

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

/// Samples of a path that goes at random speeds, and rests, with as random times between them.
fn random_samples(random: &mut Random) -> Kept {
    let mut samples = Kept::new(8.0 * T, 128);
    let (mut t, mut s) = (0.0, 0.0);
    for _ in 0..2 + (60.0 * random.part()) as usize {
        samples.keep([t, 0.0, s]);
        let time = T / 16.0 + T / 8.0 * random.part() * random.part();
        t += time;
        s += time / T
            * if random.part() < 0.2 {
                0.0
            } else {
                2.0 * random.part()
            };
    }
    samples
}

// Between the two samples around it, and on to the nearer one in time until T/8 and some way lie between.
#[test]
fn speeds_about_a_place() {
    for seed in 0..200 {
        let mut random = Random::new(seed);
        let samples = random_samples(&mut random);
        let turns = Clusters::new(T);
        let (axis, limit, span) = (1, 1.0 / T / T, T);
        let stretch = Stretch {
            turns: &turns,
            samples: &samples,
            measured: &Measured { axis, limit, span },
        };
        let all: Vec<[f64; 3]> = (0..samples.next()).map(|at| samples.get(at)).collect();
        let end = all[all.len() - 1][2];
        for from in 0..all.len() {
            let s = (1.2 * random.part() - 0.1) * end;
            let from_on = from.min(all.len() - 2);
            let before = (from_on..all.len() - 1).rev().find(|at| all[*at][2] <= s);
            let mut low = before.unwrap_or(from_on);
            let mut high = low + 1;
            let plain = loop {
                let (time, way) = (all[high][0] - all[low][0], all[high][2] - all[low][2]);
                let whole = low == 0 && high + 1 == all.len();
                if time >= T / 8.0 && way > 0.0 || whole {
                    break way / time;
                }
                let after = all.get(high + 1).map(|next| next[0] - all[high][0]);
                let before = low.checked_sub(1).map(|at| all[low][0] - all[at][0]);
                match (before, after) {
                    (Some(before), Some(after)) if after > before => low -= 1,
                    (Some(_), None) => low -= 1,
                    _ => high += 1,
                }
            };
            assert_eq!(
                stretch.speed_after(from, s),
                plain,
                "seed {seed}, {from}, {s}"
            );
            if from == 0 {
                assert_eq!(stretch.speed_at(s), plain);
            }
        }
    }
}

// What is plain by itself is what a look at both kinds of run says; and where each turn is a corner by
// itself, there are no close ones.
#[test]
fn classes_with_nothing_left_out() {
    let mut found = [0; 3];
    let mut single = 0;
    for seed in 0..600 {
        let mut random = Random::new(seed);
        let samples = random_samples(&mut random);
        let end = samples.get(samples.next() - 1)[2];
        let mut turns = Clusters::new(T);
        turns.at_speed(random.part() / T);
        let gap = [0.05, 0.2, 0.4, 1.0][(4.0 * random.part()) as usize];
        let size = 0.4 * random.part();
        let side = random.part() < 0.5;
        let mut s = random.part();
        while s < end {
            if random.part() < 0.05 {
                turns.rest();
            }
            let turn = size * if side { random.side() } else { random.part() };
            turns.pass(s, &[0.0; 3], &[0.1 * random.side(), turn, 0.0]);
            s += gap * (0.5 + random.part());
        }
        let (axis, limit, span) = (1, 1.0 / T / T, T);
        let stretch = Stretch {
            turns: &turns,
            samples: &samples,
            measured: &Measured { axis, limit, span },
        };
        for from in [0, 1, samples.next() / 2] {
            // One sample earlier, as a turn right there may have come after it.
            let start = samples.get(from.saturating_sub(1))[2];
            let mut at = (0..turns.next())
                .find(|at| turns.get(*at).first >= start)
                .unwrap_or(turns.next());
            let (mut corners, mut all) = (0.0, 0.0);
            while at < turns.next() {
                let before = from.saturating_sub(1);
                let speed = stretch.speed_after(before, turns.get(at).first);
                let Some((cluster, next)) = turns.after(at, 0.1 * speed * T) else {
                    break;
                };
                let change = speed * cluster.swing[1];
                let in_run = |run| stretch.runs(&cluster, (at, next), speed, run);
                if change > 0.0 && !in_run(&BEND) {
                    all += change;
                    if !in_run(&CLOSE) {
                        corners += change;
                    }
                }
                at = next;
            }
            let class = if corners >= 0.05 / T {
                Class::Corner
            } else if all >= 0.05 / T {
                Class::Close
            } else {
                Class::Bend
            };
            assert_eq!(stretch.class(from), class, "seed {seed}, {from}");
            found[class as usize] += 1;
            if stretch.has_no_close(from, 4.0 / T) {
                single += 1;
                assert_ne!(class, Class::Close, "seed {seed}, {from}");
            }
        }
    }
    assert!(
        found.iter().all(|number| *number > 50) && single > 50,
        "{found:?} {single}"
    );
}
