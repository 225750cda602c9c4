//! Where the margin shows: terminal, files, comparison; and where nothing does.

use crate::bench::{FALLING, FLAT, text};
use crate::workshop::{MACHINE, SOME_OF_EVERYTHING, Workshop, flat, number, top};
use serde_json::Value;

const PROGRAM: &str = "G21 G90\nG0 X60\nG1 X60 Y40 F1200\nX0\nM2\n";

#[test]
fn all_files_have_it() {
    let shop = Workshop::new();
    shop.write("machine.toml", text(2, 1, FLAT));
    let said = shop.pass(PROGRAM, &["--png"]);
    assert!(said.out.contains("stall margin"), "{}", said.out);
    assert!(said.out.lines().count() <= 50, "{}", said.out);
    for line in said.out.lines() {
        assert!(line.chars().count() <= 80 && !line.ends_with(' '), "{line}");
    }
    let summary = shop.json("out/summary.json");
    let found = summary.pointer("/stall/margins/0").unwrap();
    assert_eq!(found["axis"], "y");
    assert_eq!(found["estimate"], false);
    let margin = number(&summary, "/stall/margins/0/margin");
    let checks = summary["checks"].as_array().unwrap();
    let check = checks.last().unwrap();
    assert_eq!(check["name"], "stall margin");
    assert_eq!(number(check, "/worst"), margin);
    assert_eq!(number(check, "/limit"), 2.0);
    assert_eq!(check["line"], found["line"]);

    // The least of all ramps is the least of the job.
    let profile = shop.table("out/profile.csv");
    assert_eq!(profile.heads[19..21], ["limit", "low_point"]);
    let ends: Vec<&str> = profile.heads[21..].iter().map(String::as_str).collect();
    assert_eq!(ends, ["x_stall_margin", "y_stall_margin", "z_stall_margin"]);
    let of_ramps = profile.numbers("y_stall_margin").into_iter().flatten();
    let least = of_ramps.fold(f64::INFINITY, f64::min);
    assert!((least / margin - 1.0).abs() < 2e-6, "{least} {margin}");
    assert!(
        profile
            .numbers("x_stall_margin")
            .iter()
            .all(Option::is_none)
    );

    let picture = shop.text("out/stall.svg");
    let drawing = roxmltree::Document::parse(&picture).unwrap();
    let words = drawing.descendants().filter_map(|node| node.text());
    let words = words.collect::<Vec<_>>().join(" ");
    assert!(flat(&words).contains("y: least margin 2.8"), "{words}");
    assert!(shop.names("out").contains(&"stall.png".to_owned()));
    let page = shop.text("out/report.html");
    for words in [
        "stall margin, y",
        "Torque of the motors, needed and available",
        "from the plan and the parts in the machine file",
        "not judged: the motor's start_stop_rate is not known",
    ] {
        assert!(page.contains(words), "{words}");
    }
}

#[test]
fn without_motors_nothing_new_shows() {
    let shop = Workshop::new();
    let said = shop.pass(SOME_OF_EVERYTHING, &[]);
    assert!(!said.out.contains("stall"), "{}", said.out);
    assert!(
        said.out
            .ends_with("whether motors and frame can give this much (docs/safety.md).\n")
    );
    let summary = shop.json("out/summary.json");
    assert!(summary.get("stall").is_none());
    assert_eq!(summary["checks"].as_array().unwrap().len(), 23);
    assert_eq!(shop.table("out/profile.csv").heads.len(), 21);
    assert!(!shop.names("out").contains(&"stall.svg".to_owned()));
    for name in ["summary.json", "profile.csv", "report.html"] {
        let text = shop.text(&format!("out/{name}"));
        assert!(!text.contains("stall"), "{name}");
    }
}

/// The z of the screw router has no curve.
#[test]
fn what_rests_on_an_estimate_says_so() {
    let shop = Workshop::new();
    let router = top().join("docs/demo/screw-router.toml");
    shop.write("machine.toml", std::fs::read_to_string(router).unwrap());
    let said = shop.pass("G21 G90\nG0 Z20\nG0 Z0\nM2\n", &["--json"]);
    let summary: Value = serde_json::from_str(&said.out).unwrap();
    let margins = summary.pointer("/stall/margins").unwrap();
    // x and y stand all the time, level: their motors are asked for nothing.
    let [z] = &margins.as_array().unwrap()[..] else {
        panic!("{margins}");
    };
    assert_eq!(
        (z["axis"].as_str(), z["estimate"].as_bool()),
        (Some("z"), Some(true))
    );
    let check = summary["checks"].as_array().unwrap().last().unwrap();
    assert_eq!(check["unit"], "× estimate");
    assert!(
        check["what"]
            .as_str()
            .unwrap()
            .contains("by an estimate from its ratings")
    );
    let said = shop.simulate(&["part.nc", "--machine", "machine.toml"]);
    assert!(said.out.contains("(estimate)"), "{}", said.out);
    let last = flat(&said.out);
    let last = last.split("had nothing to measure.").nth(1).unwrap();
    for words in [
        "ESTIMATE: the stall margin of z rests on an estimate from the ratings of its motor",
        "a torque_curve from the data sheet, or ask for more of it, as with `stall_margin = 3`",
    ] {
        assert!(last.contains(words), "{words}: {last}");
    }
    for name in ["stall.svg", "report.html"] {
        assert!(
            shop.text(&format!("out/{name}")).contains("estimate"),
            "{name}"
        );
    }
}

