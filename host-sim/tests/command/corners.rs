//! `corners`: what each place costs, against closed forms; and that all of it adds up.

use crate::workshop::{MACHINE, Workshop, flat, number, spokeshave};
use serde_json::Value;

/// The answer for `program` on the test bench: 500 mm/s² and 100 mm/s on each axis, 0.02 mm.
pub fn answer(program: &str, more: &[&str]) -> Value {
    answer_on(MACHINE, program, more)
}

fn answer_on(machine: &str, program: &str, more: &[&str]) -> Value {
    let shop = Workshop::new();
    shop.write("machine.toml", machine);
    shop.write("part.nc", program);
    let start = ["part.nc", "--machine", "machine.toml", "--json"];
    let said = shop.run("corners", &[&start, more].concat());
    assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
    serde_json::from_str(&said.out).unwrap()
}

/// The rows with this reason, in the order of the program.
fn rows<'a>(answer: &'a Value, reason: &str) -> Vec<&'a Value> {
    let mut rows: Vec<&Value> = answer["places"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|row| row["reason"] == reason)
        .collect();
    rows.sort_by(|a, b| number(a, "/time_s").total_cmp(&number(b, "/time_s")));
    rows
}

pub fn lost(row: &Value) -> f64 {
    number(row, "/lost_s")
}

/// All seconds that the answer names, whether told one by one or not.
fn sum(answer: &Value) -> f64 {
    let all = |key: &str| -> f64 { answer[key].as_array().unwrap().iter().map(lost).sum() };
    all("places") + all("other_places") + number(answer, "/rounding_s")
}

pub fn adds_up(answer: &Value) {
    let (job, feed) = (
        number(answer, "/job_time_s"),
        number(answer, "/feed_time_s"),
    );
    let whole = job - feed;
    assert!((number(answer, "/lost_s") - whole).abs() < 1e-9);
    assert!(
        (sum(answer) - whole).abs() < 1e-3,
        "{} {whole}",
        sum(answer)
    );
    let parts = answer["job"].as_array().unwrap();
    let time = |key: &str| -> f64 { parts.iter().map(|part| number(part, key)).sum() };
    assert!((time("/time_s") - job).abs() < 1e-3);
    assert!((time("/lost_s") - whole).abs() < 1e-3);
}

/// Equal to 1e-3 of itself: ramp ends lie on ticks of 1 µs and speeds in single precision, 1e-5 of
/// these times.
fn near(value: f64, expected: f64) {
    assert!(
        (value - expected).abs() < 1e-3 * expected,
        "{value}, expected {expected}"
    );
}

const V: f64 = 50.0;
const A: f64 = 500.0;

/// Time lost by changing speed between V and v at A, on one side: it takes (V − v)/a over a way of
/// V²/2a − v²/2a, which at V would take that way divided by V. That is (V − v)²/(2aV).
fn side(v: f64) -> f64 {
    let way = V * V / (2.0 * A) - v * v / (2.0 * A);
    (V - v) / A - way / V
}

#[test]
fn a_lone_corner_costs_its_closed_form() {
    let answer = answer("G21 G90\nG1 X100 F3000\nY100\nM2\n", &[]);
    // The inscribed circle of a right angle at deviation δ has the radius R = δ·s/(1 − s) with
    // s = sin 45° (geometry). Across the corner, both axes share: a·√2 is there for v²/R.
    let s = std::f64::consts::FRAC_1_SQRT_2;
    let v = (A * 2.0_f64.sqrt() * 0.02 * s / (1.0 - s)).sqrt();
    let [corner] = rows(&answer, "corner")[..] else {
        panic!("{answer}");
    };
    near(lost(corner), 2.0 * side(v));
    near(number(corner, "/reached_mm_s"), v);
    near(number(corner, "/asked_mm_s"), V);
    near(number(corner, "/turn_degrees"), 90.0);
    assert_eq!(corner["turn_within_mm"], 0.0);
    near(number(corner, "/position_mm/x"), 100.0);
    assert_eq!(number(corner, "/position_mm/y"), 0.0);
    let lines = ["line", "first_line", "last_line"].map(|key| corner[key].as_u64().unwrap());
    assert_eq!(lines, [2, 2, 3]);
    assert_eq!(number(corner, "/axis_limit"), 500.0);
    assert_eq!(corner["axis_limit_unit"], "mm/s²");
    near(
        number(corner, "/share"),
        2.0 * side(v) / number(&answer, "/job_time_s"),
    );
    let why = corner["why"].as_str().unwrap();
    assert!(why.starts_with("the path turns 90° at once"), "{why}");
    assert!(
        why.ends_with("can change speed by at most 500 mm/s²"),
        "{why}"
    );
    // From rest and to rest: V/2a each.
    let [start, end] = rows(&answer, "stop")[..] else {
        panic!("{answer}");
    };
    near(lost(start), V / (2.0 * A));
    near(lost(end), V / (2.0 * A));
    assert!(start["why"].as_str().unwrap().starts_with("the job starts"));
    assert!(end["why"].as_str().unwrap().starts_with("the job ends"));
    adds_up(&answer);
}

