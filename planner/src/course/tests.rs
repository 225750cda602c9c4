//! The limits that moves of a curve come out with, against the law.

use crate::axis::Axis;
use crate::bend::tests::law::{DEVIATION, Part, Path};
use crate::bend::tests::ripe::{Belongs, bent};
use crate::coordinate::Coordinate;
use crate::look_ahead::LookAhead;
use crate::machine::{Controller, Machine};
use crate::moves::PlannedMove;
use crate::pace::Pace;
use crate::random::Random;
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

/// The moves of a path, each part of it in so many pieces; as programmed, or at half of that and then twice as
/// fast.
fn planned(parts: &[Part], pieces: usize, cap: f64, faster: bool) -> Vec<PlannedMove> {
    let axes = LIMITS.map(|a| Axis {
        steps_per_mm: 100.0,
        speed_limit: 1500.0,
        acceleration_limit: a as f32,
    });
    let controller = Controller {
        timer_hz: 1_000_000,
        pulse_width: 1e-6,
        pulse_period: 4e-6,
        direction_setup: 1e-6,
        ramp_time: 0.01,
    };
    let machine = Machine::new(axes, controller, DEVIATION as f32).unwrap();
    let mut moves: LookAhead<3, 128> = LookAhead::new(&machine, [Coordinate::ZERO; 3]);
    let mut feed = cap as f32;
    if faster {
        moves.prepare(2.0);
        feed *= 0.5;
    }
    let mut at = [0.0; 3];
    for (k, part) in parts.iter().enumerate() {
        // The first move is a chord by itself.
        let pieces = if k == 0 { 1 } else { pieces };
        for piece in 1..=pieces {
            let way = part.length * piece as f64 / pieces as f64;
            let to = [0, 1, 2].map(|i| at[i] + way * part.way[i]);
            let to = to.map(|mm| Coordinate::from_mm(mm).unwrap());
            moves.line(to, Some(feed), 0).unwrap();
        }
        at = [0, 1, 2].map(|i| at[i] + part.length * part.way[i]);
    }
    moves.stop();
    if faster {
        let twice = Pace {
            feed: 2.0,
            ..Pace::PROGRAMMED
        };
        moves.set_pace(twice, 0.0, parts[0].length as f32);
    }
    core::iter::from_fn(|| moves.take()).collect()
}

#[test]
fn moves_get_what_the_turns_of_their_chord_leave() {
    let mut random = Random::new(8);
    let mut offs = Vec::new();
    for round in 0..60 {
        let cap = random.of_any_size(30.0, 300.0);
        let reach = (cap * cap * 8.0 * DEVIATION / 300.0).sqrt();
        // No chord is so long that no turn counts, and each turn counts however short it is.
        let length = reach * random.within(0.3, 0.8);
        let angle = (0.08_f64).max(0.05 / length);
        let parts: Vec<Part> = (0..20)
            .map(|k| {
                let at = angle * f64::from(k);
                Part {
                    way: [at.cos() * 0.8, at.sin() * 0.8, 0.6],
                    length: length * random.within(0.8, 1.2),
                    fastest: cap * cap,
                }
            })
            .collect();
        // Zones often end in the middle of a chord: no move does.
        let pieces = 1 + 2 * (round % 3);
        let law = Path::new(LIMITS, &parts, true);
        let moves = planned(&parts, pieces, cap, round % 2 == 1);
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
                "{k} of {pieces}, {cap}, {length}, {angle}: {numbers:?} {exact:?} {:?} {:?} {:?}",
                law.turns[1],
                bent(&law, 0),
                &law.parts[..3]
            );
        }
    }
    offs.sort_by(f64::total_cmp);
    assert!(offs[offs.len() * 8 / 10] < 1e-3, "{offs:?}");
}