#[test]
fn machines_are_compared_by_it() {
    let shop = Workshop::new();
    shop.write("strong.toml", text(2, 1, FLAT));
    shop.write("weak.toml", text(2, 1, FALLING));
    shop.write("plain.toml", MACHINE);
    shop.write("part.nc", PROGRAM.replace("G1 X60 Y40 F1200", "G0 Y60"));
    let machines = |names: &[&str]| -> Vec<String> {
        let mut arguments = vec!["part.nc".to_owned()];
        for name in names {
            arguments.extend(["--machine".into(), format!("{name}.toml")]);
        }
        arguments.extend(["--out".into(), "out".into()]);
        arguments
    };
    let said = shop.run("compare", &machines(&["strong", "weak", "plain"]));
    assert_eq!(said.status, 1, "{}", said.out);
    let out = flat(&said.out);
    assert!(out.contains("y stall margin 2.824 1.695 –"), "{out}");
    // Counted as `simulate` counts: what had nothing to measure does not pass.
    let alone = shop.simulate(&["part.nc", "--machine", "strong.toml"]);
    let alone = flat(&alone.out);
    let count = alone
        .split(" checks pass, ")
        .next()
        .unwrap()
        .rsplit(' ')
        .next()
        .unwrap();
    assert!(count.parse::<u32>().unwrap() < 24, "{alone}");
    assert!(out.contains(&format!(" s {count} pass")), "{count}: {out}");
    assert!(out.contains("1 of 24 FAIL"), "{out}");
    assert!(
        out.contains("FAIL, part.nc on weak: stall margin, y: line 3"),
        "{out}"
    );
    let table = shop.table("out/compare.csv");
    assert_eq!(table.heads.last().unwrap(), "z_stall_margin");
    let margins = table.numbers("y_stall_margin");
    assert!((margins[0].unwrap() - 2.824).abs() < 1e-3, "{margins:?}");
    assert_eq!(margins[2..], [None; 4]);

    shop.write("slow.toml", MACHINE.replacen("500 mm/s^2", "300 mm/s^2", 1));
    let said = shop.run("compare", &machines(&["plain", "slow"]));
    assert_eq!(said.status, 0, "{}", said.out);
    assert!(!said.out.contains("stall"), "{}", said.out);
    assert!(!shop.text("out/compare.csv").contains("stall"));
    assert!(!shop.text("out/compare.json").contains("stall"));
}

/// Take-ups, dwells, a hold and its rest: all are moments of the job.
#[test]
fn events_backlash_and_dwells_work_too() {
    let shop = Workshop::new();
    let backlash = "backlash = \"0.1 mm\"\n[axis.y.drive]";
    shop.write(
        "machine.toml",
        text(2, 1, FLAT).replace("[axis.y.drive]", backlash),
    );
    shop.write(
        "events.txt",
        "at 0.3 s: hold\nat 1 s: resume\nat 1.4 s: feed 50 %\n",
    );
    let program = "G21 G90\nG1 Y20 F1800\nG4 P0.2\nY0\nY30\nM2\n";
    shop.pass(program, &["--events", "events.txt"]);
    let margin = number(&shop.json("out/summary.json"), "/stall/margins/0/margin");
    // 0.2 N·m over friction, 2 kg at 500 mm/s² and the rotor, as without events.
    assert!((margin - 0.2 / 0.070_813).abs() < 1e-3, "{margin}");
    let kinds = shop.table("out/profile.csv");
    assert!(kinds.texts("kind").contains(&"take-up"));
    // At rest y is level and needs nothing.
    let rests = std::iter::zip(kinds.texts("kind"), kinds.numbers("y_stall_margin"));
    assert!(
        rests
            .filter(|(kind, _)| *kind == "rest")
            .all(|(_, margin)| margin.is_none())
    );
}

#[test]
fn a_margin_that_cannot_be_asked_for_is_refused() {
    let shop = Workshop::new();
    shop.write("part.nc", PROGRAM);
    for (value, words) in [
        ("0.9", "`stall_margin` is below its range"),
        ("\"2 N m\"", "is not a number or a percentage"),
    ] {
        let wrong = format!("stall_margin = {value}\n");
        shop.write(
            "machine.toml",
            text(2, 1, FLAT).replacen("look_ahead", &(wrong + "look_ahead"), 1),
        );
        let said = shop.simulate(&["part.nc", "--machine", "machine.toml"]);
        assert_eq!(said.status, 2, "{}", said.out);
        assert!(
            crate::workshop::words(&said.err).contains(words),
            "{}",
            said.err
        );
    }
}

/// What fails is marked where it shows: in the picture, in the summary of the report, and in its headline.
#[test]
fn what_fails_is_marked() {
    let shop = Workshop::new();
    shop.write("part.nc", PROGRAM.replace("G1 X60 Y40 F1200", "G0 Y60"));
    for (curve, fails) in [(FLAT, false), (FALLING, true)] {
        shop.write("machine.toml", text(2, 1, curve));
        let said = shop.simulate(&["part.nc", "--machine", "machine.toml", "--out", "out"]);
        assert_eq!(said.status, i32::from(fails), "{}", said.out);
        let picture = shop.text("out/stall.svg");
        assert_eq!(picture.contains("margin below 2"), fails);
        let page = shop.text("out/report.html");
        let headline = page.contains("What fails: <a href=\"#fails-1\">stall margin, y</a>");
        assert_eq!((headline, page.contains("id=\"fails-1\"")), (fails, fails));
        let row = page.contains("<td class=\"bad\">✗ 1.695, less than 2.000: ");
        assert_eq!(row, fails);
        if fails {
            // The same figure as on the terminal.
            assert!(
                picture.contains("y: least margin 1.695 on line 3"),
                "{picture:.4000}"
            );
        }
    }
}
