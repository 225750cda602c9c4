//! The summary on the terminal, and the streams it goes to.

use crate::workshop::{MACHINE, SOME_OF_EVERYTHING, Workshop, flat};
use spokeshave_sim::cli::{Job, Reading, Simulate};
use spokeshave_sim::simulate::simulate;
use spokeshave_sim::terminal;
use std::process::{Command, Stdio};

/// The usual least height of a terminal is 24 lines; a maximised window on a laptop has about 50
/// (common practice, no source). Widths: 80 columns.
#[test]
fn the_summary_fits_a_screen() {
    let shop = Workshop::new();
    let said = shop.pass(SOME_OF_EVERYTHING, &[]);
    assert!(said.out.lines().count() <= 50, "{}", said.out);
    fits(&said.out);
}

fn fits(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= 80 && !line.ends_with(' '), "{line}");
    }
}

#[test]
fn the_answers_of_all_commands_fit_its_width() {
    let shop = Workshop::new();
    shop.write("part.nc", SOME_OF_EVERYTHING);
    shop.write("slow.toml", MACHINE.replacen("500 mm/s^2", "300 mm/s^2", 1));
    let lengths = "junction_deviation=0.0123 mm..0.0789 mm:20";
    let commands: [(&str, &[&str]); 5] = [
        ("corners", &["--flutes", "2", "--chip-load", "0.05 mm"]),
        ("worth", &[]),
        ("sweep", &["--vary", lengths]),
        (
            "sweep",
            &[
                "--vary",
                "axis.all.speed_limit=0.3..9:30",
                "--vary",
                lengths,
            ],
        ),
        ("compare", &["--machine", "slow.toml", "--baseline", "slow"]),
    ];
    for (command, more) in commands {
        let start = ["part.nc", "--machine", "machine.toml"];
        let said = shop.run(command, &[&start, more].concat());
        assert_eq!((said.status, said.err.as_str()), (0, ""), "{command}");
        fits(&said.out);
    }
    // Long values and job times find room in fewer columns.
    shop.write("long.nc", "G21\nG4 P2000\nG1 X10 F600\nM2\n");
    let few = "junction_deviation=0.0123 mm..0.0789 mm:2";
    let limits = "axis.x.acceleration_limit=123.4567 mm/s^2..999.9999 mm/s^2:9";
    let more = [
        "long.nc",
        "--machine",
        "machine.toml",
        "--vary",
        limits,
        "--vary",
        few,
    ];
    let said = shop.run("sweep", &more);
    assert_eq!((said.status, said.err.as_str()), (0, ""));
    assert!(said.out.contains("33 min 2"), "{}", said.out);
    fits(&said.out);
}

#[test]
fn limits_show_which_side_is_allowed_and_short_times_show_digits() {
    let shop = Workshop::new();
    let out = shop.pass(SOME_OF_EVERYTHING, &[]).out;
    let row = |name: &str| {
        out.lines()
            .find(|line| line.trim().starts_with(name))
            .unwrap()
    };
    // 5 µs from the machine file; a change of direction takes the pulse's 2 µs and 5 µs more.
    for (name, limit) in [("pulse period", "≥ 5.000"), ("direction setup", "≥ 7.000")] {
        assert!(row(name).contains(limit), "{}", row(name));
        assert!(row(name).contains("µs"), "{}", row(name));
    }
    for name in ["feed", "axis speed, x", "straight acceleration, z", "rest"] {
        assert!(row(name).contains('≤'), "{}", row(name));
    }
    assert!(row("corners").contains('%'));
    assert!(out.contains("checks pass"), "{out}");
    // What is not checked is the last word.
    assert!(out.contains("\nNot checked: "), "{out}");
}

#[test]
fn checks_that_fail_stand_out() {
    let shop = Workshop::new();
    let program = shop.write("part.nc", "G21 G1 X10 F600\nM2\n");
    let machine = shop.write("machine.toml", MACHINE);
    let mut summary = simulate(&Simulate {
        job: Job {
            program,
            machine,
            reading: Reading::default(),
        },
        out: None,
        pulses: None,
        png: false,
        events: None,
        json: false,
    })
    .unwrap();
    assert!(summary.pass());
    let feed = summary
        .checks
        .iter_mut()
        .find(|check| check.name == "feed")
        .unwrap();
    feed.pass = false;
    let what = feed.what.clone();
    assert!(!summary.pass());
    let text = terminal::text(&summary);
    let row = text
        .lines()
        .find(|line| line.trim().starts_with("feed"))
        .unwrap();
    assert!(row.contains("FAIL"), "{row}");
    assert!(
        text.contains(&format!("1 of {} checks FAIL", summary.checks.len())),
        "{text}"
    );
    assert!(flat(&text).contains(&what), "{text}");
}

/// The bar waits for a second to pass. This many moves take about two on an ordinary machine; where
/// they take less than one, the test shows nothing but is right.
#[test]
fn nothing_but_errors_goes_to_standard_error_when_it_is_no_terminal() {
    let shop = Workshop::new();
    let long = "X0.05\nX0\n".repeat(600_000);
    let summary = shop.summary(
        format!("G21 G91 F600 G1\n{long}").replace("X0\n", "X-0.05\n"),
        &[],
    );
    assert_eq!(summary["moves"], 1_200_000);
}

#[test]
fn a_reader_that_leaves_early_is_no_error() {
    let shop = Workshop::new();
    shop.write("part.nc", SOME_OF_EVERYTHING);
    for more in [&["--out", "out"][..], &["--json"]] {
        let mut child = Command::new(env!("CARGO_BIN_EXE_spokeshave"))
            .current_dir(shop.path("."))
            .args(["simulate", "part.nc", "--machine", "machine.toml"])
            .args(more)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0));
        assert_eq!(String::from_utf8(output.stderr).unwrap(), "");
    }
    assert!(shop.path("out/summary.json").exists());
}
