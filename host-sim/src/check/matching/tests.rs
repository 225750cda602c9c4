//! Against the places that are known from the path alone.

use super::super::random_motion::Random;
use super::super::test_walk::{PER_MM, Step, machine, path, points, steps};
use super::*;

/// What the matcher keeps, worked out for each step from all of the path.
struct Plain {
    s: f64,
    stair: Point,
    piece: usize,
    worst: (f64, usize),
    speed: f64,
    speed_t: f64,
    mark: (f64, f64),
    counted: usize,
}

impl Plain {
    fn new(start: &Point) -> Self {
        Self {
            s: 0.0,
            stair: start.map(f64::round),
            piece: 0,
            worst: (f64::NEG_INFINITY, 0),
            speed: 0.0,
            speed_t: 0.0,
            mark: (0.0, 0.0),
            counted: 0,
        }
    }

    /// How far each axis stands from the path at length `s` of a piece, but for two ticks.
    fn look(&mut self, segment: &Segment, s: f64, t: f64) {
        let since = t - self.speed_t;
        let moved = 2.0 * segment.cap.min(self.speed + segment.accel * since);
        for (k, per_mm) in PER_MM.into_iter().enumerate() {
            let at = segment.from[k] + segment.u[k] * (s - segment.s0);
            let mut slope = segment.u[k].abs() * per_mm;
            if s - segment.s0 < moved {
                slope = slope.max(segment.before[k]);
            }
            let off = (at * per_mm - self.stair[k]).abs() - slope * moved;
            if off > self.worst.0 {
                self.worst = (off, k);
            }
        }
    }

    fn step(&mut self, path: &Path, step: &Step) {
        let pieces: Vec<Segment> = (0..).map_while(|k| path.get(k).copied()).collect();
        for segment in &pieces[self.piece..step.piece] {
            self.look(segment, segment.s1, step.t);
        }
        let segment = &pieces[step.piece];
        // Not before the piece begins, nor before what was reached.
        let reached = step.s - 1e-5 * segment.inverse[step.axis];
        self.s = self.s.max(segment.s0).max(reached);
        self.look(segment, self.s, step.t);
        self.piece = step.piece;
        self.stair[step.axis] += step.d;
        self.counted += 1;
        if self.counted >= 8 && step.t > self.mark.0 {
            let time = step.t - self.mark.0;
            self.speed = (self.s - self.mark.1) / time;
            self.speed_t = (step.t + self.mark.0) / 2.0;
            (self.mark, self.counted) = ((step.t, self.s), 0);
        }
    }
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-8
}

#[test]
fn steps_are_put_where_they_are() {
    let mut inside = 0;
    let mut all = 0;
    for seed in 0..60 {
        let points = points(&mut Random::new(seed), 25);
        let whole = path(&points);
        let mut path = whole.clone();
        let start = std::array::from_fn(|i| points[0][i] / PER_MM[i]);
        let mut matcher = Matcher::new(PER_MM, start, 1.0);
        let mut plain = Plain::new(&points[0]);
        for step in steps(&points, points[0].map(f64::round)) {
            plain.step(&whole, &step);
            let first = matcher.direction[step.axis] == 0.0;
            let pulse = (step.t, step.axis, step.d);
            let found = matcher.pulse_inside(&path, pulse);
            all += 1;
            inside += usize::from(found.is_some());
            let found = found.map(|found| (found, 0));
            let found =
                found.or_else(|| matcher.pulse_anywhere(&mut path, pulse, &Here::default()));
            let Some((found, ahead)) = found else {
                panic!("seed {seed}: {step:?} is nowhere");
            };
            let why = format!("seed {seed}: {step:?} {found:?} {} {}", matcher.s, plain.s);
            assert_eq!((ahead, path.passed), (0, step.piece), "{why}");
            assert!(close(found.x, step.x) && close(found.on, step.s), "{why}");
            assert!(found.placed && found.firm && found.exact != first, "{why}");
            assert!(close(matcher.s, plain.s), "{why}");
            assert_eq!(matcher.stair, plain.stair, "{why}");
            assert_eq!(matcher.last[step.axis], step.t);
            assert!(close(matcher.speed, plain.speed), "{why} {}", matcher.speed);
            let worst = matcher.worst;
            assert!(
                close(worst.value, plain.worst.0),
                "{why} {worst:?} {:?}",
                plain.worst
            );
            assert_eq!(worst.axis, Some(plain.worst.1), "{why}");
            assert!(matcher.sure && matcher.plain && matcher.missed == 0);
        }
        assert_eq!(
            matcher.first_fault.map(|here| here.is_some()),
            [false; AXES]
        );
        assert!(matcher.worst.value <= 0.5625 + 1e-5 * 100.0);
        matcher.finish(&mut path, &Here::default());
        assert_eq!(
            matcher.first_fault.map(|here| here.is_some()),
            [false; AXES]
        );
        assert_eq!(path.len(), 1);
        assert!(matcher.result(super::Writer { hz: 1e3 }).pass);
    }
    assert!(inside * 3 > all && inside < all, "{inside} of {all}");
}

#[test]
fn the_greater_and_the_lesser() {
    for (a, b) in [(1.0, 2.0), (2.0, 1.0), (-3.0, 0.5), (1.0, 1.0)] {
        assert_eq!(
            (greater(a, b), lesser(a, b)),
            (f64::max(a, b), f64::min(a, b))
        );
    }
}

// Half-way but for 1e-5 mm: 0.0008 of a step in x.
#[test]
fn which_starts_are_unsure() {
    for (part, unsure) in [
        (0.4991, 0.0),
        (0.4993, 1.0),
        (-0.4993, -1.0),
        (-0.4991, 0.0),
        (0.5007, -1.0),
        (0.0, 0.0),
    ] {
        let matcher = Matcher::new(PER_MM, [(7.0 + part) / 80.0, 0.0, 0.0], 1.0);
        assert_eq!(matcher.unsure, [unsure, 0.0, 0.0], "{part}");
        assert_eq!(matcher.plain, unsure == 0.0);
        assert_eq!(matcher.stair[0], f64::round(7.0 + part));
    }
}

// Many steps of one tick, one call after the other, tell no speed.
#[test]
fn no_speed_is_measured_in_no_time() {
    let mut matcher = Matcher::new(PER_MM, [0.0; AXES], 1.0);
    for (t, s, speed) in [(0.0, 0.1, 0.0), (100.0, 0.2, 2e-3), (100.0, 0.9, 2e-3)] {
        for _ in 0..20 {
            matcher.step_made(t, 0, 1.0, s);
        }
        assert!(close(matcher.speed, speed), "{t} {}", matcher.speed);
    }
}

#[test]
fn the_limit_of_the_path_is_that_of_its_axis() {
    let writer = super::Writer { hz: 1e3 };
    let mut matcher = Matcher::new(PER_MM, [0.0; AXES], 1.0);
    assert!((matcher.result(writer).limit - 0.5625).abs() < 1e-12);
    for (value, pass) in [(0.5634, true), (0.5636, false)] {
        matcher.worst = Worst::NONE;
        let axis = Some(1);
        matcher.worst.raise(value, 0.0, axis, &Here::default());
        let told = matcher.result(writer);
        // 9/16 of a step, and 1e-5 mm at 100 steps/mm.
        assert!((told.limit - 0.5635).abs() < 1e-12, "{told:?}");
        assert_eq!((told.pass, told.axis), (pass, axis));
    }
    let _ = machine();
}
