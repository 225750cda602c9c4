//! What the report says of a run: every check, every slow place, sums that add up, and nothing that
//! comes from elsewhere.

use crate::page::Page;
use crate::workshop::{SOME_OF_EVERYTHING, Workshop, top};
use serde_json::Value;
use std::fmt::Write;

/// A run of one of the real programs on a demo machine; the page, and what other commands say.
fn real(program: &str) -> (Workshop, Page) {
    let shop = Workshop::new();
    let machine = top().join("docs/demo/belt-router.toml");
    shop.write("machine.toml", std::fs::read(machine).unwrap());
    let said = shop.pass(&std::fs::read_to_string(top().join(program)).unwrap(), &[]);
    assert_eq!(said.err, "");
    let page = Page::new(&shop.text("out/report.html"));
    (shop, page)
}

fn json(shop: &Workshop, command: &str, more: &[&str]) -> Value {
    let start = ["part.nc", "--machine", "machine.toml", "--json"];
    let said = shop.run(command, &[&start, more].concat());
    assert_eq!(said.status, 0, "{}", said.err);
    serde_json::from_str(&said.out).unwrap()
}

/// The number at the start of a cell.
fn number(cell: &str) -> f64 {
    let (number, _) = cell.split_once('|').unwrap_or((cell, ""));
    number.parse().unwrap_or_else(|_| panic!("{cell}"))
}

#[test]
fn each_check_stands_with_its_verdict_and_place() {
    let (shop, page) = real("tests/programs/coastline.nc");
    let summary = shop.json("out/summary.json");
    let checks = summary["checks"].as_array().unwrap();
    let rows = page.table("Table of checks");
    assert_eq!(rows.len(), 1 + checks.len());
    for (row, check) in rows[1..].iter().zip(checks) {
        assert!(
            row[0].starts_with(check["name"].as_str().unwrap()),
            "{row:?}"
        );
        assert!(["✓ pass", "not measured"].contains(&&*row[1]), "{row:?}");
        let line = check["line"]
            .as_u64()
            .map_or("–".into(), |line| line.to_string());
        assert_eq!(row[5], line);
        let at = |axis: &str| check["position_mm"][axis].as_f64();
        let place = at("x").map_or("–".into(), |x| {
            format!("{x:.2}, {:.2}, {:.2}", at("y").unwrap(), at("z").unwrap())
        });
        assert_eq!(row[7], place);
    }
}

#[test]
fn each_slow_place_stands_with_its_reason_and_is_marked_on_both_pictures() {
    let (shop, page) = real("tests/programs/coastline.nc");
    let corners = json(&shop, "corners", &["--top", "30"]);
    let places = corners["places"].as_array().unwrap();
    assert_eq!(places.len(), 30);
    let rows = page.table("Table of slow places");
    let tree = page.tree();
    let labels: Vec<&str> = tree
        .descendants()
        .filter_map(|node| node.attribute("aria-label"))
        .collect();
    for (row, place) in rows[1..].iter().zip(places) {
        let lost_s = place["lost_s"].as_f64().unwrap();
        assert_eq!(row[0], place["number"].to_string());
        assert_eq!(row[1], place["line"].to_string());
        assert!(row[2].starts_with(&format!("{lost_s:.3}|")), "{row:?}");
        assert!(
            row[3].starts_with(place["why"].as_str().unwrap()),
            "{row:?}"
        );
        assert!(row[3].contains(&format!(
            "at x {:.2}, y",
            place["position_mm"]["x"].as_f64().unwrap()
        )));
        for picture in ["on the path", "on the speed plot"] {
            let label = format!(
                "Place {} {picture}: line {}, {lost_s:.3} s lost",
                place["number"], place["line"]
            );
            assert!(labels.contains(&&*label), "{label}");
        }
    }
}

