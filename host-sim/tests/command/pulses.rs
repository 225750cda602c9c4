//! `pulses.csv` and `pulses.vcd` against the summary and against each other.

use crate::workshop::{SOME_OF_EVERYTHING, STEPS_PER_MM, Workshop, number};
use std::collections::HashMap;
use std::fs::File;
use std::io::BufReader;
use vcd::{Command, Parser, ScopeItem, Value};

const AXES: [&str; 3] = ["x", "y", "z"];

#[test]
fn pulses_add_up_to_the_steps_and_the_end_position() {
    let shop = Workshop::new();
    shop.pass(SOME_OF_EVERYTHING, &["--pulses", "csv"]);
    let summary = shop.json("out/summary.json");
    let pulses = shop.table("out/pulses.csv");
    for axis in AXES {
        let steps = pulses.all(axis);
        assert!(steps.iter().all(|step| [-1.0, 0.0, 1.0].contains(step)));
        let made = steps.iter().filter(|step| **step != 0.0).count() as f64;
        assert_eq!(made, number(&summary, &format!("/steps/{axis}")), "{axis}");
        // The start is zero, and whole steps over 80 steps/mm are exact to a double's rounding.
        let end = steps.iter().sum::<f64>() / STEPS_PER_MM;
        assert_eq!(end, number(&summary, &format!("/end_mm/{axis}")), "{axis}");
    }
    let ticks = pulses.all("tick");
    assert!(ticks.is_sorted_by(|a, b| a < b));
    // No step after the job is over.
    let job = number(&summary, "/job_time_s") * number(&summary, "/tick_hz");
    assert!(ticks.last().unwrap() <= &job.ceil());
}

#[test]
fn the_waveform_has_as_many_rising_edges() {
    let shop = Workshop::new();
    shop.pass(SOME_OF_EVERYTHING, &["--pulses", "vcd"]);
    let summary = shop.json("out/summary.json");
    let file = File::open(shop.path("out/pulses.vcd")).unwrap();
    let mut parser = Parser::new(BufReader::new(file));
    let header = parser.parse_header().unwrap();
    let mut names = HashMap::new();
    for item in &header.items {
        let ScopeItem::Scope(scope) = item else {
            continue;
        };
        for item in &scope.items {
            if let ScopeItem::Var(var) = item {
                names.insert(var.code, var.reference.clone());
            }
        }
    }
    let mut high: HashMap<String, bool> = HashMap::new();
    let mut rises: HashMap<String, u64> = HashMap::new();
    for command in parser {
        if let Command::ChangeScalar(code, value) = command.unwrap() {
            let name = &names[&code];
            let now = value == Value::V1;
            if now && !high.insert(name.clone(), true).unwrap_or(false) {
                *rises.entry(name.clone()).or_default() += 1;
            } else if !now {
                high.insert(name.clone(), false);
            }
        }
    }
    for axis in AXES {
        let steps = number(&summary, &format!("/steps/{axis}"));
        assert_eq!(rises[&format!("{axis}_step")] as f64, steps, "{axis}");
    }
}
