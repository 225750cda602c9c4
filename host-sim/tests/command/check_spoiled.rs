//! `check`: captures that are spoiled in one place each; the right check fails, and names the place.

use crate::captures::{Found, Trace, US, X, X_DIRECTION, Y, checked};
use crate::workshop::{SOME_OF_EVERYTHING, Workshop, flat};

const NS: (&str, i64) = ("1 ns", 1000);

/// The line of [`SOME_OF_EVERYTHING`] on which x alone goes from 10 mm to 30 mm: steps 801 to 2400 of x,
/// which has made 800 by then.
const ALONG_X: u32 = 9;
const MIDDLE: usize = 1600;

struct Bench {
    shop: Workshop,
    trace: Trace,
}

impl Bench {
    fn new() -> Self {
        let shop = Workshop::new();
        let trace = Trace::of(&shop, SOME_OF_EVERYTHING);
        Self { shop, trace }
    }

    /// The edge at which the `n`-th step of x begins, and when that is.
    fn step(&self, n: usize) -> (usize, i64) {
        let at = self.trace.rises(X)[n];
        (at, self.trace.edges[at].0)
    }

    fn found(&self, more: &[&str]) -> Found {
        self.shop.write("capture.vcd", self.trace.vcd(NS));
        Found::of(&self.shop, "capture.vcd", more)
    }

    fn said(&self, more: &[&str]) -> String {
        flat(&checked(&self.shop, "capture.vcd", more).out)
    }
}

/// The check failed, at this time (±`within`) and line.
#[track_caller]
fn at(found: &Found, name: &str, (time, within): (i64, i64), line: u32) {
    let check = found.check(name);
    assert_eq!(check["pass"], false, "{:?}", found.failed());
    let off = check["time_s"].as_f64().unwrap() - time as f64 / 1e12;
    assert!(off.abs() <= within as f64 / 1e12, "{off} {check}");
    assert_eq!(check["line"], line, "{check}");
}

#[test]
fn a_lost_step() {
    let mut bench = Bench::new();
    let (rise, time) = bench.step(MIDDLE);
    bench.trace.remove_pulse(rise);
    let found = bench.found(&[]);
    let failed = found.failed();
    for name in ["steps, x", "end position, x"] {
        assert!(failed.contains(&name.into()), "{failed:?}");
    }
    assert_eq!(found.check("end position, x")["worst"], 1.0 / 80.0);
    // A step off in position and one in the count. x moves alone there, so it shows where y sets out, at
    // the end of the line.
    assert_eq!(found.check("steps, x")["worst"], 2.0);
    let y = bench
        .trace
        .rises(Y)
        .into_iter()
        .map(|at| bench.trace.edges[at].0);
    let corner = y.into_iter().find(|y| *y > time).unwrap();
    at(&found, "path, x", (corner, US), ALONG_X);
    at(&found, "steps, x", (corner, US), ALONG_X);
}

#[test]
fn a_glitch_and_a_short_pulse() {
    let mut bench = Bench::new();
    let (_, time) = bench.step(MIDDLE);
    bench.trace.add_pulse(X, time + 100 * US, US / 2);
    let found = bench.found(&[]);
    // Not counted: nothing else is wrong.
    assert_eq!(found.failed(), ["pulse width, x"]);
    at(&found, "pulse width, x", (time + 100 * US, 0), ALONG_X);
    let said = bench.said(&[]);
    let first = format!(
        "1 outside the limit, the first x at {:.6} s, line 9.",
        (time + 100 * US) as f64 / 1e12
    );
    assert!(said.contains(&first), "{said}");
    assert!(said.contains("a driver may count them or not"), "{said}");

    // Half of the width and more is a step.
    bench.trace.add_pulse(X, time + 200 * US, 3 * US / 2);
    let found = bench.found(&[]);
    for name in ["pulse width, x", "steps, x", "end position, x"] {
        assert!(
            found.failed().contains(&name.into()),
            "{:?}",
            found.failed()
        );
    }
    // A step off in position and one in the count.
    assert_eq!(found.check("steps, x")["worst"], 2.0);
    assert!(bench.said(&[]).contains("2 outside the limit"));
}

#[test]
fn swapped_axes() {
    let bench = Bench::new();
    let swapped =
        "--step x=y_step --direction x=y_direction --step y=x_step --direction y=x_direction";
    let found = bench.found(&swapped.split(' ').collect::<Vec<_>>());
    assert_eq!(found.check("path")["pass"], false);
    // Line 7 moves both alike. x alone goes on line 9; the first step that has no place there comes
    // where the path still stands at the end of line 8.
    let first = found.check("steps, y");
    assert_eq!(
        (&first["pass"], &first["line"]),
        (&false.into(), &8.into()),
        "{first}"
    );
    let (_, x) = bench.step(800);
    at(&found, "steps, y", (x, US), 8);
}

