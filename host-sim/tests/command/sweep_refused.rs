//! Sweeps that are refused: with cause and remedy, and nothing is written.

use crate::workshop::{Workshop, words};

/// What is varied, a part of the cause, a part of the remedy.
const BAD: [(&[&str], &str, &str); 24] = [
    (
        &["axis.x.aceleration_limit=1 mm/s^2..2 mm/s^2:3"],
        "no setting",
        "axis.x.acceleration_limit",
    ),
    (
        &["acceleration=1 mm/s^2..2 mm/s^2:3"],
        "no setting",
        "the settings are",
    ),
    (
        &["axis.w.speed_limit=1 mm/s..2 mm/s:3"],
        "no setting",
        "did you mean",
    ),
    (&["resolution=1..2:3"], "no setting", "the settings are"),
    (&["=1..2:3"], "no setting", "the settings are"),
    (&["feed"], "no `=`", "NAME=FROM..TO:COUNT"),
    (&["feed=1..2"], "no `:COUNT`", "NAME=FROM..TO:COUNT"),
    (&["feed=1-2:3"], "no `..`", "NAME=FROM..TO:COUNT"),
    (&["feed=x..2:3"], "`x` is not a number", "120 %"),
    (&["feed=inf..2:3"], "`inf` is not a number", "120 %"),
    (&["feed=0.5..nan:3"], "`nan` is not a number", "120 %"),
    (&["feed=0..2:3"], "more than 0", "a machine can have"),
    (&["feed=-1..2:3"], "more than 0", "a machine can have"),
    (
        &["feed=2..1:3"],
        "is not more than 200 %",
        "lower end first",
    ),
    (
        &["feed=1..1:3"],
        "is not more than 100 %",
        "lower end first",
    ),
    (&["feed=1..2:1"], "`1` is not a count", "how many values"),
    (&["feed=1..2:201"], "from 2 to 200", "how many values"),
    (&["feed=1..2:-3"], "`-3` is not a count", "how many values"),
    (
        &["axis.x.speed_limit=1..2 mm/s:3"],
        "`1` has no unit",
        "8 m/min",
    ),
    (
        &["axis.x.speed_limit=1 mm/s^2..2 mm/s:3"],
        "is an acceleration",
        "the units are",
    ),
    (
        &["junction_deviation=0.01 mn..0.02 mm:3"],
        "unknown unit `mn`",
        "did you mean",
    ),
    (
        &["look_ahead=4.5..8:3"],
        "not a whole number of moves",
        "2 to 16384",
    ),
    (
        &["feed=1..2:3", "feed=1..2:3"],
        "change the same number",
        "nothing in common",
    ),
    (
        &[
            "axis.all.speed_limit=1..2:3",
            "axis.y.speed_limit=1 mm/s..2 mm/s:3",
        ],
        "change the same number",
        "nothing in common",
    ),
];

fn refused(vary: &[&str], cause: &str, remedy: &str) {
    let shop = Workshop::new();
    shop.write("part.nc", "G21 G90\nG1 X20 F3000\n");
    let mut arguments = vec!["part.nc", "--machine", "machine.toml", "--out", "out"];
    for text in vary {
        arguments.extend(["--vary", text]);
    }
    let said = shop.run("sweep", &arguments);
    assert_eq!((said.status, said.out.as_str()), (2, ""), "{vary:?}");
    let text = words(&said.err);
    assert!(text.contains(cause), "{cause} missing in\n{}", said.err);
    let (_, help) = text.split_once("help: ").expect("a remedy");
    assert!(help.contains(remedy), "{remedy} missing in\n{}", said.err);
    assert_eq!(shop.names("."), ["machine.toml", "part.nc"], "{vary:?}");
}

#[test]
fn bad_names_and_ranges_are_refused() {
    for (vary, cause, remedy) in BAD {
        refused(vary, cause, remedy);
    }
}

#[test]
fn moves_that_are_not_whole_are_refused_with_a_count_that_fits() {
    // 12 moves in 4 steps are whole; in 7 they are not, and 6 steps are nearest.
    refused(
        &["look_ahead=4..16:8"],
        "8 values from 4 to 16 are not whole moves",
        ":7",
    );
}

#[test]
fn a_third_setting_is_refused() {
    refused(
        &[
            "feed=1..2:3",
            "look_ahead=4..8:3",
            "junction_deviation=0.01 mm..0.02 mm:3",
        ],
        "a third --vary",
        "one or two",
    );
}

#[test]
fn a_grid_without_a_point_is_refused() {
    for (vary, cause) in [
        (
            "axis.x.speed_limit=2001 mm/s..3000 mm/s:3",
            "above its range",
        ),
        ("junction_deviation=2 mm..3 mm:3", "above its range"),
        ("look_ahead=20000..20002:3", "20000 moves"),
        ("feed=200..300:3", "`feed` is 200 times what it is now"),
    ] {
        refused(&[vary], "no point of the grid can be planned", "");
        refused(&[vary], cause, "");
    }
}

#[test]
fn programs_and_machines_are_refused_as_by_simulate() {
    let shop = Workshop::new();
    shop.write("part.nc", "G21\nG1 X1o F600\n");
    shop.write("still.nc", "G21\nM2\n");
    for (program, machine, cause) in [
        ("part.nc", "machine.toml", "part.nc:2:6"),
        ("gone.nc", "machine.toml", "gone.nc"),
        (".", "machine.toml", "."),
        ("part.nc", "gone.toml", "gone.toml"),
        ("still.nc", "machine.toml", "takes no time"),
    ] {
        let said = shop.run(
            "sweep",
            &[
                program,
                "--machine",
                machine,
                "--vary",
                "feed=1..2:3",
                "--out",
                "out",
            ],
        );
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{cause}");
        assert!(words(&said.err).contains(cause), "{}", said.err);
        assert!(said.err.contains("help: "), "{}", said.err);
        assert!(!shop.path("out").exists());
    }
}

#[test]
fn wrong_arguments_are_refused_by_the_parser() {
    let shop = Workshop::new();
    shop.write("part.nc", "G21 G1 X1 F60\n");
    let vary = [
        "part.nc",
        "--machine",
        "machine.toml",
        "--vary",
        "feed=1..2:3",
    ];
    for (arguments, cause) in [
        (&vary[..3], "--vary <NAME=FROM..TO:COUNT>"),
        (&[&vary[..], &["--png"]].concat(), "--out <DIR>"),
        (&[&vary[..], &["--start", "1, 2, 3"]].concat(), "x: "),
    ] {
        let said = shop.run("sweep", arguments);
        assert_eq!((said.status, said.out.as_str()), (2, ""));
        assert!(said.err.contains(cause), "{}", said.err);
    }
}
