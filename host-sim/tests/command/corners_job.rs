//! `corners`: what the job time is made of, and how much of the cutting is slow.

use crate::corners::answer;
use crate::workshop::number;
use serde_json::Value;

/// Count, time and time lost of a part of the job; nothing where it has none.
fn part(answer: &Value, name: &str) -> Option<(u64, f64, f64)> {
    let parts = answer["job"].as_array().unwrap();
    let part = parts.iter().find(|part| part["part"] == name)?;
    Some((
        part["count"].as_u64().unwrap(),
        number(part, "/time_s"),
        number(part, "/lost_s"),
    ))
}

fn near(value: f64, expected: f64) {
    // Ticks of 1 µs and single precision: 1e-4 is ten times as much as they make of these values.
    assert!(
        (value - expected).abs() < 1e-4 * expected.max(1.0),
        "{value}, expected {expected}"
    );
}

/// From rest to rest over `way` at up to `speed`, 500 mm/s²: t = L/v + v/a while v²/a < L (Biagiotti,
/// Melchiorri, §3.2; from memory).
fn rest_to_rest(way: f64, speed: f64) -> f64 {
    assert!(speed * speed / 500.0 < way);
    way / speed + speed / 500.0
}

#[test]
fn each_part_of_the_job_is_in_its_class() {
    let program = "G21 G90\nG0 X100\nM3 S12000\nG4 P1.5\nG1 X50 F3000\nM0\nG0 Z20\nM6 T2\n\
                   G98 G82 X50 Z-20 R0 P0.25 F600\nG80\nM5\nM2\n";
    let answer = answer(program, &[]);
    let (count, time, lost) = part(&answer, "rapids").unwrap();
    assert_eq!(count, 2);
    near(
        time,
        rest_to_rest(100.0, 100.0) + 2.0 * (20.0_f64 / 500.0).sqrt(),
    );
    near(lost, time - 1.0 - 0.2);
    let (count, time, lost) = part(&answer, "cutting").unwrap();
    assert_eq!(count, 1);
    near(time, rest_to_rest(50.0, 50.0));
    near(lost, 0.1);
    // G4, and the bottom of the hole.
    let (count, time, _) = part(&answer, "dwells").unwrap();
    assert_eq!(count, 2);
    near(time, 1.75);
    // Down from 20 to 0 by rapid, on to -20 at 10 mm/s, and up 40 mm by rapid.
    let (count, time, lost) = part(&answer, "canned_cycles").unwrap();
    assert_eq!(count, 3);
    // Braking from the rapid to 10 mm/s happens in the rapid: peak v² = a·L + v₁²/2.
    let peak = (500.0_f64 * 20.0 + 50.0).sqrt();
    let down = peak / 500.0 + (peak - 10.0) / 500.0;
    let cut = 20.0 / 10.0 + 10.0 / 500.0 / 2.0;
    let up = rest_to_rest(40.0, 100.0);
    near(time, down + cut + up);
    near(lost, down + cut + up - 0.2 - 2.0 - 0.4);
    // How long these take is not in the program.
    for (name, count) in [
        ("spindle_waits", 2),
        ("tool_changes", 1),
        ("operator_stops", 1),
    ] {
        assert_eq!(part(&answer, name), Some((count, 0.0, 0.0)), "{name}");
    }
    let stops: Vec<&str> = answer["places"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|row| row["reason"] == "stop")
        .map(|row| row["why"].as_str().unwrap())
        .collect();
    for words in ["spindle (M3 to M5)", "operator", "change the tool", "dwell"] {
        assert!(
            stops.iter().any(|why| why.contains(words)),
            "{words} in {stops:?}"
        );
    }
}

#[test]
fn parts_that_a_job_does_not_have_are_left_out() {
    let answer = answer("G21 G90\nG1 X10 F600\nM2\n", &[]);
    assert_eq!(answer["job"].as_array().unwrap().len(), 1);
}

#[test]
fn slow_cutting_has_its_closed_form() {
    // Below p·V while pulling away and braking: p·V/a each time, over (pV)²/2a.
    let program = "G21 G90\nG0 Y100\nG1 X100 F3000\n";
    for (words, part) in [("80 %", 0.8), ("0.5", 0.5), ("100 %", 1.0)] {
        let answer = answer(program, &["--below", words]);
        let slow = &answer["slow_cutting"];
        near(number(slow, "/part"), part);
        // The rapid is no cutting. The corner after it is passed at some speed v: there, the
        // cutting begins at v, not at rest.
        near(number(slow, "/cutting/length_mm"), 100.0);
        let s = std::f64::consts::FRAC_1_SQRT_2;
        let v2 = 500.0 * 2.0_f64.sqrt() * 0.02 * s / (1.0 - s);
        let speed = part * 50.0;
        near(
            number(slow, "/below/time_s"),
            (2.0 * speed - v2.sqrt()) / 500.0,
        );
        near(
            number(slow, "/below/length_mm"),
            (2.0 * speed * speed - v2) / 1000.0,
        );
        assert_eq!(slow["rubbing"], Value::Null);
    }
}

#[test]
fn a_feed_below_the_chip_load_is_told() {
    // 12 000 /min × 2 × 0.1 mm = 40 mm/s. X100 is asked for at 50 mm/s, X50 at 20 mm/s.
    let program = "G21 G90\nG1 Y50 F3000\nM3 S12000\nX100\nG4 P1\nX50 F1200\nZ-5 F600\nM5\nX0\n";
    let bit = ["--flutes", "2", "--chip-load", "0.1 mm"];
    let answer = answer(program, &bit);
    let rubbing = &answer["slow_cutting"]["rubbing"];
    assert_eq!(rubbing["flutes"], 2);
    for at in [0, 1] {
        near(number(rubbing, &format!("/feed_mm_s/{at}")), 40.0);
    }
    // The plunge is left out; before M3 and after M5 nothing says how fast the spindle turns.
    near(number(rubbing, "/judged/length_mm"), 150.0);
    near(number(rubbing, "/unknown/length_mm"), 100.0);
    near(number(rubbing, "/programmed_below/length_mm"), 50.0);
    near(
        number(rubbing, "/below/length_mm"),
        50.0 + 2.0 * 40.0 * 40.0 / 1000.0,
    );
}

#[test]
fn a_program_at_its_chip_load_does_not_rub_where_it_is_steady() {
    let bit = ["--flutes", "2", "--chip-load", "0.1 mm"];
    let answer = answer("G21 G90\nM3 S15000\nG1 X100 F3000\n", &bit);
    let rubbing = &answer["slow_cutting"]["rubbing"];
    // Only from rest and to rest: V²/2a each.
    near(number(rubbing, "/below/length_mm"), 2.0 * 2500.0 / 1000.0);
    assert_eq!(number(rubbing, "/programmed_below/length_mm"), 0.0);
}
