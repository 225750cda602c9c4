//! `compare`: its figures are those of runs one by one, its differences add up, and its files agree.

use crate::workshop::{MACHINE, SOME_OF_EVERYTHING, Said, Workshop, flat, number};
use serde_json::Value;
use spokeshave_sim::cli::Reading;
use spokeshave_sim::compare::{Compare, compare, text};

pub const SQUARE: &str = "G21 G90\nG1 X40 F2400\nY40\nX0\nY0\nM2\n";

/// A folder with two programs and, beside the usual machine, one that is slower and cannot speed up
/// as much.
pub fn shop() -> Workshop {
    let shop = Workshop::new();
    shop.write("part.nc", SOME_OF_EVERYTHING);
    shop.write("square.nc", SQUARE);
    shop.write("slow.toml", slow());
    shop
}

pub fn slow() -> String {
    MACHINE
        .replace("test bench", "slow bench")
        .replace("\"500 mm/s^2\"", "\"200 mm/s^2\"")
        .replace("\"100 mm/s\"", "\"30 mm/s\"")
}

pub const BOTH: [&str; 6] = [
    "part.nc",
    "square.nc",
    "--machine",
    "machine.toml",
    "--machine",
    "slow.toml",
];

pub fn run(shop: &Workshop, more: &[&str]) -> Said {
    let said = shop.run("compare", &[&BOTH, more].concat());
    assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
    said
}

pub fn json(shop: &Workshop, more: &[&str]) -> Value {
    serde_json::from_str(&run(shop, &[&["--json"], more].concat()).out).unwrap()
}

#[test]
fn each_row_is_a_simulated_run() {
    let shop = shop();
    let all = json(&shop, &[]);
    let rows = all["rows"].as_array().unwrap();
    let pairs = [
        ("part.nc", "machine"),
        ("part.nc", "slow"),
        ("square.nc", "machine"),
        ("square.nc", "slow"),
    ];
    assert_eq!(rows.len(), pairs.len());
    for (row, (program, machine)) in rows.iter().zip(pairs) {
        assert_eq!(
            (&row["program"], &row["machine"]),
            (&program.into(), &machine.into())
        );
        let file = format!("{machine}.toml");
        let alone = shop.simulate(&[program, "--machine", &file, "--json"]);
        let alone: Value = serde_json::from_str(&alone.out).unwrap();
        assert_eq!(row["summary"], alone, "{program} on {machine}");
        assert_eq!(row["failed_checks"], Value::Array(vec![]));
        assert_eq!(row["change"], Value::Null, "no baseline is named");
    }
    assert_eq!(all["baseline"], Value::Null);
    assert_eq!(all["machines"][1]["name"], "slow bench");
    assert_eq!(all["machines"][1]["file"], "slow.toml");
}

/// Sums of some hundred times in double precision, on jobs of some ten seconds.
fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

#[test]
fn differences_against_the_baseline_add_up() {
    let all = json(&shop(), &["--baseline", "machine"]);
    let rows = all["rows"].as_array().unwrap();
    let mut total = 0.0;
    for pair in rows.chunks(2) {
        let [before, after] = [&pair[0], &pair[1]];
        assert_eq!(before["change"], Value::Null, "it is the baseline");
        let job = |row| number(row, "/summary/job_time_s");
        let change = number(after, "/change/job_time/s");
        assert_eq!(change, job(after) - job(before));
        assert!(change > 0.1, "{change}");
        total += change;
        let percent = number(after, "/change/job_time/percent");
        assert!(close(percent, 100.0 * (job(after) / job(before) - 1.0)));
        for unit in ["s", "percent"] {
            let lost = after["change"]["time_lost"].as_object().unwrap();
            let parts = lost.values().map(|part| number(part, &format!("/{unit}")));
            let sum = parts.sum::<f64>() + number(after, &format!("/change/feed_time/{unit}"));
            let whole = number(after, &format!("/change/job_time/{unit}"));
            assert!((sum - whole).abs() < 1e-7, "{unit}: {sum} {whole}");
        }
    }
    let totals = all["totals"].as_array().unwrap();
    assert!(close(number(&totals[1], "/change/job_time/s"), total));
    for (at, sum) in totals.iter().enumerate() {
        let of = |name: &str| -> f64 {
            let rows = rows.iter().skip(at).step_by(2);
            rows.map(|row| number(row, &format!("/summary/{name}")))
                .sum()
        };
        for name in ["job_time_s", "feed_time_s", "rest_s", "path_length_mm"] {
            assert!(close(number(sum, &format!("/{name}")), of(name)), "{name}");
        }
        let lost = sum["time_lost_s"].as_object().unwrap().values();
        let lost: f64 = lost.map(|value| value.as_f64().unwrap()).sum();
        let expected = of("job_time_s") - of("feed_time_s");
        assert!((lost - expected).abs() < 1e-7, "{lost} {expected}");
    }
}

