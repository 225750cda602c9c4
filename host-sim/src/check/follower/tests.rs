//! Which pulses are told of as samples of what; x has 80 steps/mm, and 1e-5 mm are 0.0008 of a step.

use super::super::news::Sample;
use super::super::segment::Segment;
use super::super::test_walk::{PER_MM, Step, machine, steps};
use super::*;
use crate::motion::MoveKind;

fn follower(points: &[Point]) -> Follower {
    let in_mm = |p: &Point| std::array::from_fn(|i| p[i] / PER_MM[i]);
    let mut follower = Follower::new(&machine(), in_mm(&points[0]));
    for (line, ends) in (1..).zip(points.windows(2)) {
        follower.piece(&Piece {
            line,
            from: in_mm(&ends[0]),
            to: in_mm(&ends[1]),
            feed: Some(0.1),
            stop: false,
            rest_s: 0.0,
            kind: MoveKind::Line,
        });
    }
    follower
}

fn give(follower: &mut Follower, step: &Step) {
    let mut all = [0; AXES];
    all[step.axis] = step.d as i8;
    follower.pulse(step.t as u64, all);
}

/// What is told of the steps of these points.
fn told(points: &[Point]) -> (Follower, Vec<Sample>) {
    let mut follower = follower(points);
    for step in steps(points, points[0].map(f64::round)) {
        give(&mut follower, &step);
    }
    let samples = follower.news.samples.clone();
    (follower, samples)
}

/// The sample of the crossing of an axis at this place, in steps.
fn at(samples: &[Sample], axis: usize, x: f64) -> Sample {
    let here = |sample: &&Sample| {
        usize::from(sample.axis) == axis && (sample.x * PER_MM[axis] - x).abs() < 1e-9
    };
    *samples.iter().find(here).expect("a sample")
}

// Twice 1e-5 mm clear of both ends, 0.0016 of a step; and known to lie there, 0.0008.
#[test]
fn samples_clear_of_the_ends_of_a_straight() {
    for (clear, placed, straight) in [
        (0.0007, false, false),
        (0.0009, true, false),
        (0.0015, true, false),
        (0.0017, true, true),
        (0.3, true, true),
    ] {
        let end = [
            [0.1, 0.2, 0.0],
            [5.5 + clear, 0.2, 0.0],
            [5.5 + clear, 9.0, 0.0],
        ];
        let (_, samples) = told(&end);
        if placed {
            let sample = at(&samples, 0, 5.5);
            assert!(sample.placed && sample.firm, "{sample:?}");
            assert_eq!(
                (sample.straight, sample.leg),
                (straight, straight),
                "{clear}"
            );
        } else {
            assert!(
                samples
                    .iter()
                    .all(|sample| sample.axis != 0 || sample.x < 5.4 / 80.0 || !sample.placed)
            );
        }
        let inside = at(&samples, 0, 3.5);
        assert!(inside.straight && inside.leg && inside.placed && inside.firm);
        // The first step of an axis is of no use, so it has made some before.
        let start = [
            [0.1, 0.2, 0.0],
            [5.5 - clear, 0.2, 0.0],
            [5.5 - clear, 3.2, 0.0],
            [9.1, 3.2, 0.0],
        ];
        let (_, samples) = told(&start);
        let sample = at(&samples, 0, 5.5);
        assert_eq!(
            (sample.straight, sample.leg),
            (straight, straight),
            "{clear} {sample:?}"
        );
    }
}

// Of two pieces in one direction the end of the first is no end.
#[test]
fn samples_beside_a_joint_of_a_straight() {
    for clear in [-0.0012, -0.0001, 0.0001, 0.0012] {
        let points = [
            [0.1, 0.2, 0.0],
            [5.5 + clear, 0.2, 0.0],
            [9.1, 0.2, 0.0],
            [9.1, 4.0, 0.0],
        ];
        let (_, samples) = told(&points);
        let sample = at(&samples, 0, 5.5);
        assert!(
            sample.straight && sample.leg && sample.placed,
            "{clear} {sample:?}"
        );
        assert!((sample.on - 5.4 / 80.0).abs() < 1e-9, "{sample:?}");
    }
    // The last piece is an end, as no more is known.
    let (_, samples) = told(&[[0.1, 0.2, 0.0], [5.5 + 0.0012, 0.2, 0.0]]);
    let sample = at(&samples, 0, 5.5);
    assert!(sample.placed && !sample.straight && !sample.leg);
}

