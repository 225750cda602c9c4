//! The limits that moves of a curve come out with, against the law.

mod chords;

use crate::axis::Axis;
use crate::bend::tests::law::{DEVIATION, Part, Path};
use crate::bend::tests::ripe::{Belongs, bent};
use crate::coordinate::Coordinate;
use crate::look_ahead::LookAhead;
use crate::machine::Machine;
use crate::moves::PlannedMove;
use crate::pace::Pace;
use crate::random::Random;
use crate::test_machine::CONTROLLER;
use std::vec::Vec;

const LIMITS: [f64; 3] = [500.0, 800.0, 300.0];

/// How much of a move that begins so far off a turn lies within what belongs to that, times its share.
fn taken(turn: &Belongs, off: f64, length: f64) -> f64 {
    (turn.reach - off).clamp(0.0, length) * turn.share
}

/// A move: most v² at its start, the acceleration, and v² at which none is left.
fn expected(law: &Path, chord: usize, pieces: usize, piece: usize, cap2: f64) -> [f64; 3] {
    let (start, end, within) = bent(law, chord);
    let part = &law.parts[chord];
    let length = part.length / pieces as f64;
    let before = length * piece as f64;
    let left = part.length - before - length;
    let share = (0..3).map(|i| part.way[i].abs() / LIMITS[i]);
    let mut acceleration = 1.0 / share.fold(0.0, f64::max);
    let mut most = cap2;
    if chord == 0 && piece == 0 {
        most = 0.0;
    } else {
        if start.reach >= before {
            most = most.min(start.most);
        }
        if end.reach >= left + length {
            most = most.min(end.most);
        }
    }
    let takes = taken(&start, before, length) + taken(&end, left, length);
    let mut bend = length / takes;
    if within < bend / 8.0 {
        acceleration *= 1.0 - within / bend;
        bend = f64::INFINITY;
    }
    if start.share == 0.0 && end.share == 0.0 {
        bend = f64::INFINITY;
    }
    [most, acceleration, bend]
}

type Moves = LookAhead<3, 128>;

fn empty() -> Moves {
    let axes = LIMITS.map(|a| Axis {
        steps_per_mm: 100.0,
        speed_limit: 1500.0,
        acceleration_limit: a as f32,
    });
    let machine = Machine::new(axes, CONTROLLER, DEVIATION as f32).unwrap();
    LookAhead::new(&machine, [Coordinate::ZERO; 3])
}

/// Pushes a path that ends in rest, each part of it in so many pieces. Gives its end.
fn push(moves: &mut Moves, from: [f64; 3], parts: &[Part], pieces: usize, feed: f64) -> [f64; 3] {
    let mut at = from;
    for (k, part) in parts.iter().enumerate() {
        // The first move is a chord by itself.
        let pieces = if k == 0 { 1 } else { pieces };
        for piece in 1..=pieces {
            let way = part.length * piece as f64 / pieces as f64;
            let to = [0, 1, 2].map(|i| at[i] + way * part.way[i]);
            let to = to.map(|mm| Coordinate::from_mm(mm).unwrap());
            moves.line(to, Some(feed as f32), 0).unwrap();
        }
        at = [0, 1, 2].map(|i| at[i] + part.length * part.way[i]);
    }
    moves.stop();
    at
}

fn all(moves: &mut Moves) -> Vec<PlannedMove> {
    core::iter::from_fn(|| moves.take()).collect()
}

fn planned(parts: &[Part], pieces: usize, cap: f64) -> Vec<PlannedMove> {
    let mut moves = empty();
    push(&mut moves, [0.0; 3], parts, pieces, cap);
    all(&mut moves)
}

/// The same to the rounding of coordinates and sums.
fn agree(found: &[PlannedMove], expected: &[PlannedMove]) {
    assert_eq!(found.len(), expected.len());
    for (k, (found, expected)) in found.iter().zip(expected).enumerate() {
        let numbers = |a: &PlannedMove| {
            [
                a.entry_v2,
                a.exit_v2,
                a.limit_v2,
                a.acceleration,
                1e6 / a.bend_v2,
            ]
        };
        let pairs = numbers(found).into_iter().zip(numbers(expected));
        for (a, b) in pairs {
            assert!(
                (a - b).abs() <= 1e-3 * b.abs() + 1e-3,
                "{k}: {found:?} {expected:?}"
            );
        }
    }
}