/// From rest to rest over L at v: t = L/v + v/a. So another acceleration alone changes it by
/// v·(1/a' − 1/a), of which all is lost to the start and the stop.
#[test]
fn a_straight_has_the_difference_of_its_closed_form() {
    let shop = shop();
    shop.write("square.nc", "G21 G90\nG1 X100 F1200\nM2\n");
    let all = json(&shop, &["--baseline", "machine"]);
    let expected = 20.0 * (1.0 / 200.0 - 1.0 / 500.0);
    for at in ["job_time", "time_lost/stop"] {
        let found = number(&all, &format!("/rows/3/change/{at}/s"));
        // Four ramps, each to a tick of 1 µs; speeds in single precision of 5 s.
        assert!((found - expected).abs() < 6e-6, "{at}: {found}");
    }
}

#[test]
fn the_table_says_what_the_json_says() {
    let shop = shop();
    let said = run(&shop, &["--baseline", "slow", "--out", "out", "--json"]);
    assert_eq!(said.out, shop.text("out/compare.json"));
    let all: Value = serde_json::from_str(&said.out).unwrap();
    let table = shop.table("out/compare.csv");
    let of_rows = all["rows"].as_array().unwrap();
    let of_totals = all["totals"].as_array().unwrap();
    assert_eq!(
        table.texts("row"),
        ["job", "job", "job", "job", "total", "total"]
    );
    assert_eq!(table.texts("program")[3..], ["square.nc", "", ""]);
    assert_eq!(table.texts("machine")[3..], ["slow", "machine", "slow"]);
    assert_eq!(
        table.texts("machine_name")[4..],
        ["test bench", "slow bench"]
    );
    let mut compared = 0;
    for head in table.heads.iter().skip(4) {
        if head == "failed_checks" {
            assert!(table.texts(head).iter().all(|text| text.is_empty()));
            continue;
        }
        let numbers = table.numbers(head);
        for (at, row) in of_rows.iter().chain(of_totals).enumerate() {
            let figures = row.get("summary").unwrap_or(row);
            let expected = in_json(head, figures, &row["change"]);
            match (numbers[at], expected) {
                // The table has nine decimals.
                (Some(found), Some(expected)) => {
                    assert!(
                        (found - expected).abs() <= 1e-9,
                        "{head}: {found} {expected}"
                    );
                    compared += 1;
                }
                (found, expected) => assert_eq!(found, expected, "{head}, row {at}"),
            }
        }
    }
    // 6 rows of at least 5 figures, and changes in 3 of them.
    assert!(compared > 60, "{compared}");
}

