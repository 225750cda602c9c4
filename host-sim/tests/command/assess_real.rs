//! `assess` on the programs of the repository: its job times are those of `simulate`, its slow cutting
//! that of `corners`, and its table, picture and JSON say the same.

use crate::assess;
use crate::workshop::{Said, Workshop, flat, number, top};
use serde_json::Value;
use spokeshave_sim::assess::Misfit;
use spokeshave_sim::cli::{Cli, Command};
use spokeshave_sim::simulate::simulate;

const PROGRAMS: [&str; 4] = ["coastline.nc", "lettering.nc", "tray.nc", "leaf.nc"];
const MACHINES: [&str; 2] = ["belt-router", "screw-router"];

/// The programs and the machines of the repository, each a job and a machine of its own name.
fn shop() -> (Workshop, String) {
    let shop = Workshop::new();
    let mut jobs = String::from("currency = \"euro\"\nyears_of_use = \"5 years\"\n");
    for machine in MACHINES {
        let file = format!("{machine}.toml");
        shop.write(
            &file,
            std::fs::read(top().join("docs/demo").join(&file)).unwrap(),
        );
        jobs += &format!("[machine.{machine}]\nfile = \"{file}\"\nprice = \"500 euro\"\n");
    }
    for program in PROGRAMS {
        let demo = top().join("docs/demo").join(program);
        let real = top().join("tests/programs").join(program);
        let from = if demo.exists() { demo } else { real };
        shop.write(program, std::fs::read(from).unwrap());
        jobs += &format!(
            "[job.\"{program}\"]\nprogram = \"{program}\"\nparts_a_year = 12\nset_up = \"10 min\"\n\
             by_hand = \"1 h\"\n"
        );
    }
    shop.write("jobs.toml", &jobs);
    (shop, jobs)
}

fn run(shop: &Workshop, more: &[&str]) -> Said {
    let said = shop.run("assess", &[&["jobs.toml"], more].concat());
    assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
    said
}

#[test]
fn job_times_are_those_of_simulate_and_slow_cutting_that_of_corners() {
    let (shop, _) = shop();
    let all: Value = serde_json::from_str(&run(&shop, &["--json"]).out).unwrap();
    let mut rows = all["rows"].as_array().unwrap().iter();
    for program in PROGRAMS {
        for machine in MACHINES {
            let row = rows.next().unwrap();
            let names = (row["job"].as_str(), row["machine"].as_str());
            assert_eq!(names, (Some(program), Some(machine)));
            let file = format!("{machine}.toml");
            let alone = |command| -> Value {
                let said = shop.run(command, &[program, "--machine", &file, "--json"]);
                serde_json::from_str(&said.out).unwrap()
            };
            let (done, simulated) = (&row["done"], alone("simulate"));
            assert_eq!(done["job_time_s"], simulated["job_time_s"], "{names:?}");
            let margins = simulated["stall"]["margins"].as_array().unwrap().iter();
            let least =
                margins.min_by(|a, b| number(a, "/margin").total_cmp(&number(b, "/margin")));
            assert_eq!(&done["stall_margin"], least.unwrap(), "{names:?}");
            let slow = &alone("corners")["slow_cutting"];
            for (here, there) in [("cutting", "cutting"), ("slow", "below")] {
                for unit in ["length_mm", "time_s"] {
                    let here = number(done, &format!("/{here}/{unit}"));
                    let there = number(slow, &format!("/{there}/{unit}"));
                    assert!(
                        (here - there).abs() <= 1e-9 * there,
                        "{names:?} {here} {there}"
                    );
                }
            }
        }
    }
}