#[test]
fn braking_and_pulling_away_are_one_row_for_stops_and_slower_moves() {
    let answer = answer(
        "G21 G90\nG1 X50 F3000\nG4 P0.5\nX100\nX110 F600\nX160 F3000\nG61.1\nX190\nG64\nX140\nX100\n",
        &[],
    );
    let stops = rows(&answer, "stop");
    let words: Vec<&str> = stops
        .iter()
        .map(|row| row["why"].as_str().unwrap().split(';').next().unwrap())
        .collect();
    assert_eq!(
        words,
        [
            "the job starts from rest",
            "the program asks for a dwell",
            "the program asks for an exact stop (G61.1)",
            "the job ends at rest"
        ]
    );
    near(lost(stops[1]), 2.0 * side(0.0));
    near(lost(stops[2]), 2.0 * side(0.0));
    let [slower] = rows(&answer, "slower feed nearby")[..] else {
        panic!("{answer}");
    };
    near(lost(slower), 2.0 * side(10.0));
    near(number(slower, "/reached_mm_s"), 10.0);
    let lines = ["first_line", "last_line"].map(|key| slower[key].as_u64().unwrap());
    assert_eq!(lines, [4, 6]);
    adds_up(&answer);
}

/// 150 mm/s are asked for, and x has 100: nothing is below, yet time is lost all along.
#[test]
fn a_feed_past_an_axis_limit_is_a_row_of_its_own() {
    let answer = answer("G21 G90\nG1 X150 F9000\nX0 Y150\n", &[]);
    let [held] = rows(&answer, "x speed")[..] else {
        panic!("{answer}");
    };
    // The second move has a slope of 45°: √2 · 100 mm/s, and √2 · A.
    let root = 2.0_f64.sqrt();
    let corner = number(rows(&answer, "corner")[0], "/reached_mm_s");
    let ramp = |fast: f64, slow: f64, a: f64| (fast * fast - slow * slow) / (2.0 * a);
    let first = 150.0 - ramp(100.0, 0.0, A) - ramp(100.0, corner, A);
    let fast = 100.0 * root;
    let second = 150.0 * root - ramp(fast, 0.0, root * A) - ramp(fast, corner, root * A);
    near(
        lost(held),
        first * (1.0 / 100.0 - 1.0 / 150.0) + second * (1.0 / fast - 1.0 / 150.0),
    );
    near(number(held, "/reached_mm_s"), 100.0);
    near(number(held, "/asked_mm_s"), 150.0);
    assert_eq!(
        (&held["axis"], &held["axis_limit_unit"]),
        (&"x".into(), &"mm/s".into())
    );
    assert_eq!(held["turn_degrees"], Value::Null);
    let lines = ["first_line", "last_line"].map(|key| held[key].as_u64().unwrap());
    assert_eq!(lines, [2, 3]);
    // The start costs what it takes to reach the limit, beside the speed asked for.
    let start = rows(&answer, "stop")
        .into_iter()
        .find(|row| row["line"] == 2);
    let way = ramp(100.0, 0.0, A);
    near(lost(start.unwrap()), 100.0 / A - way / 150.0);
    adds_up(&answer);
}

/// The limit of x is never reached, so it costs nothing: √(a·s) on 5 mm is 50 mm/s at most.
#[test]
fn a_speed_limit_that_is_not_reached_costs_nothing() {
    let answer = answer("G21 G90\nG1 X5 F9000\nX0\n", &[]);
    assert!(rows(&answer, "x speed").is_empty(), "{answer}");
    adds_up(&answer);
}

