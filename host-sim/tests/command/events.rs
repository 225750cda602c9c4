//! `simulate --events`: what an operator does, with times and places worked out by hand, and real programs
//! under many events, with every check passing.

use crate::workshop::{SOME_OF_EVERYTHING, Said, Workshop, number, top};
use serde_json::Value;
use std::fmt::Write;

/// 100 mm along x at 50 mm/s; with 500 mm/s² that is 2.1 s from rest to rest.
pub const STRAIGHT: &str = "G21 G90 G1 X100 F3000\nM2\n";

/// The same in 200 moves of 0.5 mm.
pub fn short_moves() -> String {
    let mut program = String::from("G21 G90 G1 F3000\n");
    for k in 1..=200 {
        writeln!(program, "X{:.1}", 0.5 * f64::from(k)).unwrap();
    }
    program + "M2\n"
}

pub fn played(shop: &Workshop, program: &str, events: &str, more: &[&str]) -> Said {
    shop.write("part.nc", program);
    shop.write("events.txt", events);
    let [program, events, machine] =
        ["part.nc", "events.txt", "machine.toml"].map(|name| shop.path(name));
    let mut arguments = vec![
        program.as_os_str(),
        "--machine".as_ref(),
        machine.as_os_str(),
    ];
    arguments.extend(["--events".as_ref(), events.as_os_str()]);
    arguments.extend(more.iter().map(|word| word.as_ref() as &std::ffi::OsStr));
    shop.simulate(&arguments)
}

/// The summary of a run whose checks all pass.
#[track_caller]
pub fn summary(program: &str, events: &str) -> Value {
    let said = played(&Workshop::new(), program, events, &["--json"]);
    assert_eq!(
        (said.status, said.err.as_str()),
        (0, ""),
        "{events}\n{}",
        said.out
    );
    serde_json::from_str(&said.out).unwrap()
}

#[track_caller]
pub fn near(found: f64, expected: f64, margin: f64) {
    assert!(
        (found - expected).abs() <= margin,
        "{found}, not {expected}"
    );
}

/// Braking and pulling away take 0.1 s each and 2.5 mm, for which cruising takes 0.05 s; so a hold costs
/// 0.1 s and the time that it stands.
#[test]
fn a_hold_costs_what_braking_standing_and_pulling_away_take() {
    let summary = summary(STRAIGHT, "queue 40 ms\nat 1 s: hold\nat 3 s: resume\n");
    let of = |key: &str| number(&summary, key);
    let (acts, rests) = (of("/events/0/acts_s"), of("/events/0/rests_s"));
    // At the first end of a ramp, of 10 ms at most, when the queue is done.
    assert!((1.04..1.0501).contains(&acts), "{acts}");
    // A tick, as ramps end between ticks, and 1e-6 of the time.
    near(rests, acts + 0.1, 2e-6);
    assert!(rests - 1.0 <= of("/events/0/promised_s"));
    near(of("/job_time_s"), 2.1 + 0.1 + (3.0 - rests), 4e-6);
    near(of("/events/0/rests_mm/x"), 50.0 * (acts - 0.05) + 2.5, 1e-3);
    near(of("/time_lost_s/feed hold"), 0.1 + 3.0 - rests, 4e-6);
    near(of("/end_mm/x"), 100.0, 1.0 / 160.0);
}

/// Twice the feed is the axis's limit; half of it is half.
#[test]
fn overrides_change_the_speed_and_the_feed_is_judged_by_them() {
    for (percent, top) in [(200, 100.0), (120, 60.0)] {
        let events = format!("queue 10 ms\nat 0.5 s: feed {percent} %\n");
        let summary = summary(STRAIGHT, &events);
        near(number(&summary, "/peaks/x/speed_mm_s"), top, top * 1e-6);
    }
    let slow = summary(STRAIGHT, "at 0 s: feed 50 %\n");
    // What is queued at the start is planned at once: 50 ms, and a ramp.
    let seconds = number(&slow, "/job_time_s");
    assert!((4.0 - 0.06..4.1).contains(&seconds), "{seconds}");
    let rapid = "G21 G90 G0 X100\nM2\n";
    let seconds = number(&summary(rapid, "at 0 s: rapid 50 %\n"), "/job_time_s");
    assert!((2.0 - 0.06..2.2).contains(&seconds), "{seconds}");
}