/// A curve of chords that are so long that each turn counts, and not so long that none does.
fn curve(random: &mut Random, cap: f64, chords: usize) -> Vec<Part> {
    let reach = (cap * cap * 8.0 * DEVIATION / 300.0).sqrt();
    let length = reach * random.within(0.3, 0.8);
    let angle = (0.08_f64).max(0.05 / length);
    (0..chords)
        .map(|k| {
            let at = angle * k as f64;
            Part {
                way: [at.cos() * 0.8, at.sin() * 0.8, 0.6],
                length: length * random.within(0.8, 1.2),
                fastest: cap * cap,
            }
        })
        .collect()
}

#[test]
fn moves_get_what_the_turns_of_their_chord_leave() {
    let mut random = Random::new(8);
    let mut offs = Vec::new();
    for round in 0..60 {
        let cap = random.of_any_size(30.0, 300.0);
        let parts = curve(&mut random, cap, 20);
        // Zones often end in the middle of a chord: no move does.
        let pieces = 1 + 2 * (round % 3);
        let law = Path::new(LIMITS, &parts, true);
        let moves = planned(&parts, pieces, cap);
        assert_eq!(moves.len(), 1 + (parts.len() - 1) * pieces);
        for (k, found) in moves.iter().enumerate() {
            let (chord, piece, of) = if k == 0 {
                (0, 0, 1)
            } else {
                (1 + (k - 1) / pieces, (k - 1) % pieces, pieces)
            };
            let exact = expected(&law, chord, of, piece, cap * cap);
            let numbers = [found.limit_v2, found.acceleration, found.bend_v2];
            // v², and the part of the acceleration that a bend takes at the cap.
            let near = |found: f32, exact: f64| (f64::from(found) - exact).abs() <= 0.012 * exact;
            let takes = |bend: f64| cap * cap / bend;
            let off = (takes(found.bend_v2.into()) - takes(exact[2])).abs();
            offs.push(off);
            let fits = near(numbers[0], exact[0]) && near(numbers[1], exact[1]) && off < 0.012;
            assert!(
                fits,
                "{k} of {pieces}, {cap}: {numbers:?} {exact:?}, {parts:?}"
            );
        }
    }
    offs.sort_by(f64::total_cmp);
    assert!(offs[offs.len() * 8 / 10] < 1e-3, "{offs:?}");
}

/// Half the feed, prepared for and overridden to twice that, is the feed; with a front that is decided or not.
#[test]
fn an_override_plans_as_if_it_had_been_programmed() {
    let mut random = Random::new(8);
    for round in 0..20 {
        let cap = random.of_any_size(30.0, 300.0);
        let parts = curve(&mut random, cap, 30);
        let mut moves = empty();
        moves.prepare(2.0);
        push(&mut moves, [0.0; 3], &parts, 1 + round % 4, cap / 2.0);
        let twice = Pace {
            feed: 2.0,
            ..Pace::PROGRAMMED
        };
        if round % 2 == 1 {
            moves.bound();
        }
        moves.set_pace(twice, 0.0, parts[0].length as f32);
        agree(&all(&mut moves), &planned(&parts, 1 + round % 4, cap));
    }
}

/// A dwell parts two paths, each planned by itself.
#[test]
fn rest_parts_paths() {
    let mut random = Random::new(2);
    for seconds in [0.0, 0.5] {
        let (first, second) = (curve(&mut random, 100.0, 15), curve(&mut random, 100.0, 15));
        let mut moves = empty();
        let end = push(&mut moves, [0.0; 3], &first, 3, 100.0);
        moves.rest(seconds, 0).unwrap();
        push(&mut moves, end, &second, 3, 100.0);
        let mut expected = planned(&first, 3, 100.0);
        expected.extend(planned(&second, 3, 100.0));
        agree(&all(&mut moves), &expected);
    }
}

/// Whatever was queued, and however much of it taken, it counts for nothing afterwards.
#[test]
fn a_cleared_queue_is_a_new_one() {
    let mut random = Random::new(6);
    for taken in [0, 1, 20] {
        let (first, second) = (curve(&mut random, 100.0, 20), curve(&mut random, 100.0, 15));
        let mut moves = empty();
        push(&mut moves, [0.0; 3], &first, 3, 100.0);
        for _ in 0..taken {
            moves.take().unwrap();
        }
        moves.clear([Coordinate::ZERO; 3]);
        push(&mut moves, [0.0; 3], &second, 3, 100.0);
        agree(&all(&mut moves), &planned(&second, 3, 100.0));
    }
}