// An axis with half of the path's speed tells where the path is: y has 100 steps/mm and x 80.
#[test]
fn which_axes_tell_where_the_path_is() {
    for (part, leg) in [(0.49, false), (0.51, true)] {
        let (x, y) = (8.0 * f64::sqrt(1.0 - part * part), 10.0 * part);
        let (_, samples) = told(&[[0.1, 0.2, 0.0], [0.1 + 3.0 * x, 0.2 + 3.0 * y, 0.0]]);
        let sample = at(&samples, 1, 5.5);
        assert_eq!((sample.straight, sample.leg), (true, leg), "{part}");
        assert!(at(&samples, 0, 5.5).leg);
    }
}

// x has a little less than half of the path's speed before a joint, and a little more after it, or the other way round:
// its step at 5.5, behind the joint by less than 1e-5 mm, lies on the second piece.
#[test]
fn a_step_beside_a_joint_counts_as_one_of_its_own_piece() {
    let way = |part: f64| [80.0 * part, 100.0 * f64::sqrt(1.0 - part * part), 0.0];
    for (before, after, leg) in [(0.4998, 0.5002, true), (0.5002, 0.4998, false)] {
        let joint = [5.4996, 0.2, 0.0];
        let (to, on) = (way(before), way(after));
        let from = std::array::from_fn(|i| joint[i] - 0.06 * to[i]);
        let end = std::array::from_fn(|i| joint[i] + 0.06 * on[i]);
        let (_, samples) = told(&[from, joint, end, [end[0], -9.0, 0.0]]);
        let sample = at(&samples, 0, 5.5);
        assert!(sample.placed && sample.straight && !sample.firm);
        assert_eq!(sample.leg, leg, "{before}");
    }
}

// A pulse within a tick of the last of its axis may have had to wait: it is no sample of a place.
#[test]
fn what_had_to_wait_is_no_sample_of_a_place() {
    let points = [[0.1, 0.2, 0.0], [9.1, 0.2, 0.0]];
    for (late, free) in [(1.0, false), (2.0, true)] {
        let mut follower = follower(&points);
        let mut all = steps(&points, [0.0; AXES]);
        all[4].t = all[3].t + late;
        all.truncate(5);
        all.iter().for_each(|step| give(&mut follower, step));
        let sample = follower.news.samples[follower.news.samples.len() - 1];
        assert_eq!(sample.t, all[4].t);
        let flags = [sample.placed, sample.firm, sample.straight, sample.leg];
        assert_eq!(flags, [free; 4], "{late}");
    }
}

#[test]
fn pulses_are_counted_and_told_where_they_are() {
    let points = [[0.1, 0.2, 0.3], [5.1, 0.2, 0.3], [3.1, -2.9, 0.3]];
    let (mut follower, samples) = told(&points);
    assert_eq!(follower.counted(), ([7, 3, 0], [3.0, -3.0, 0.0]));
    // The first step of each axis is none, as its last direction is not known.
    assert_eq!(samples.len(), 8);
    let here = follower.here();
    let at = [3.0 / 80.0, -3.0 / 100.0, 0.0];
    assert!(
        (0..AXES).all(|i| (here.at[i] - at[i]).abs() < 1e-12),
        "{here:?}"
    );
    let last = samples[samples.len() - 1];
    assert_eq!((here.tick, here.line), (last.t, 2));
    // Pulses go on at the next tick, not at one before; and an axis makes one step.
    let tick = here.tick as u64;
    follower.pulse(tick - 1, [1, 0, 0]);
    assert_eq!(follower.counted().0, [7, 3, 0]);
    let told = follower.input.clone().result(Writer { hz: 1e3 });
    assert!(
        !told.pass && told.what.contains("must not go back"),
        "{told:?}"
    );
    follower.pulse(tick, [0, 0, 1]);
    assert_eq!(follower.counted(), ([7, 3, 1], [3.0, -3.0, 1.0]));
    let (end, _) = follower.end();
    let way = f64::hypot(2.0 / 80.0, 3.1 / 100.0) + 5.0 / 80.0;
    assert!((end - way).abs() < 1e-12);
}