#[test]
fn an_inverted_direction() {
    let bench = Bench::new();
    let found = bench.found(&["--inverted", "x_direction"]);
    let path = found.check("path");
    assert_eq!((&path["pass"], &path["axis"]), (&false.into(), &"x".into()));
    // The job ends where it begins, so the end alone would not show it.
    assert!(found.failed().len() > 1, "{:?}", found.failed());
}

/// The `n`-th change of a direction line, and when the step comes that it is for.
fn turned(trace: &Trace, line: usize, n: usize) -> (usize, i64) {
    let changes = (0..trace.edges.len()).filter(|at| trace.edges[*at].1 == line);
    let change = changes.clone().nth(n).unwrap();
    let after = &trace.edges[change..];
    let step = after.iter().find(|edge| edge.1 + 1 == line && edge.2);
    (change, step.unwrap().0)
}

#[test]
fn a_direction_that_comes_too_late() {
    let mut bench = Bench::new();
    // 4 µs before the step that it is for, where 5 are asked.
    let (change, step) = turned(&bench.trace, X_DIRECTION, 1);
    bench.trace.edges[change].0 = step - 4 * US;
    bench.trace.sort();
    let found = bench.found(&[]);
    assert_eq!(found.failed(), ["direction setup, x"]);
    let setup = found.check("direction setup");
    assert_eq!(setup["worst"], 4e-6);
    assert_eq!(setup["time_s"].as_f64().unwrap(), step as f64 / 1e12);
}

#[test]
fn a_direction_that_changes_in_a_pulse() {
    let mut bench = Bench::new();
    let (change, _) = turned(&bench.trace, X_DIRECTION, 1);
    let before = bench.trace.edges[..change]
        .iter()
        .rposition(|edge| edge.1 == X && edge.2);
    let rise = bench.trace.edges[before.unwrap()].0;
    bench.trace.edges[change].0 = rise + 3 * US / 2;
    bench.trace.sort();
    let found = bench.found(&[]);
    assert_eq!(found.failed(), ["direction hold, x"]);
    let told = found.check("direction hold")["time_s"].as_f64();
    assert_eq!(told, Some((rise + 3 * US / 2) as f64 / 1e12));
    // From 1.5 µs on, half a microsecond was left of 2.
    assert_eq!(found.check("direction hold")["worst"], 0.5e-6);
}

#[test]
fn pulses_too_close() {
    let mut bench = Bench::new();
    let (rise, time) = bench.step(MIDDLE);
    let (_, before) = bench.step(MIDDLE - 1);
    bench.trace.move_pulse(rise, before + 4 * US - time);
    let found = bench.found(&[]);
    at(&found, "pulse period, x", (before + 4 * US, 0), ALONG_X);
    assert_eq!(found.check("pulse period")["worst"], 4e-6);
}

#[test]
fn captures_that_are_cut() {
    let bench = Bench::new();
    let whole = bench.trace.edges.last().unwrap().0 as f64 / 1e12;
    for (more, axis) in [
        (["--from", &format!("{} s", whole / 2.0)], "x"),
        (["--until", &format!("{} s", whole / 2.0)], "x"),
    ] {
        let found = bench.found(&more);
        for name in ["steps", "end position"] {
            let name = format!("{name}, {axis}");
            assert!(
                found.failed().contains(&name),
                "{more:?} {:?}",
                found.failed()
            );
        }
        let note = "it may begin after the start of the job, or end before its end";
        assert!(found.notes().contains(note), "{}", found.notes());
    }
    // The end alone, a tenth of a second: the last line that moves is named.
    let until = format!("{} s", whole - 0.1);
    let found = bench.found(&["--until", &until]);
    assert_eq!(
        found.check("end position, x")["pass"],
        false,
        "{:?}",
        found.failed()
    );
    assert_eq!(found.check("path")["line"], 23, "{}", found.check("path"));
}

