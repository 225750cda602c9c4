//! The files of a run: all are there, with the columns and keys that the design promises.

use crate::workshop::{SOME_OF_EVERYTHING, Workshop};
use serde_json::Value;

const ALWAYS: [&str; 7] = [
    "axes.svg",
    "moves.csv",
    "path.svg",
    "profile.csv",
    "report.html",
    "speed.svg",
    "summary.json",
];

#[test]
fn all_files_are_there_and_no_others() {
    let shop = Workshop::new();
    for (more, extra) in [
        (&[][..], &[][..]),
        (&["--pulses", "csv"], &["pulses.csv"]),
        (&["--pulses", "vcd"], &["pulses.vcd"]),
        (&["--png"], &["axes.png", "path.png", "speed.png"]),
    ] {
        let _ = std::fs::remove_dir_all(shop.path("out"));
        shop.pass(SOME_OF_EVERYTHING, more);
        let mut expected = [&ALWAYS, extra].concat();
        expected.sort_unstable();
        assert_eq!(shop.names("out"), expected, "{more:?}");
        assert_eq!(shop.names("."), ["machine.toml", "out", "part.nc"]);
    }
}

#[test]
fn tables_have_their_columns_in_order() {
    let shop = Workshop::new();
    shop.pass(SOME_OF_EVERYTHING, &["--pulses", "csv"]);
    let first = |name: &str| shop.text(name).lines().next().unwrap().to_owned();
    let moves = "line,kind,x_mm,y_mm,z_mm,length_mm,feed_mm_s,cap_mm_s,accel_mm_s2,corner_mm_s,\
                 entry_mm_s,peak_mm_s,exit_mm_s,time_s,limited_by";
    assert!(first("out/moves.csv").starts_with(moves));
    assert!(first("out/pulses.csv").starts_with("tick,x,y,z"));
    assert!(first("out/profile.csv").starts_with("time_s,duration_s,line,kind,"));
}

#[test]
fn the_summary_has_its_keys_and_their_types() {
    let shop = Workshop::new();
    shop.pass(SOME_OF_EVERYTHING, &[]);
    let summary = shop.json("out/summary.json");
    let by_axis = |value: &Value, right: fn(&Value) -> bool| {
        let axes = value.as_object().unwrap();
        axes.keys().eq(["x", "y", "z"]) && axes.values().all(right)
    };
    assert!(summary["job_time_s"].as_f64().unwrap() > 0.0);
    assert_eq!(summary["tick_hz"].as_u64(), Some(1_000_000));
    assert!(summary["moves"].as_u64().unwrap() > 0);
    assert!(by_axis(&summary["steps"], |steps| steps.as_u64().unwrap() > 0));
    assert!(by_axis(&summary["end_mm"], Value::is_f64));
    assert!(
        summary["time_lost_s"]
            .as_object()
            .unwrap()
            .values()
            .all(Value::is_f64)
    );
    let checks = summary["checks"].as_array().unwrap();
    assert!(!checks.is_empty());
    for check in checks {
        assert!(
            check["name"].is_string() && check["unit"].is_string(),
            "{check}"
        );
        assert!(
            check["limit"].is_f64() && check["worst"].is_f64(),
            "{check}"
        );
        assert!(check["line"].is_u64() || check["line"].is_null(), "{check}");
        assert_eq!(check["pass"], true, "{check}");
    }
    // What the program has in it: 0.25 s of rest, back to zero but for the height.
    assert_eq!(summary["rest_s"], 0.25);
    assert_eq!(
        summary["end_mm"],
        serde_json::json!({"x": 0.0, "y": 0.0, "z": 5.0})
    );
}

#[test]
fn every_figure_of_the_report_is_inside() {
    let shop = Workshop::new();
    shop.pass(SOME_OF_EVERYTHING, &[]);
    let page = crate::page::Page::new(&shop.text("out/report.html"));
    let tree = page.tree();
    for figure in [
        "Path from above, with the slow places",
        "Speed against time, with the slow places",
        "What sets the speed at each time",
        "Axes against time: part.nc on test bench",
    ] {
        let is = |node: roxmltree::Node| {
            node.tag_name().name() == "svg" && node.attribute("aria-label") == Some(figure)
        };
        assert_eq!(
            tree.descendants().filter(|node| is(*node)).count(),
            1,
            "{figure}"
        );
    }
}

#[test]
fn names_with_markup_are_escaped() {
    let shop = Workshop::new();
    // A name that no system forbids but Windows, where the brackets cannot be tried.
    let name = if cfg!(windows) { "a&b.nc" } else { "<b>a&b.nc" };
    shop.write(name, "G21 G1 X10 F600\nM2\n");
    let machine = crate::workshop::MACHINE.replace("test bench", "<i>bench & co");
    shop.write("machine.toml", machine);
    let said = shop.simulate(&[name, "--machine", "machine.toml", "--out", "out"]);
    assert_eq!(said.status, 0, "{}", said.err);
    for file in ["report.html", "path.svg", "speed.svg", "axes.svg"] {
        let text = shop.text(&format!("out/{file}"));
        assert!(
            !text.contains("<b>a") && !text.contains("<i>bench"),
            "{file}"
        );
        assert!(text.contains("a&amp;b.nc"), "{file}");
        assert!(!text.contains("a&b"), "{file}");
    }
}

#[test]
fn the_same_run_twice_writes_the_same_bytes() {
    let shop = Workshop::new();
    let files = ["part.nc", "--machine", "machine.toml", "--png", "--pulses"];
    shop.write("part.nc", SOME_OF_EVERYTHING);
    for format in ["csv", "vcd"] {
        let both = ["one", "two"].map(|out| {
            let said = shop.simulate(&[&files[..], &[format, "--out", out]].concat());
            assert_eq!(said.status, 0, "{}", said.err);
            said.out
        });
        assert_eq!(both[0], both[1]);
        assert_eq!(shop.names("one"), shop.names("two"));
        for name in shop.names("one") {
            let read = |out: &str| std::fs::read(shop.path(out).join(&name)).unwrap();
            assert!(read("one") == read("two"), "{name} differs");
        }
    }
}

/// Nothing of the page itself needs to be made printable: only odd file names do.
#[test]
fn the_report_says_what_is_not_checked_and_holds_no_stand_in_characters() {
    let shop = Workshop::new();
    shop.pass(SOME_OF_EVERYTHING, &[]);
    let page = std::fs::read_to_string(shop.path("out/report.html")).unwrap();
    assert!(page.contains("Not checked: whether motors and frame can give this much"));
    assert!(!page.contains(char::REPLACEMENT_CHARACTER));
}