/// Each sample with the piece that it is told to lie on.
fn with_pieces(follower: &Follower) -> Vec<(Sample, Segment)> {
    let news = &follower.news;
    let piece = |number: usize| {
        let told = news
            .events
            .iter()
            .take_while(|(before, _)| *before <= number);
        let told = told.filter_map(|(_, event)| match event {
            Event::Piece(index) => Some(news.pieces[*index]),
            _ => None,
        });
        told.last().unwrap_or(Segment::NONE)
    };
    let samples = news.samples.iter().enumerate();
    samples
        .map(|(number, sample)| (*sample, piece(number)))
        .collect()
}

// x comes to 5.5 at 0.0004 of a step behind the joint, and y to 3.5 half as far before it, in the same tick: x is told
// first, on the second piece, and y on the first one.
#[test]
fn samples_are_told_after_their_piece() {
    let joint = [5.4996, 3.5002, 0.0];
    let way = [joint[0] - 0.2, joint[1] - 0.3];
    let on = |part: f64| [0.2 + part * way[0], 0.3 + part * way[1], 0.0];
    for before in [0, 1] {
        let mut points = vec![[0.2, -3.7, 0.0]; before as usize];
        points.extend([on(0.0), on(1.0), on(2.0), [30.0, 30.0, 0.0]]);
        let mut follower = follower(&points);
        let steps = steps(&points, points[0].map(f64::round));
        for tick in steps.chunk_by(|a, b| a.t == b.t) {
            let mut all = [0; AXES];
            for step in tick {
                all[step.axis] = step.d as i8;
            }
            follower.pulse(tick[0].t as u64, all);
        }
        let all = with_pieces(&follower);
        for (sample, piece) in all.iter().filter(|(sample, _)| sample.placed) {
            let on = piece.s0 - 1e-12..=piece.s1 + 1e-12;
            assert!(on.contains(&sample.on), "{sample:?} {piece:?}");
        }
        let line = |axis: usize, x: f64| {
            let here = |(sample, _): &&(Sample, Segment)| {
                usize::from(sample.axis) == axis && (sample.x * PER_MM[axis] - x).abs() < 1e-9
            };
            all.iter()
                .position(|one| here(&one))
                .map(|k| (k, all[k].1.line))
        };
        let (x, y) = (
            line(0, 5.5).expect("a sample"),
            line(1, 3.5).expect("a sample"),
        );
        assert_eq!(y, (x.0 + 1, before + 1), "{before}");
        assert_eq!(x.1, before + 2, "{before}");
    }
}

// x has made a step when y makes its first, inside the piece: whence it came is not known, so it is no sample. y's second
// is one.
#[test]
fn the_first_step_of_an_axis_is_no_sample() {
    let points = [[0.45, -0.4, 0.0], [9.45, 89.6, 0.0]];
    let all = steps(&points, [0.0; AXES]);
    assert_eq!((all[0].axis, all[1].axis), (0, 1));
    let (_, samples) = told(&points);
    assert!(samples.len() == all.len() - 2);
    let first = |axis| samples.iter().find(|sample| sample.axis == axis);
    assert!((first(0).expect("a sample").x - 1.5 / 80.0).abs() < 1e-12);
    assert!((first(1).expect("a sample").x - 1.5 / 100.0).abs() < 1e-12);
}

// What is told of the end names the last line, though no pulse came there.
#[test]
fn the_end_is_that_of_the_last_line() {
    let mut follower = follower(&[[0.1, 0.2, 0.0], [5.1, 0.2, 0.0], [9.1, 0.2, 0.0]]);
    follower.pulse(1000, [1, 0, 0]);
    let told = follower.results(Writer { hz: 1e3 });
    let end = told.iter().find(|told| told.name == "end position");
    assert_eq!(end.and_then(|told| told.line), Some(2));
}
