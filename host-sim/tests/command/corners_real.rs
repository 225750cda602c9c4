//! `corners` on real programs and both demo machines: all that it tells adds up.

use crate::corners::{adds_up, lost};
use crate::workshop::{MACHINE, SOME_OF_EVERYTHING, Workshop, top};
use serde_json::Value;

fn real_programs_add_up(machine: &str) {
    let shop = Workshop::new();
    for name in ["coastline.nc", "lettering.nc", "relief.nc"] {
        let program = top().join("tests/programs").join(name);
        let machine = top().join(machine);
        let base = [
            program.as_os_str(),
            "--machine".as_ref(),
            machine.as_os_str(),
        ];
        let ask = |command: &str, more: &[&str]| -> Value {
            let more: Vec<&std::ffi::OsStr> = more.iter().map(|text| text.as_ref()).collect();
            let said = shop.run(command, &[&base[..], &more].concat());
            assert_eq!((said.status, said.err.as_str()), (0, ""), "{name}");
            serde_json::from_str(&said.out).unwrap()
        };
        let some = ask("corners", &["--json"]);
        let most = ask("corners", &["--json", "--top", "4096"]);
        for answer in [&some, &most] {
            adds_up(answer);
        }
        // However many are told one by one, all others are counted.
        let places = |answer: &Value| -> u64 {
            let others = answer["other_places"].as_array().unwrap().iter();
            let others: u64 = others.map(|other| other["places"].as_u64().unwrap()).sum();
            answer["places"].as_array().unwrap().len() as u64 + others
        };
        assert_eq!(places(&some), places(&most));
        assert_eq!(some["places"].as_array().unwrap().len(), 10);
        assert_eq!(
            some["places"].as_array().unwrap()[..],
            most["places"].as_array().unwrap()[..10]
        );
        let costs: Vec<f64> = most["places"]
            .as_array()
            .unwrap()
            .iter()
            .map(lost)
            .collect();
        assert!(costs.is_sorted_by(|a, b| a >= b), "the dearest come first");
        let lowest = costs.last().unwrap();
        assert!(
            *lowest > -1e-6,
            "{lowest}: no place wins time, but for rounding"
        );
        // The job is the one that `simulate` makes the pulses of.
        if name == "lettering.nc" {
            let summary = ask("simulate", &["--json"]);
            for key in ["job_time_s", "feed_time_s", "rest_s"] {
                assert_eq!(summary[key], some[key], "{key}");
            }
        }
    }
}

#[test]
fn real_programs_add_up_on_the_belt_router() {
    real_programs_add_up("docs/demo/belt-router.toml");
}

#[test]
fn real_programs_add_up_on_the_screw_router() {
    real_programs_add_up("docs/demo/screw-router.toml");
}

#[test]
fn some_of_everything_adds_up_at_any_look_ahead() {
    for look_ahead in ["2", "3", "32"] {
        let shop = Workshop::new();
        let machine = MACHINE.replace("look_ahead = 32", &format!("look_ahead = {look_ahead}"));
        shop.write("machine.toml", machine);
        shop.write("part.nc", SOME_OF_EVERYTHING);
        let said = shop.run(
            "corners",
            &["part.nc", "--machine", "machine.toml", "--json"],
        );
        adds_up(&serde_json::from_str(&said.out).unwrap());
    }
}