/// Events wait for a line of the program.
#[test]
fn an_event_waits_for_its_line() {
    let program = "G21 G90 G1 F3000\nX40\nX80\n(nothing)\nX120\nM2\n";
    for (line, x) in [(2, 0.0), (3, 40.0), (4, 80.0), (5, 80.0)] {
        let events = format!("queue 10 ms\nat line {line}: hold\nat 10 s: resume\n");
        let summary = summary(program, &events);
        let rests = number(&summary, "/events/0/rests_mm/x");
        // 10 ms of queue, 10 ms for the ramp that was made then, and 2.5 mm to brake at most.
        assert!(
            (x..=x + 0.02 * 50.0 + 2.5).contains(&rests),
            "{line}: {rests}"
        );
    }
}

/// Without moves the machine comes to rest where the queue of 32 ends, and goes on from there.
#[test]
fn a_main_loop_that_stalls_stops_the_machine_at_the_end_of_what_it_knows() {
    let summary = summary(&short_moves(), "at 0.5 s: stall 2 s\n");
    let lost = number(&summary, "/time_lost_s/end of queue");
    // 32 moves of 0.5 mm last 0.32 s at speed: it stands for the rest of 2 s, more or less braking.
    assert!((1.5..1.9).contains(&lost), "{lost}");
    near(number(&summary, "/end_mm/x"), 100.0, 1.0 / 160.0);
}

/// At 1 s it has come 2.5 mm and 0.9 s at 50 mm/s: 47.5 mm, on a step.
#[test]
fn a_contact_is_known_to_the_step_and_ends_the_job() {
    let shop = Workshop::new();
    let out = shop.path("out").display().to_string();
    let more = ["--json", "--out", &out, "--pulses", "csv"];
    let said = played(&shop, STRAIGHT, "queue 20 ms\nat 1 s: contact\n", &more);
    assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
    let summary: Value = serde_json::from_str(&said.out).unwrap();
    near(number(&summary, "/events/0/contact_mm/x"), 47.5, 1.0 / 80.0);
    let rests = number(&summary, "/events/0/rests_mm/x");
    // 20 to 30 ms on, and 2.5 mm to brake.
    assert!(
        (47.5 + 1.0 + 2.5 - 0.02..47.5 + 1.5 + 2.5 + 0.02).contains(&rests),
        "{rests}"
    );
    near(number(&summary, "/end_mm/x"), rests, 1.0 / 160.0 + 1e-6);
    // The tables end where the machine rests.
    let moves = shop.text("out/moves.csv");
    let last: Vec<&str> = moves.lines().last().unwrap().split(',').collect();
    near(last[2].parse().unwrap(), rests, 1e-3);
    let pulses = shop.text("out/pulses.csv").lines().count() - 1;
    near(pulses as f64, rests * 80.0, 1.0);
}

/// An end in the middle of a dwell, of an arc, of a drilling cycle: wherever it is, all checks pass.
#[test]
fn it_may_end_anywhere() {
    let mut times = Vec::new();
    for k in 1..40 {
        let at = 0.02 + 0.17 * f64::from(k);
        let said = played(
            &Workshop::new(),
            SOME_OF_EVERYTHING,
            &format!("at {at:.3} s: end\n"),
            &["--json"],
        );
        if said.status == 2 {
            assert!(
                said.err.contains("all of the job is planned"),
                "{}",
                said.err
            );
            break;
        }
        assert_eq!(said.status, 0, "{at}: {}", said.out);
        let summary: Value = serde_json::from_str(&said.out).unwrap();
        times.push(number(&summary, "/job_time_s"));
    }
    assert!(times.len() > 20 && times.is_sorted(), "{times:?}");
}

