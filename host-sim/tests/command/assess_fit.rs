//! `assess`: jobs that do not fit a machine are named with the numbers, and the status says so.

use crate::assess::{JOBS, assess, found, shop};
use crate::workshop::{flat, words};
use serde_json::Value;

/// Program, and what is said of the travel of -100 to 200 mm in x and y, -100 to 100 mm in z.
const TOO_LARGE: [(&str, &[&str]); 4] = [
    (
        "G21 G90\nG1 X150 F1200\nX250\nX260\nX0\n",
        &[
            "peg does not fit bench: part.nc, line 4 goes to x = 260 mm, 60 mm beyond the travel of -100 \
           to 200 mm; in all it covers 260 mm of x, and the travel is 300 mm long.",
        ],
    ),
    (
        "G21 G90\nG0 Z5\nG1 Y-120 F1200\nZ-101.5\n",
        &[
            "line 3 goes to y = -120 mm, 20 mm beyond the travel of -100 to 200 mm; in all it covers \
             120 mm of y",
            "line 4 goes to z = -101.5 mm, 1.5 mm beyond the travel of -100 to 100 mm; in all it covers \
             106.5 mm of z, and the travel is 200 mm long.",
        ],
    ),
    // Both ends lie inside, but the arc bulges to 190 + 20.
    (
        "G21 G90\nG1 X190 Y0 F1200\nG3 X190 Y40 R20\n",
        &["line 3 goes to x = 210 mm, 10 mm beyond"],
    ),
    // Refused by the planner, and by no travel.
    (
        "G21\n\nG1 X1 F1000000\n",
        &["peg does not fit bench: part.nc is refused, line 3: "],
    ),
];

#[test]
fn a_job_that_does_not_fit_is_named_with_axis_and_numbers() {
    for (program, expected) in TOO_LARGE {
        let shop = shop();
        shop.write("part.nc", program);
        // The same is refused by `simulate`.
        let alone = shop.simulate(&["part.nc", "--machine", "machine.toml"]);
        assert_eq!(alone.status, 2, "{program}");
        let said = assess(&shop, &JOBS.replace("line.nc", "part.nc"), &[]);
        assert_eq!((said.status, said.err.as_str()), (1, ""), "{program}");
        let text = flat(&said.out);
        for words in expected {
            assert!(
                text.contains(&flat(words)),
                "{words} missing in\n{}",
                said.out
            );
        }
        for words in ["No machine fits: peg.", "bench: the job does not fit it."] {
            assert!(text.contains(words), "{words} missing in\n{}", said.out);
        }
    }
}

#[test]
fn the_json_has_the_numbers_of_a_misfit() {
    let shop = shop();
    shop.write("part.nc", TOO_LARGE[0].0);
    let all = found(&shop, &JOBS.replace("line.nc", "part.nc"), 1);
    let misfit = serde_json::json!({
        "reason": "travel",
        "program": "part.nc",
        "axis": "x",
        "at_mm": 260.0,
        "line": 4,
        "beyond_mm": 60.0,
        "travel_mm": [-100.0, 200.0],
        "spans_mm": 260.0,
    });
    assert_eq!(all["rows"][0]["misfits"], serde_json::json!([misfit]));
}

#[test]
fn material_larger_than_the_travel_does_not_fit() {
    let shop = shop();
    // As long as the travel it fits: see the example above.
    let jobs = JOBS.replace(
        "[\"300 mm\", \"20 mm\", \"12 mm\"]",
        "[\"300.5 mm\", \"1 in\", \"201 mm\"]",
    );
    let all = found(&shop, &jobs, 1);
    let misfits = all["rows"][0]["misfits"].as_array().unwrap();
    let short: Vec<_> = misfits
        .iter()
        .map(|misfit| {
            let numbers = ["material_mm", "travel_mm"].map(|key| misfit[key].as_f64().unwrap());
            (misfit["axis"].as_str().unwrap(), numbers)
        })
        .collect();
    assert_eq!(short, [("x", [300.5, 300.0]), ("z", [201.0, 200.0])]);
    assert_eq!(all["fit_none"][0], "peg");
    assert_eq!(all["rows"][0]["done"], Value::Null);
    assert_eq!(all["machines"][0]["cost_an_hour"], Value::Null);
    // 720 over 4 years, whether it fits or not.
    assert_eq!(all["machines"][0]["cost_a_year"], 180.0);
    let text = flat(&assess(&shop, &jobs, &[]).out);
    let why = "peg does not fit bench: the material is 300.5 mm long in x, and the travel 300 mm.";
    assert!(text.contains(why), "{text}");
}

#[test]
fn programs_that_are_refused_are_shown_with_their_line() {
    let shop = shop();
    shop.write("part.nc", "G21\nG1 X1o F600\n");
    let said = assess(
        &shop,
        &JOBS.replace("line.nc", "part.nc"),
        &["--out", "out"],
    );
    assert_eq!((said.status, said.out.as_str()), (2, ""));
    for part in [
        "part.nc:2:6",
        "G1 X1o F600",
        "job `peg`, on the machine `bench`",
        "help: ",
    ] {
        assert!(
            words(&said.err).contains(part),
            "{part} missing in\n{}",
            said.err
        );
    }
    assert!(!shop.path("out").exists());
}

/// Waits whose length a program does not say are named, and count nothing.
#[test]
fn open_waits_are_named() {
    let shop = shop();
    let program = "G21 G90\nM6 T2\nM3 S9000\nG1 X100 F1200\nM0\nG1 X0\nM5\nM2\n";
    shop.write("part.nc", program);
    let jobs = JOBS.replace("line.nc", "part.nc");
    let all = found(&shop, &jobs, 0);
    let waits = serde_json::json!([
        { "what": "spindle_waits", "count": 2 },
        { "what": "tool_changes", "count": 1 },
        { "what": "operator_stops", "count": 1 },
    ]);
    assert_eq!(all["rows"][0]["done"]["programs"][0]["waits"], waits);
    let text = flat(&assess(&shop, &jobs, &[]).out);
    let words = "part.nc: spindle starts and stops (2), tool changes (1), stops for the operator (1). Put that";
    assert!(text.contains(words), "{text}");
}

/// A job that fits nowhere is in no bar of the picture, and is named below; it is no "other job".
#[test]
fn the_picture_names_what_fits_nowhere() {
    let shop = shop();
    shop.write("part.nc", TOO_LARGE[0].0);
    let too_large = JOBS[JOBS.find("[job.peg]").unwrap()..]
        .replace("peg", "wardrobe")
        .replace("line.nc", "part.nc");
    let said = assess(&shop, &format!("{JOBS}{too_large}"), &["--out", "out"]);
    assert_eq!((said.status, said.err.as_str()), (1, ""), "{}", said.out);
    let svg = shop.text("out/hours.svg");
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let words: Vec<&str> = tree.descendants().filter_map(|node| node.text()).collect();
    let shown = words.join(" ");
    assert!(
        shown.contains("In no bar, since they fit no machine: wardrobe."),
        "{shown}"
    );
    assert!(
        shown.contains("peg") && !shown.contains("other jobs"),
        "{shown}"
    );
}