#[test]
fn a_bend_of_chords_is_one_row_with_its_turn_and_length() {
    // A half circle of 10 mm between tangents; √(a·r) = 70.7 mm/s is below the feed.
    let answer = answer("G21 G90\nG1 X100 F6000\nG3 X100 Y20 I0 J10\nG1 X0\n", &[]);
    let [bend] = rows(&answer, "bend")[..] else {
        panic!("{answer}");
    };
    // From the first tangent to the last: a half circle, its chords shorter by 1/6000.
    near(number(bend, "/turn_degrees"), 180.0);
    near(number(bend, "/turn_within_mm"), 10.0 * std::f64::consts::PI);
    let why = bend["why"].as_str().unwrap();
    assert!(
        why.starts_with("the path turns 180° within 31 mm; "),
        "{why}"
    );
    adds_up(&answer);
}

#[test]
fn a_turn_back_stops_the_machine() {
    let answer = answer("G21 G90\nG1 X100 F3000\nX0\n", &[]);
    let [back] = rows(&answer, "corner")[..] else {
        panic!("{answer}");
    };
    near(number(back, "/turn_degrees"), 180.0);
    assert_eq!(number(back, "/reached_mm_s"), 0.0);
    assert_eq!(back["axis"], "x");
    near(lost(back), 2.0 * side(0.0));
}

/// Straight on in moves of 1 mm, of which two are known: at each junction a stop must be possible
/// within the one move ahead, so v² = 2·a·1 mm there.
#[test]
fn a_short_look_ahead_is_named_as_the_cause() {
    let machine = MACHINE.replace("look_ahead = 32", "look_ahead = 2");
    let mut program = String::from("G21 G90\nG1 F6000\n");
    for x in 1..=50 {
        program += &format!("X{x}\n");
    }
    let answer = answer_on(&machine, &program, &["--top", "100"]);
    adds_up(&answer);
    let ends = rows(&answer, "end of queue");
    assert!(!ends.is_empty(), "{answer}");
    for row in ends {
        let why = row["why"].as_str().unwrap();
        assert!(
            why.starts_with("the look-ahead of 2 moves ends here"),
            "{why}"
        );
        near(number(row, "/reached_mm_s"), (2.0 * A * 1.0).sqrt());
    }
}

#[test]
fn a_program_that_moves_nothing_has_no_places() {
    for (program, time) in [("M2\n", 0.0), ("G4 P1.5\nM2\n", 1.5)] {
        let answer = answer(program, &[]);
        assert_eq!(answer["places"], Value::Array(vec![]));
        assert_eq!(number(&answer, "/job_time_s"), time);
        assert_eq!(number(&answer, "/lost_s"), 0.0);
    }
}

#[test]
fn the_worst_turn_is_named_though_a_stop_costs_more() {
    let shop = Workshop::new();
    shop.write("part.nc", "G21 G90\nG1 X50 F3000\nX100 Y20\nM2\n");
    let said = shop.run("corners", &["part.nc", "--machine", "machine.toml"]);
    let text = flat(&said.out);
    assert!(
        text.contains("The worst corner is place 3, line 2:"),
        "{text}"
    );
    shop.write("part.nc", "G21 G1 X50 F3000\nM2\n");
    let said = shop.run("corners", &["part.nc", "--machine", "machine.toml"]);
    assert!(!said.out.contains("The worst"), "{}", said.out);
}

#[test]
fn places_too_close_for_full_speed_are_told() {
    let beside = |answer: &Value| -> Vec<bool> {
        let mut rows = answer["places"].as_array().unwrap().clone();
        rows.sort_by(|a, b| number(a, "/time_s").total_cmp(&number(b, "/time_s")));
        let told = |row: &Value| row["full_speed_beside"].as_bool().unwrap();
        rows.iter().map(told).collect()
    };
    // From 0 to 50 mm/s takes 2.5 mm: 100 mm are enough, 4 mm are too short for two.
    let long = answer("G21 G90\nG1 X100 F3000\nY100\nX0\n", &[]);
    assert_eq!(beside(&long), [true; 4]);
    let short = answer("G21 G90\nG1 X4 F3000\nY4\nX0\n", &[]);
    assert_eq!(beside(&short), [false; 4]);
    let mixed = answer("G21 G90\nG1 X4 F3000\nY4\nX-96\n", &[]);
    assert_eq!(beside(&mixed), [false, false, true, true]);
}

#[test]
fn help_has_an_example() {
    let output = spokeshave().args(["corners", "--help"]).output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(
        text.contains("spokeshave corners docs/demo/leaf.nc"),
        "{text}"
    );
}