/// A script without events changes nothing.
#[test]
fn no_event_is_the_plain_run() {
    let shop = Workshop::new();
    let said = played(
        &shop,
        SOME_OF_EVERYTHING,
        "# nothing\n\nqueue 50 ms\n",
        &["--json"],
    );
    let [program, machine] = ["part.nc", "machine.toml"].map(|name| shop.path(name));
    let plain = shop.simulate(&[
        program.as_os_str(),
        "--machine".as_ref(),
        machine.as_os_str(),
        "--json".as_ref(),
    ]);
    assert_eq!(said.out, plain.out);
}

#[test]
fn the_folder_holds_a_picture_of_the_events() {
    let shop = Workshop::new();
    let out = shop.path("out").display().to_string();
    let events = "at 0.5 s: hold\nat 1.5 s: resume\nat 1.7 s: feed 200 %\n";
    let said = played(&shop, STRAIGHT, events, &["--out", &out, "--png"]);
    assert_eq!(said.status, 0, "{}", said.err);
    for (words, times) in [("feed 200 %", 1), ("hold ", 1), ("after / promised ms", 1)] {
        assert!(
            said.out.matches(words).count() >= times,
            "{words}: {}",
            said.out
        );
    }
    let names = shop.names("out");
    for name in ["events.svg", "events.png"] {
        assert!(names.iter().any(|found| found == name), "{names:?}");
    }
    let picture = shop.text("out/events.svg");
    for words in ["hold at 0.500 s, line 1", "at rest", "asked", "acts"] {
        assert!(picture.contains(words), "{words}");
    }
    assert!(
        shop.text("out/report.html")
            .contains("Events of the script")
    );
}

/// Many events at moments that mean nothing, on real programs: holds, overrides of all sizes, stalls.
fn many(seed: u64, seconds: f64) -> String {
    let mut state = seed;
    let mut random = move || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (state >> 40) as f64 / f64::from(1 << 24)
    };
    let (mut text, mut at, mut held) = (String::from("queue 40 ms\n"), 0.3, false);
    while at < seconds || held {
        let pick = random();
        let event = if held {
            "resume".to_owned()
        } else if pick < 0.4 {
            "hold".to_owned()
        } else if pick < 0.8 {
            format!("feed {:.0} %", 10.0 + 190.0 * random())
        } else if pick < 0.9 {
            format!("rapid {:.0} %", 10.0 + 90.0 * random())
        } else {
            format!("stall {:.0} ms", 10.0 + 900.0 * random())
        };
        writeln!(text, "at {at:.4} s: {event}").unwrap();
        held = event == "hold";
        // Some at once, some later.
        at += random() * random() * 1.2;
    }
    text
}

#[test]
fn real_programs_keep_every_limit_under_many_events() {
    let programs = ["coastline.nc", "lettering.nc", "relief.nc"];
    for (seed, program) in (1..).zip(programs) {
        for machine in ["belt-router.toml", "screw-router.toml"] {
            let shop = Workshop::new();
            let program = top().join("tests/programs").join(program);
            let machine = top().join("docs/demo").join(machine);
            let events = shop.write("events.txt", many(seed, 60.0));
            let said = shop.simulate(&[
                program.as_os_str(),
                "--machine".as_ref(),
                machine.as_os_str(),
                "--events".as_ref(),
                events.as_os_str(),
                "--json".as_ref(),
            ]);
            assert_eq!(
                (said.status, said.err.as_str()),
                (0, ""),
                "{program:?}\n{}",
                said.out
            );
            let summary: Value = serde_json::from_str(&said.out).unwrap();
            let events = summary["events"].as_array().unwrap();
            assert!(events.len() > 100, "{}", events.len());
            for event in events {
                if let Some(took) = event["reaction_s"].as_f64() {
                    let most = event["promised_s"].as_f64().unwrap();
                    assert!(took <= most, "{event}");
                }
            }
        }
    }
}
