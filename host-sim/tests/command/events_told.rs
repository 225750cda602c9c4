//! What `simulate --events` tells of a run: causes, sums, tables and pictures, with figures worked out by hand.

use crate::events::{STRAIGHT, near, played, short_moves, summary};
use crate::workshop::{Said, Workshop, flat, number, top};
use serde_json::Value;
use std::fmt::Write;

/// What a run said, and its report, summary and pictures. Every check passes.
pub struct Told {
    pub shop: Workshop,
    said: Said,
}

impl Told {
    #[track_caller]
    pub fn of(program: &str, events: &str) -> Self {
        let shop = Workshop::new();
        let out = shop.path("out").display().to_string();
        let said = played(&shop, program, events, &["--out", &out]);
        assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
        Self { shop, said }
    }

    /// The words of the report.
    fn report(&self) -> String {
        words_of(&self.shop.text("out/report.html"))
    }

    fn summary(&self) -> Value {
        serde_json::from_str(&self.shop.text("out/summary.json")).unwrap()
    }
}

/// A page without its tags.
fn words_of(page: &str) -> String {
    let mut words = String::new();
    for part in page.split('<') {
        let after = part.split_once('>').map_or(part, |(_, after)| after);
        words += after;
        words.push(' ');
    }
    flat(&words)
}

/// All that is lost, and the sum of its rows.
#[track_caller]
fn adds_up(summary: &Value) -> f64 {
    let all = number(summary, "/job_time_s") - number(summary, "/feed_time_s");
    let rows = summary["time_lost_s"].as_object().unwrap().values();
    near(
        rows.map(|seconds| seconds.as_f64().unwrap()).sum(),
        all,
        1e-9,
    );
    all
}

/// From 50 mm/s down to 30 with 500 mm/s² takes 0.04 s and 1.6 mm, for which cruising takes 0.032 s. Braking from 30
/// takes 0.9 mm; there it is as fast as it would be without an override.
#[test]
fn a_slower_feed_loses_what_its_speed_loses() {
    let told = summary(STRAIGHT, "queue 20 ms\nat 0.5 s: feed 60 %\n");
    let slow_mm = 100.0 - 50.0 * (number(&told, "/events/0/acts_s") - 0.05) - 1.6 - 0.9;
    let override_s = 0.04 - 0.032 + slow_mm * (1.0 / 30.0 - 1.0 / 50.0);
    near(
        number(&told, "/time_lost_s/feed override"),
        override_s,
        1e-5,
    );
    near(number(&told, "/time_lost_s/feed"), 0.0, 1e-6);
    // Pulling away to 50 mm/s and braking from 30: 0.1 s for 2.5 mm, 0.06 s for 0.9 mm.
    let stops_s = (0.1 - 0.05) + (0.06 - 0.018);
    near(number(&told, "/time_lost_s/stop"), stops_s, 1e-5);
    near(adds_up(&told), override_s + stops_s, 2e-5);
}

/// Faster than programmed is a loss below 0: from 50 to 75 mm/s and down again, 0.05 s and 3.125 mm each; then the
/// last 2.5 mm as ever.
#[test]
fn a_faster_feed_gains_in_a_row_of_its_own() {
    let told = Told::of(STRAIGHT, "queue 20 ms\nat 0.5 s: feed 150 %\n");
    let found = told.summary();
    let fast_mm = 100.0 - 50.0 * (number(&found, "/events/0/acts_s") - 0.05) - 2.0 * 3.125 - 2.5;
    let gained_s = 2.0 * (3.125 / 50.0 - 0.05) + fast_mm * (1.0 / 50.0 - 1.0 / 75.0);
    // A ramp that passes 50 mm/s may count on either side: 10 ms, in which the speed is off by 5 mm/s at most.
    near(
        number(&found, "/time_lost_s/feed override"),
        -gained_s,
        0.01 * 0.1,
    );
    adds_up(&found);
    let row = |name: &str| {
        let mut lines = told.said.out.lines().filter(|line| line.starts_with(name));
        let line = lines
            .next()
            .unwrap_or_else(|| panic!("{name}: {}", told.said.out));
        let mut words = line[name.len()..].split_whitespace();
        words.next().unwrap().parse::<f64>().unwrap()
    };
    assert!(row("feed overrides") < -0.1);
    // Of two digits each.
    near(
        row("feed overrides") + row("starts and stops"),
        row("all"),
        0.011,
    );
    assert!(flat(&told.said.out).contains("at the feeds of the program, without overrides"));
    assert!(told.report().contains("feed overrides −"));
}