/// Each figure is rounded to 0.5 ms at most, so a sum of n is off by (n + 1)·0.5 ms at most, its own
/// rounding with it.
#[test]
fn parts_of_the_job_and_places_add_up() {
    for program in [
        "tests/programs/coastline.nc",
        "docs/demo/leaf.nc",
        "docs/demo/tray.nc",
    ] {
        let (shop, page) = real(program);
        let summary = shop.json("out/summary.json");
        let job_s = summary["job_time_s"].as_f64().unwrap();
        let lost_s = job_s - summary["feed_time_s"].as_f64().unwrap();

        let parts = page.table("Table of the parts of the job");
        let (all, parts) = parts[1..].split_last().unwrap();
        let sum: f64 = parts.iter().map(|row| number(&row[3])).sum();
        let slack = 0.0005 * (parts.len() + 1) as f64;
        assert!((sum - job_s).abs() <= slack, "{program}: {sum} of {job_s}");
        assert!((number(&all[3]) - job_s).abs() <= 0.0005 + 1e-9, "{all:?}");

        let rows = page.table("Table of slow places");
        let places = rows[1..]
            .iter()
            .filter(|row| row.len() == 4 && !row[0].is_empty());
        let foot: Vec<&Vec<String>> = rows[1..].iter().filter(|row| row[0].is_empty()).collect();
        let (shown, foot) = foot.split_first().unwrap();
        let (all, others) = foot.split_last().unwrap();
        let costs: Vec<f64> = places.map(|row| number(&row[2])).collect();
        let slack = 0.0005 * (costs.len() + 1) as f64;
        assert!(
            (costs.iter().sum::<f64>() - number(&shown[1])).abs() <= slack,
            "{program}"
        );
        let sum = number(&shown[1]) + others.iter().map(|row| number(&row[1])).sum::<f64>();
        // Rounding is left out where it is less than 0.5 ms.
        let slack = 0.0005 * (others.len() + 3) as f64;
        assert!(
            (sum - lost_s).abs() <= slack,
            "{program}: {sum} of {lost_s}"
        );
        assert!((number(&all[1]) - lost_s).abs() <= 0.0005 + 1e-9, "{all:?}");
    }
}

#[test]
fn the_worth_of_settings_is_that_of_the_command() {
    let (shop, page) = real("docs/demo/leaf.nc");
    let worth = json(&shop, "worth", &[]);
    let advice = worth["advice"].as_str().unwrap().replace('`', "|");
    assert!(page.text().contains(&advice), "{advice}");
    let rows = page.table("Table of settings");
    let settings = worth["settings"].as_array().unwrap();
    assert_eq!(rows.len(), 1 + settings.len());
    let least_s = worth["least_change_s"].as_f64().unwrap();
    for (row, setting) in rows[1..].iter().zip(settings) {
        assert!(
            row[0].starts_with(setting["name"].as_str().unwrap()),
            "{row:?}"
        );
        for (cell, change) in [(&row[2], &setting["less"]), (&row[3], &setting["more"])] {
            let seconds = change["change_s"].as_f64().unwrap();
            if seconds.abs() < least_s {
                assert_eq!(cell, "–");
            } else {
                // Hundredths where there are whole seconds, thousandths below.
                let shown: f64 = cell.strip_suffix(" s").unwrap().parse().unwrap();
                let digit = if seconds.abs() < 1.0 { 0.001 } else { 0.01 };
                assert!((shown - seconds).abs() <= 0.5 * digit + 1e-9, "{row:?}");
            }
        }
    }
}

#[test]
fn a_program_too_long_to_keep_says_why_worth_is_left_out() {
    let shop = Workshop::new();
    let mut text = String::from("G21 G90 F6000\nG1\n");
    for i in 1..=50_001 {
        writeln!(text, "X{}", i % 100).unwrap();
    }
    shop.pass(&text, &[]);
    let page = Page::new(&shop.text("out/report.html")).text();
    assert!(
        page.contains("moves and rests, more than 50000"),
        "the bound is told"
    );
    assert!(!page.contains("10 % less"));
}

#[test]
fn nothing_comes_from_elsewhere() {
    let shop = Workshop::new();
    shop.pass(SOME_OF_EVERYTHING, &[]);
    let html = shop.text("out/report.html");
    // The name of the SVG language is no address that is fetched.
    let html = html.replace("http://www.w3.org/2000/svg", "");
    for word in [
        "http:", "https:", "//www", "src=", "srcset", "@import", "url(", "<link", "fetch(",
        "import(",
    ] {
        assert!(!html.contains(word), "{word}");
    }
    assert_eq!(html.matches("<script").count(), 1);
    // What the page may do at most, held by the browser: nothing from any address.
    assert!(
        html.contains("default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'")
    );
}

#[test]
fn a_program_that_does_nothing_has_a_page_without_places() {
    let shop = Workshop::new();
    shop.pass("M2\n", &[]);
    let page = Page::new(&shop.text("out/report.html")).text();
    assert!(page.contains("The program takes no time"));
    assert!(!page.contains("Where it slows"));
}
