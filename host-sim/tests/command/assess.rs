//! `assess`: the figures of worked examples, and what is said of them.

use crate::workshop::{MACHINE, Said, Workshop, flat, number};
use serde_json::Value;

/// 100 mm at 20 mm/s with 500 mm/s²: L/v + v/a = 5 s + 0.04 s.
pub const LINE: &str = "G21 G90\nG1 X100 F1200\nM2\n";

pub const JOBS: &str = r#"
currency = "crowns"
years_of_use = "4 years"
value_of_time = "18 crowns/h"

[machine.bench]
file = "machine.toml"
price = "720 crowns"
running_cost = "5 crowns/h"

[job.peg]
program = "line.nc"
parts_a_year = 1000
parts_per_set_up = 30
set_up = "10 min"
by_hand = "1 min"
left_by_hand = "12 s"
consumables = "0.01 crowns"
material = ["300 mm", "20 mm", "12 mm"]
"#;

pub fn shop() -> Workshop {
    let shop = Workshop::new();
    shop.write("line.nc", LINE);
    shop.write("jobs.toml", JOBS);
    shop
}

pub fn assess(shop: &Workshop, jobs: &str, more: &[&str]) -> Said {
    shop.write("jobs.toml", jobs);
    shop.run("assess", &[&["jobs.toml"], more].concat())
}

pub fn found(shop: &Workshop, jobs: &str, status: i32) -> Value {
    let said = assess(shop, jobs, &["--json"]);
    assert_eq!(
        (said.status, said.err.as_str()),
        (status, ""),
        "{}",
        said.out
    );
    serde_json::from_str(&said.out).unwrap()
}

/// Times are right to a tick of 1 µs for each of two ramps, and speeds to single precision of 5 s:
/// 3e-6 s of 5.04 s. No figure here depends more on the job time than in proportion.
#[track_caller]
fn is(value: &Value, at: &str, expected: f64) {
    let found = number(value, at);
    assert!(
        (found - expected).abs() <= 1e-6 * expected.abs(),
        "{at}: {found}, not {expected}"
    );
}

/// By hand, from the formulas of docs/assess.md. t = 5.04 s, S = 600 s, k = 30, N = 1000, L = 12 s,
/// H = 60 s, c = 0.01, P = 720, Y = 4, r = 5, w = 18.
///
/// - Hours: N·t = 1.4 h; ⌈1000/30⌉ = 34 set-ups, 34/6 h = 5.6667 h; N·L = 3.3333 h; N·H = 16.6667 h.
///   With it 10.4 h, so 6.2667 h saved, 22.56 s a part.
/// - Even from ⌈600/(60 − 5.04 − 12)⌉ = ⌈13.97⌉ = 14 parts a set-up.
/// - A part gains 18·22.56/3600 − 0.01 − 5·5.04/3600 = 0.1128 − 0.01 − 0.007 = 0.0958: the price is
///   earned after ⌈720/0.0958⌉ = ⌈7515.66⌉ = 7516 parts.
/// - A year costs 720/4 + 5·1.4 + 1000·0.01 = 197: 197/1.4 = 140.714 an hour that it runs, 197/6.2667 =
///   31.4362 an hour that it saves. It gains 18·6.2667 − 17 = 95.8 a year: 720/95.8 = 7.51566 years.
#[test]
fn a_job_and_a_machine_worked_by_hand() {
    let shop = shop();
    let all = found(&shop, JOBS, 0);
    let done = &all["rows"][0]["done"];
    is(done, "/job_time_s", 5.04);
    is(done, "/machine_h", 1.4);
    is(done, "/set_up_h", 34.0 / 6.0);
    is(done, "/left_by_hand_h", 10.0 / 3.0);
    is(done, "/by_hand_h", 50.0 / 3.0);
    is(done, "/saved_h", 6.0 + 4.0 / 15.0);
    is(done, "/saved_a_part_s", 22.56);
    assert_eq!(done["even_from_parts"], 14);
    assert_eq!(done["price_after_parts"], 7516);
    assert_eq!(done["stall_margin"], Value::Null);
    let total = &all["machines"][0];
    is(total, "/saved_h", 6.0 + 4.0 / 15.0);
    is(total, "/cost_a_year", 197.0);
    is(total, "/cost_an_hour", 197.0 / 1.4);
    is(total, "/cost_an_hour_saved", 197.0 * 15.0 / 94.0);
    is(total, "/price_after_years", 720.0 / 95.8);
    let sentence = total["sentence"].as_str().unwrap();
    for words in [
        "bench: the job fits it. That takes 10.4 h a year with it (1.40 h it runs, 5.67 h of set-ups, \
         3.33 h left to do by hand), and 16.7 h by hand alone: it saves 6.27 h a year.",
        "Over 4 years it costs 197.00 crowns a year, 140.71 crowns an hour that it runs, 31.44 crowns an \
         hour that it saves.",
        "At 18 crowns an hour of yours it earns its price in 7.5 years, longer than the 4 years of use; in \
         these it would take 88 % more work.",
    ] {
        assert!(sentence.contains(words), "{words} missing in {sentence}");
    }
}