/// A quarter of the limit, 25 mm/s: pulling away and braking over 0.625 mm each.
#[test]
fn a_slower_rapid_loses_what_its_speed_loses() {
    let program = "G21 G90 G1 X10 F1500\nG0 X90\nG1 X100\nM2\n";
    let told = summary(program, "queue 20 ms\nat 0.1 s: rapid 25 %\n");
    // All of the rapid is at the 25 mm/s of the cuts before and after it: 80 mm at 25 and not at 100 mm/s.
    let lost_s = 80.0 / 25.0 - 80.0 / 100.0;
    near(number(&told, "/time_lost_s/rapid override"), lost_s, 1e-5);
    adds_up(&told);
}

#[test]
fn the_report_names_the_override_and_no_axis() {
    let part = top().join("tests/programs/coastline.nc");
    let program = std::fs::read_to_string(part).unwrap();
    let events = std::fs::read_to_string(top().join("docs/demo/events.txt")).unwrap();
    let shop = Workshop::new();
    shop.write("part.nc", program);
    shop.write("events.txt", events);
    let [program, events, out] = ["part.nc", "events.txt", "out"].map(|name| shop.path(name));
    let machine = top().join("docs/demo/belt-router.toml");
    let said = shop.simulate(&[
        program.as_os_str(),
        "--machine".as_ref(),
        machine.as_os_str(),
        "--events".as_ref(),
        events.as_os_str(),
        "--out".as_ref(),
        out.as_os_str(),
    ]);
    assert_eq!(said.status, 0, "{}", said.err);
    let report = words_of(&shop.text("out/report.html"));
    let (_, places) = report.split_once("Why, and where").unwrap();
    assert!(places.contains("feed override 50 %: the moves keep to that part of their feed."));
    assert!(places.contains("the machine stood for 1.9 s"), "{places}");
    // Cuts of 30 mm/s, by axes that go at 133.3.
    for wrong in ["cannot follow their feed", "moves at the programmed feed"] {
        assert!(!places.contains(wrong), "{wrong}");
    }
    // What 150 % gains is no place that costs time, but part of the sum.
    assert!(places.contains("feed overrides"), "{places}");
    let summary: Value = serde_json::from_str(&shop.text("out/summary.json")).unwrap();
    let all = adds_up(&summary);
    assert!(places.contains(&format!("{all:.3}")), "{all}: {places}");
}

/// A low feed of the program, in the neighbour of a move with an override: each loses its own.
#[test]
fn all_places_add_up_under_overrides_holds_and_stalls() {
    let mut program = String::from("G21 G90\n");
    for k in 1..=120 {
        let feed = if k % 7 == 0 { 600 } else { 3000 };
        let y = k % 3;
        writeln!(program, "G1 X{k} Y{y} F{feed}").unwrap();
    }
    program += "G0 X0 Y0\nM2\n";
    let events = "at 0.3 s: feed 60 %\nat 1 s: hold\nat 1.5 s: rapid 50 %\nat 2 s: resume\n\
        at 3 s: feed 170 %\nat 4 s: feed 90 %\nat 4.4 s: feed 40 %\nat 5 s: stall 9 s\nat 15 s: feed 100 %\n";
    let told = Told::of(&program, events);
    let all = adds_up(&told.summary());
    let report = told.report();
    let said = format!("{all:.3}");
    let (before, _) = report.split_once("all time lost").unwrap();
    let (_, places) = before.split_once("Why, and where").unwrap();
    assert!(places.contains(&said), "{said}: {places}");
    // The parts of the job lose the same: holds and stalls, one of each.
    let (_, parts) = report.split_once("holds and stalls").unwrap();
    assert!(parts.trim_start().starts_with("2 – "), "{parts}");
    let (_, all_parts) = parts.split_once(" all ").unwrap();
    assert!(
        all_parts.split("Time lost").next().unwrap().contains(&said),
        "{all_parts}"
    );
}