#[test]
fn table_json_and_terminal_agree() {
    let (shop, _) = shop();
    let said = run(&shop, &["--json", "--out", "out", "--png"]);
    assert_eq!(said.out, shop.text("out/assess.json"));
    assert_eq!(
        shop.names("out"),
        ["assess.csv", "assess.json", "hours.png", "hours.svg"]
    );
    let all: Value = serde_json::from_str(&said.out).unwrap();
    let table = shop.table("out/assess.csv");
    let rows = all["rows"].as_array().unwrap();
    let totals = all["machines"].as_array().unwrap();
    assert_eq!(table.rows.len(), rows.len() + totals.len());
    let mut compared = 0;
    for head in &table.heads {
        let texts = table.texts(head);
        for (text, row) in texts.iter().zip(rows.iter().chain(totals)) {
            let done = row.get("done").unwrap_or(row);
            let known = done.get(head).or_else(|| row.get(head));
            if let Some(expected) = known.and_then(Value::as_f64)
                && !text.is_empty()
            {
                let found: f64 = text.parse().unwrap();
                assert!(
                    (found - expected).abs() <= 1e-9,
                    "{head}: {found} {expected}"
                );
                compared += 1;
            }
        }
    }
    // Eleven figures of each row, and eight of each total.
    assert!(compared >= 11 * rows.len() + 8 * totals.len(), "{compared}");
    let shown = run(&shop, &[]).out;
    let shown = flat(&shown);
    for total in totals {
        assert!(
            shown.contains(total["sentence"].as_str().unwrap()),
            "{shown}"
        );
    }
    let again = run(&shop, &["--json", "--out", "out", "--png"]);
    assert_eq!(again.out, said.out);
}

#[test]
fn the_picture_names_jobs_and_machines_and_is_well_formed() {
    let (shop, _) = shop();
    run(&shop, &["--out", "out"]);
    let svg = shop.text("out/hours.svg");
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let words: Vec<&str> = tree.descendants().filter_map(|node| node.text()).collect();
    let words = words.join(" ");
    for expected in PROGRAMS
        .iter()
        .chain(&MACHINES)
        .chain(&["4 of 4 jobs fit", "48.0 h by hand"])
    {
        assert!(words.contains(expected), "{expected} missing in {words}");
    }
    assert!(
        !words.contains("other jobs") && !words.contains("In no bar"),
        "{words}"
    );
}

/// Moves too short for their feed: all of the cutting is slow, and the sentence says so.
#[test]
fn cutting_that_is_slow_for_most_of_the_way_is_said() {
    let shop = assess::shop();
    // Five millimetres reach √(500 · 5) = 50 mm/s of the 100 that are asked for.
    shop.write("line.nc", "G21 G90\nG1 X5 F6000\nX0\nX5\nX0\nM2\n");
    let said = shop.run("assess", &["jobs.toml"]);
    let sentence = "peg: 100 % of the cutting is below 80 % of the programmed feed.";
    assert!(flat(&said.out).contains(sentence), "{}", said.out);
    let shop = assess::shop();
    let said = shop.run("assess", &["jobs.toml"]);
    assert!(!said.out.contains("% of the cutting is"), "{}", said.out);
}

/// A failed check takes a fault in the planner, so it is made up here.
#[test]
fn a_failed_check_is_a_misfit_with_its_numbers() {
    use clap::Parser;
    let shop = assess::shop();
    let [program, machine] = ["line.nc", "machine.toml"].map(|name| shop.path(name));
    let line = [
        "spokeshave".into(),
        "simulate".into(),
        program,
        "--machine".into(),
        machine,
    ];
    let Command::Simulate(arguments) = Cli::parse_from(line).command else {
        unreachable!("the line says simulate");
    };
    let mut summary = simulate(&arguments).unwrap();
    assert_eq!(Misfit::of_checks(&summary), []);
    let check = &mut summary.checks[0];
    check.pass = false;
    (check.worst, check.limit, check.line) = (Some(0.5), Some(0.25), Some(2));
    let name = check.name;
    let misfits = Misfit::of_checks(&summary);
    assert_eq!(misfits.len(), 1);
    let words = misfits[0].words();
    assert!(
        words.starts_with("line.nc, line 2: the check of "),
        "{words}"
    );
    assert!(
        words.contains(name) && words.contains("0.5000, ≤ 0.2500"),
        "{words}"
    );
}

/// A margin that rests on an estimated torque says so: here that of a z with half of its motor.
#[test]
fn an_estimated_stall_margin_is_marked() {
    let (shop, _) = shop();
    let screw = std::fs::read_to_string(top().join("docs/demo/screw-router.toml")).unwrap();
    assert!(screw.contains("270 oz in"));
    shop.write("screw-router.toml", screw.replace("270 oz in", "135 oz in"));
    let text = run(&shop, &[]).out;
    assert!(
        text.contains(" times, z, estimate\n") && text.contains(" times, x\n"),
        "{text}"
    );
}