#[test]
fn a_second_motor_that_misses_a_step() {
    let mut bench = Bench::new();
    let second = bench.trace.copy_line(X, "x2_step");
    let pair = [
        "--step",
        "x=x_step",
        "--step",
        "x=x2_step",
        "--direction",
        "x=x_direction",
    ];
    // It follows by 3 µs: together.
    for edge in bench.trace.edges.iter_mut().filter(|edge| edge.1 == second) {
        edge.0 += 3 * US;
    }
    bench.trace.sort();
    assert_eq!(bench.found(&pair).failed(), [""; 0]);

    let rise = bench.trace.rises(second)[MIDDLE];
    let (_, time) = bench.step(MIDDLE);
    bench.trace.remove_pulse(rise);
    let found = bench.found(&pair);
    // The first motor is all right, so the axis is.
    assert_eq!(found.failed(), ["motors together, x"]);
    at(&found, "motors together", (time, 0), ALONG_X);
    assert_eq!(found.check("motors together")["worst"], 2.0);
    let said = bench.said(&pair);
    assert!(
        said.contains("At the end the motors of x are 1 step apart."),
        "{said}"
    );

    // Mounted the other way round and not said to be: two apart after the first step.
    let mut bench = Bench::new();
    bench.trace.copy_line(X, "x2_step");
    let other = bench.trace.copy_line(X_DIRECTION, "x2_direction");
    bench.trace.initial[other] = false;
    let mine = bench.trace.edges.iter_mut().filter(|edge| edge.1 == other);
    mine.for_each(|edge| edge.2 = !edge.2);
    let pair = [&pair[..], &["--direction", "x=x2_direction"]].concat();
    let found = bench.found(&pair);
    assert_eq!(found.failed(), ["motors together, x"]);
    let inverted = [&pair[..], &["--inverted", "x2_direction"]].concat();
    assert_eq!(bench.found(&inverted).failed(), [""; 0]);
}

/// On the way to the corner at the end of line 9, from full speed to rest almost, steps come 20 µs late for
/// 6 ms, a third of T = √(8δ/a) = 17.9 ms, then in time for as long. A velocity of 40 mm/s over T/8 = 2.2 ms
/// that holds one such jump is wrong by 20 µs/2.2 ms of it, 0.36 mm/s; windows that hold an early and a late
/// jump show 0.72 mm/s over T: 40 mm/s², 8 % of the limit, where the check has room for 3 %.
#[test]
fn jitter_before_a_corner() {
    let mut bench = Bench::new();
    let braking = 2300;
    let (_, from) = bench.step(braking - 1400);
    let (_, to) = bench.step(braking);
    let rises = bench.trace.rises(X);
    for rise in &rises {
        let time = bench.trace.edges[*rise].0;
        if time > from && time < to && (time - from) / (6_000 * US) % 2 == 0 {
            let fall = bench.trace.fall(*rise);
            bench.trace.edges[*rise].0 += 20 * US;
            bench.trace.edges[fall].0 += 20 * US;
        }
    }
    bench.trace.sort();
    let found = bench.found(&[]);
    let check = found.check("straight acceleration, x");
    assert_eq!(
        (&check["pass"], &check["line"]),
        (&false.into(), &ALONG_X.into()),
        "{check}"
    );
}

/// All lines stand still for 300 ms, as where a firmware has no pulses left. In the middle of a move, or of an
/// arc, that is a stop without braking; at a stop of the program it is none.
#[test]
fn a_stop_without_braking() {
    const LATER: i64 = 300_000 * US;
    let mut bench = Bench::new();
    let paused = |bench: &mut Bench, rise: usize| {
        let whole = bench.trace.clone();
        // After the pulse, so that it gets no longer.
        let after = whole.edges[whole.fall(rise)].0;
        bench
            .trace
            .clock(|time| time + if time > after { LATER } else { 0 });
        let found = bench.found(&[]);
        bench.trace = whole;
        (found, after)
    };
    let (steps_x, steps_y) = (bench.trace.rises(X), bench.trace.rises(Y));

    let (found, when) = paused(&mut bench, steps_x[MIDDLE]);
    assert_eq!(found.failed(), ["sudden stop"]);
    at(&found, "sudden stop", (when, 10 * US), ALONG_X);
    // A step of 1/80 mm at 40 mm/s, 312 µs, on top.
    let said = found.check("sudden stop")["what"]
        .as_str()
        .unwrap()
        .to_owned();
    assert!(said.contains("The time there is 300.3"), "{said}");
    // From 40 mm/s to 0 and back within a step: 40²/(1/80) = 128 000 mm/s². A speed is known to what it may change
    // in half a window of 4.1 ms, or a step of 0.3 ms more: 1.1·500 mm/s² for 2.2 ms is 1.2 mm/s, and for the
    // one before, which takes all axes, 1.1·955 mm/s² for 2.2 ms is 2.3 mm/s: 37.7² + 38.8² of 2·40².
    let worst = found.check("sudden stop")["worst"].as_f64().unwrap();
    assert!((117_000.0..=128_000.0).contains(&worst), "{worst}");

    // The arc of line 11 takes x to the left after 2400 steps to the right.
    let (found, _) = paused(&mut bench, steps_x[2_600]);
    assert_eq!(found.failed(), ["sudden stop"]);
    assert_eq!(found.check("sudden stop")["line"], 11);

    // The exact stop of line 16 is at y = 20 mm: 40 mm up, 20 mm down.
    let (found, _) = paused(&mut bench, steps_y[80 * 60 - 1]);
    assert_eq!(found.failed(), [""; 0]);
}