#[test]
fn a_stall_says_where_and_how_long_it_stood_or_that_it_did_not() {
    let told = Told::of(&short_moves(), "at 0.5 s: stall 20 s\n");
    let found = told.summary();
    let (rests, stands) = (
        number(&found, "/events/0/rests_s"),
        number(&found, "/events/0/stands_s"),
    );
    // 32 moves of 0.5 mm last 0.32 s at speed, and a little more as it brakes; it stands until moves come.
    assert!((0.8..1.1).contains(&rests), "{rests}");
    near(rests + stands, 20.5, 1e-6);
    let x = number(&found, "/events/0/rests_mm/x");
    // On the end of the move that it says, from line 2 on.
    near(number(&found, "/events/0/rests_line"), x / 0.5 + 1.0, 1e-6);
    assert!(found.pointer("/events/0/promised_s").is_none());
    for words in [
        "stall 20 s",
        "stands after",
        &format!("{rests:.3}"),
        &format!("{stands:.3}"),
    ] {
        assert!(told.said.out.contains(words), "{words}: {}", told.said.out);
    }
    let picture = told.shop.text("out/events.svg");
    for words in ["no moves come", "at rest", "stands for 19."] {
        assert!(picture.contains(words), "{words}");
    }
    let short = Told::of(&short_moves(), "at 0.5 s: stall 100 ms\n");
    assert!(
        short.said.out.contains("queued moves lasted"),
        "{}",
        short.said.out
    );
    assert!(
        !short.said.out.contains("stands after"),
        "{}",
        short.said.out
    );
    assert!(
        short
            .shop
            .text("out/events.svg")
            .contains("queued moves lasted")
    );
}

/// A hold that is taken back before it stands has not stood, whatever comes to rest later.
#[test]
fn a_hold_that_never_stands_is_told_without_a_rest() {
    let told = summary(STRAIGHT, "queue 20 ms\nat 1 s: hold\nat 1.03 s: resume\n");
    assert!(told.pointer("/events/0/rests_s").is_none(), "{told}");
}

#[test]
fn the_event_that_ends_the_job_is_never_left_out() {
    let mut events = String::from("queue 20 ms\n");
    for k in 0..60 {
        writeln!(
            events,
            "at {:.2} s: feed {} %",
            0.02 * f64::from(k),
            50 + k % 2
        )
        .unwrap();
    }
    events += "at 1.4 s: contact\n";
    let told = Told::of(STRAIGHT, &events);
    let said = flat(&told.said.out);
    assert!(
        said.contains("ended early by the contact at 1.400 s: it stops in line 1, and the rest")
    );
    assert!(said.contains("… 21 more …"), "{said}");
    assert!(said.contains("contact 1.400"), "{said}");
    let report = told.report();
    assert!(report.contains("by the contact at 1.400 s"));
    let (_, tables) = report.split_once("Where it stood for them").unwrap();
    let said = flat(&said_in(&told.summary()));
    assert!(tables.contains(&said), "{said}: {tables}");
    let picture = told.shop.text("out/events.svg");
    assert!(picture.contains("contact at 1.400 s, line 1") && picture.contains("48 more events"));
}

/// The row of the last event in the table of stands.
fn said_in(summary: &Value) -> String {
    let last = "/events/60";
    let at = |key: &str| number(summary, &format!("{last}/{key}"));
    format!("contact {:.3} end 1 {:.3}", at("rests_s"), at("rests_mm/x"))
}