/// 7.516 years are 0.2 % more than 7.5; of 2 years they are 3.758 times as much.
#[test]
fn how_much_more_work_it_would_take_is_never_none() {
    for (years, words) in [
        (
            "7.5",
            "just over 7.5 years, longer than the 7.5 years of use; in these it would take 1 % more work.",
        ),
        (
            "2",
            "in 7.5 years, longer than the 2 years of use; in these it would take 3.8 times as much work.",
        ),
    ] {
        let jobs = JOBS.replace("\"4 years\"", &format!("\"{years} years\""));
        let all = found(&shop(), &jobs, 0);
        let sentence = all["machines"][0]["sentence"].as_str().unwrap();
        assert!(sentence.contains(words), "{sentence}");
    }
}

/// At 40 an hour it gains 40·6.2667 − 17 = 233.67 a year: 720/233.67 = 3.081 years, 77.03 % of 4.
#[test]
fn the_share_of_the_work_that_would_do_is_said() {
    let all = found(
        &shop(),
        &JOBS.replace("\"18 crowns/h\"", "\"40 crowns/h\""),
        0,
    );
    let sentence = all["machines"][0]["sentence"].as_str().unwrap();
    let words =
        "it earns its price in 3.1 years; 78 % of this work would do within the 4 years of use.";
    assert!(sentence.contains(words), "{sentence}");
}

/// Two jobs on two machines add up, and without a value of time nothing is counted in it.
#[test]
fn totals_are_the_sums_of_what_fits() {
    let shop = shop();
    shop.write("long.nc", "G21 G90\nG1 X150 F1200\nM2\n");
    shop.write("small.toml", MACHINE.replace("\"200 mm\"", "\"120 mm\""));
    let jobs = JOBS
        .replace("value_of_time = \"18 crowns/h\"\n", "")
        .replace(
            "[job.peg]",
            "[machine.small]\nfile = \"small.toml\"\nprice = \"100 crowns\"\n\n[job.rail]\n\
         program = [\"long.nc\", \"line.nc\"]\nparts_a_year = 10\nset_up = \"6 min\"\n\
         by_hand = \"1 h\"\nconsumables = \"2 crowns\"\n\n[job.peg]",
        );
    let all = found(&shop, &jobs.replace("300 mm", "200 mm"), 0);
    let names: Vec<_> = all["rows"].as_array().unwrap().iter().collect();
    let pair = |at: usize| (names[at]["job"].as_str(), names[at]["machine"].as_str());
    assert_eq!(pair(1), (Some("rail"), Some("small")));
    assert_eq!(pair(2), (Some("peg"), Some("bench")));
    // 7.5 s + 0.04 s and 5.04 s: 12.58 s a part, ten of them; and 1.4 h of pegs.
    is(&names[0]["done"], "/job_time_s", 12.58);
    assert_eq!(names[0]["done"]["programs"][1]["program"], "line.nc");
    is(&all["machines"][0], "/machine_h", 125.8 / 3600.0 + 1.4);
    // 720/4, 5 an hour, 10 for pegs and 20 for rails.
    let cost = 180.0 + 5.0 * (125.8 / 3600.0 + 1.4) + 30.0;
    is(&all["machines"][0], "/cost_a_year", cost);
    // Only the pegs fit the small one, which costs nothing to run: 100/4 and 10.
    is(&all["machines"][1], "/machine_h", 1.4);
    is(&all["machines"][1], "/cost_a_year", 35.0);
    assert_eq!(
        all["machines"][1]["jobs_that_fit"],
        serde_json::json!([1, 2])
    );
    for row in &names {
        assert_eq!(row["done"]["price_after_parts"], Value::Null);
    }
    let sentence = all["machines"][1]["sentence"].as_str().unwrap();
    for words in [
        "1 of 2 jobs fits it, not rail.",
        // 35 over 6.2667 h.
        "It earns its price within that time where an hour of yours is worth 5.59 crowns or more.",
    ] {
        assert!(sentence.contains(words), "{words} missing in {sentence}");
    }
    let said = assess(&shop, &jobs, &[]);
    assert!(!said.out.contains("price after"), "{}", said.out);
    assert!(
        said.out.contains("an hour of yours: not said"),
        "{}",
        said.out
    );
}

