//! Backlash in the machine file: take-ups are moves of their own, and all checks are made on them.

use crate::workshop::{MACHINE, Workshop, number, top};
use serde_json::Value;

/// 0.25 mm of x and 0.125 mm of y: 20 and 10 steps.
fn with_play() -> String {
    let mut axes = ["\"0.25 mm\"", "\"0.125 mm\"", "\"0 mm\""].into_iter();
    let mut text = String::new();
    for line in MACHINE.lines() {
        text += line;
        text += "\n";
        if line.starts_with("travel") {
            text += &format!("backlash = {}\n", axes.next().unwrap());
        }
    }
    text
}

#[track_caller]
fn played(program: &str, more: &[&str]) -> (Workshop, Value) {
    let shop = Workshop::new();
    shop.write("machine.toml", with_play());
    shop.write("part.nc", program);
    let start = [
        "part.nc",
        "--machine",
        "machine.toml",
        "--out",
        "out",
        "--json",
    ];
    let said = shop.simulate(&[&start, more].concat());
    assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
    let summary = serde_json::from_str(&said.out).unwrap();
    (shop, summary)
}

/// There and back in x, twice, and y once: every reversal takes up, and nothing else does. The first move of an
/// axis finds its play as it is.
#[test]
fn each_reversal_takes_up_and_nothing_else_does() {
    let program = "G21 G90 G1 F1200\nX10\nX20\nX5\nX15\nY10\nY0\nX0 Y5\nM2\n";
    let (shop, summary) = played(program, &[]);
    let table = shop.table("out/moves.csv");
    let kinds: Vec<(String, String)> = (table.texts("line").into_iter())
        .zip(table.texts("kind"))
        .map(|(line, kind)| (line.to_owned(), kind.to_owned()))
        .collect();
    let take_ups: Vec<&str> = (kinds.iter())
        .filter(|(_, kind)| kind == "take-up")
        .map(|(line, _)| line.as_str())
        .collect();
    // Line 8 turns both at once, in one move.
    assert_eq!(take_ups, ["4", "5", "7", "8"]);
    // 20 + 15 + 10 mm, then 10 + 10 mm, then 15 and 5 mm; 20 steps for each of the three reversals of x, 10 for
    // the two of y.
    assert_eq!(
        number(&summary, "/steps/x"),
        (45.0 + 15.0) * 80.0 + 3.0 * 20.0
    );
    assert_eq!(number(&summary, "/steps/y"), 25.0 * 80.0 + 2.0 * 10.0);
    // x went back last, so its motor is behind; y went up.
    assert_eq!(number(&summary, "/end_mm/x"), -0.25);
    assert_eq!(number(&summary, "/end_mm/y"), 5.0);
}

/// A circle turns back four times in all; where it begins and ends, x turns as it does at the far side.
#[test]
fn a_circle_takes_up_where_an_axis_turns() {
    let program = "G21 G90 G17 G1 F1200\nX20\nG3 X20 Y0 I-10 J0\nM2\n";
    let (shop, _) = played(program, &[]);
    let kinds = shop.table("out/moves.csv");
    let count = kinds
        .texts("kind")
        .iter()
        .filter(|kind| **kind == "take-up")
        .count();
    // x turns at once, and at the far side; y at the top and at the bottom.
    assert_eq!(count, 4);
}

#[test]
fn a_machine_without_play_has_no_take_ups() {
    let shop = Workshop::new();
    shop.pass("G21 G90 G1 F1200\nX10\nX0\nM2\n", &[]);
    assert!(!shop.text("out/moves.csv").contains("take-up"));
}

/// Held, overridden and ended with take-ups in the queue, from a short one to a long one.
#[test]
fn events_and_take_ups_go_together() {
    let script = "at 0.4 s: hold\nat 0.6 s: resume\nat 0.8 s: feed 30 %\nat 1.5 s: feed 180 %\n\
                  at 2 s: stall 100 ms\nat 2.5 s: end\n";
    let program = "G21 G90 G1 F3000\n".to_owned()
        + &(0..200)
            .map(|k| format!("X{} Y{}\n", 3 * (k % 5), 2 * (k % 3)))
            .collect::<String>()
        + "M2\n";
    let shop = Workshop::new();
    for queue in [2, 3, 32, 500] {
        let machine = with_play().replace("look_ahead = 32", &format!("look_ahead = {queue}"));
        shop.write("machine.toml", machine);
        shop.write("part.nc", &program);
        shop.write("events.txt", script);
        let said = shop.simulate(&[
            "part.nc",
            "--machine",
            "machine.toml",
            "--events",
            "events.txt",
        ]);
        assert_eq!(
            (said.status, said.err.as_str()),
            (0, ""),
            "{queue}: {}",
            said.out
        );
        assert!(said.out.contains("end "), "{}", said.out);
    }
}

#[test]
fn real_programs_keep_every_limit_with_play() {
    for program in ["coastline.nc", "lettering.nc", "relief.nc"] {
        for machine in ["belt-router.toml", "screw-router.toml"] {
            let shop = Workshop::new();
            let text = std::fs::read_to_string(top().join("docs/demo").join(machine)).unwrap();
            let text: String = (text.lines())
                .map(|line| match line.starts_with("travel") {
                    true => format!("{line}\nbacklash = \"0.05 mm\"\n"),
                    false => format!("{line}\n"),
                })
                .collect();
            shop.write("machine.toml", text);
            let program = top().join("tests/programs").join(program);
            let arguments = [
                program.as_os_str(),
                "--machine".as_ref(),
                "machine.toml".as_ref(),
            ];
            let said = shop.simulate(&arguments);
            assert_eq!(
                (said.status, said.err.as_str()),
                (0, ""),
                "{program:?}\n{}",
                said.out
            );
        }
    }
}

#[test]
fn a_backlash_out_of_range_is_refused() {
    for (value, cause) in [
        ("\"6 mm\"", "`axis.x.backlash` is above its range"),
        ("\"-0.1 mm\"", "`axis.x.backlash` is below its range"),
        ("\"0.05\"", "has no unit"),
        ("0.05", "has no unit"),
    ] {
        let shop = Workshop::new();
        shop.write(
            "machine.toml",
            with_play().replacen("\"0.25 mm\"", value, 1),
        );
        shop.write("part.nc", "M2\n");
        let said = shop.simulate(&["part.nc", "--machine", "machine.toml"]);
        assert_eq!(said.status, 2, "{value}");
        let words = crate::workshop::words(&said.err);
        assert!(words.contains(cause) && words.contains("help: "), "{words}");
    }
}

/// A start between two counts of the planner's coordinates is where the path begins for the checker too.
#[test]
fn a_start_off_the_grid_is_no_fault() {
    let shop = Workshop::new();
    shop.write("part.nc", "G21 G90 G1 F1200\nX20 Y10\nM2\n");
    let said = shop.simulate(&[
        "part.nc",
        "--machine",
        "machine.toml",
        "--start",
        "13.607 mm, 3.4521 mm, 0.0001 mm",
    ]);
    assert_eq!(said.status, 0, "{}", said.out);
}