/// The figure of a column of the table, found in the JSON by the name of the column.
fn in_json(head: &str, figures: &Value, change: &Value) -> Option<f64> {
    let reason = |name: &str| {
        name.strip_prefix("lost_")
            .map(|name| name.replace('_', " "))
    };
    if let Some((name, unit)) = head.split_once("_change_") {
        let difference = match reason(name) {
            Some(reason) => {
                let lost = change.get("time_lost")?;
                return Some(
                    lost.get(reason)
                        .map_or(0.0, |found| found[unit].as_f64().unwrap()),
                );
            }
            None => change.get(name)?,
        };
        return difference[unit].as_f64();
    }
    if let Some(reason) = head.strip_suffix("_s").and_then(reason) {
        let lost = figures["time_lost_s"].get(reason);
        return Some(lost.map_or(0.0, |found| found.as_f64().unwrap()));
    }
    match head.split_once('_') {
        Some((axis @ ("x" | "y" | "z"), name)) => figures.get("peaks")?[axis][name].as_f64(),
        _ => figures.get(head)?.as_f64(),
    }
}

#[test]
fn the_terminal_shows_times_losses_peaks_and_checks() {
    let shop = shop();
    let said = run(&shop, &["--baseline", "machine"]);
    for words in [
        "machine: test bench (machine.toml), the baseline",
        "slow: slow bench (slow.toml)",
        "change",
        "all programs: time lost to, s",
        "part.nc: time lost to, s",
        "square.nc: time lost to, s",
        "corners",
        "square.nc: peak of limit",
        "x acceleration, mm/s²",
        "500.0 of 500.0",
        "All checks that had something to measure pass.",
    ] {
        assert!(said.out.contains(words), "{words} missing in\n{}", said.out);
    }
    // Of the square only x and y move.
    let (_, square) = said.out.split_once("square.nc: peak of limit").unwrap();
    assert!(!square.contains("z speed"), "{square}");
}

#[test]
fn what_makes_a_comparison_doubtful_is_said() {
    let shop = shop();
    shop.write("slow.toml", MACHINE.replace("test bench", "other name"));
    let said = run(&shop, &[]);
    let note = "Note: machine and slow have the same numbers";
    assert!(said.out.contains(note), "{}", said.out);
    // Another zero for G55: another way to it, and so another length of the path.
    let zero = "[work_zero.g55]\nx = \"50 mm\"\ny = \"0 mm\"\nz = \"0 mm\"\n";
    shop.write("slow.toml", MACHINE.to_owned() + zero);
    shop.write("square.nc", "G21 G90 G55\nG1 X40 F2400\nM2\n");
    let said = run(&shop, &[]);
    let note = "Note: the path of square.nc is 40.0 to 90.0 mm long";
    assert!(said.out.contains(note), "{}", said.out);
    assert!(!said.out.contains("same numbers"), "{}", said.out);
}

/// A failed check takes a fault in the planner, so it is made up here.
#[test]
fn failed_checks_are_named() {
    let shop = shop();
    let arguments = Compare {
        programs: vec![shop.path("square.nc")],
        machines: ["machine.toml", "slow.toml"]
            .map(|name| shop.path(name))
            .into(),
        baseline: None,
        out: None,
        png: false,
        stretch: None,
        reading: Reading::default(),
        json: false,
    };
    let mut comparison = compare(&arguments).unwrap();
    assert!(comparison.pass());
    let check = &mut comparison.rows[1].summary.checks[0];
    check.pass = false;
    let (name, what) = (check.name, check.what.clone());
    comparison.rows[1].failed_checks.push(name.into());
    assert!(!comparison.pass());
    let text = flat(&text(&comparison));
    assert!(text.contains("1 of "), "{text}");
    let sentence = format!("FAIL, square.nc on slow: {name}");
    assert!(text.contains(&sentence) && text.contains(&what), "{text}");
    assert!(!text.contains("All checks"), "{text}");
}

#[test]
fn the_same_comparison_is_the_same_to_the_last_byte() {
    let shop = shop();
    let more = ["--json", "--out", "out"];
    let once = run(&shop, &more);
    let picture = shop.text("out/speeds-part.nc.svg");
    assert_eq!(once.out, run(&shop, &more).out);
    assert_eq!(picture, shop.text("out/speeds-part.nc.svg"));
}