/// The least set-up that is even: equal counts, and a job that takes longer never is.
#[test]
fn a_job_that_takes_longer_than_by_hand_never_breaks_even() {
    let shop = shop();
    // 12 s + 5.04 s with the machine.
    let jobs = JOBS.replace("\"1 min\"", "\"17 s\"");
    let all = found(&shop, &jobs, 0);
    let done = &all["rows"][0]["done"];
    assert_eq!(done["even_from_parts"], Value::Null);
    assert_eq!(done["price_after_parts"], Value::Null);
    // 20.4 s of set-ups a part, 17.04 s, less 17 s.
    is(done, "/saved_a_part_s", -20.44);
    let sentence = all["machines"][0]["sentence"].as_str().unwrap();
    for words in [
        "it takes 5.68 h more a year.",
        "it never earns its price.",
        "peg takes 0.3 min a part longer than by hand, and never breaks even.",
    ] {
        assert!(sentence.contains(words), "{words} missing in {sentence}");
    }
    // With the time of a part alone it is even, but not at 30 a set-up: 600/(30 − 17.04) = 46.3.
    let all = found(&shop, &JOBS.replace("\"1 min\"", "\"30 s\""), 0);
    assert_eq!(all["rows"][0]["done"]["even_from_parts"], 47);
    let sentence = all["machines"][0]["sentence"].as_str().unwrap();
    let words = "longer than by hand at 30 a set-up; it breaks even from 47 a set-up.";
    assert!(sentence.contains(words), "{sentence}");
}

#[test]
fn nothing_is_counted_without_numbers_at_the_ends_of_their_ranges() {
    let shop = shop();
    shop.write("still.nc", "M2\n");
    for (from, to) in [
        ("\"1 min\"", "\"0 min\""),
        ("\"1 min\"", "\"1000 h\""),
        ("\"720 crowns\"", "\"0 crowns\""),
        ("\"720 crowns\"", "\"1e9 crowns\""),
        ("\"18 crowns/h\"", "\"0 crowns/h\""),
        ("\"10 min\"", "\"0 s\""),
        ("= 1000\n", "= 1\n"),
        ("= 1000\n", "= 1_000_000\n"),
        ("\"4 years\"", "\"0.1 years\""),
        ("line.nc", "still.nc"),
    ] {
        assert!(JOBS.contains(from));
        let jobs = JOBS.replace(from, to);
        let said = assess(&shop, &jobs, &["--out", "out", "--png"]);
        assert_eq!((said.status, said.err.as_str()), (0, ""), "{to}");
        for nonsense in ["NaN", "inf", "-0.00", "-0 "] {
            assert!(!said.out.contains(nonsense), "{to}:\n{}", said.out);
            assert!(!shop.text("out/assess.csv").contains(nonsense), "{to}");
        }
    }
    let text = |from, to| flat(&assess(&shop, &JOBS.replace(from, to), &[]).out);
    assert!(text("\"720 crowns\"", "\"0 crowns\"").contains("there is no price to earn."));
    assert!(text("\"1 min\"", "\"0 min\"").contains("never breaks even."));
    // 1 of the 95.8 a year that it gains.
    let soon = text("\"720 crowns\"", "\"1 crowns\"");
    assert!(
        soon.contains("its price in less than 0.1 years; 1 % of this work"),
        "{soon}"
    );
    let all = found(&shop, &JOBS.replace("line.nc", "still.nc"), 0);
    assert_eq!(
        all["machines"][0]["cost_an_hour"],
        Value::Null,
        "it never runs"
    );
    let all = found(&shop, &JOBS.replace("\"720 crowns\"", "\"0 crowns\""), 0);
    assert_eq!(all["rows"][0]["done"]["price_after_parts"], 0);
    assert_eq!(all["machines"][0]["price_after_years"], 0.0);
}
