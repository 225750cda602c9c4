//! `size`: how much more torque than needed is asked for.

use crate::size::{json, shop, size, with_limits};
use crate::workshop::{number, top};
use std::fs;

/// The safety factor is what the torque is divided by.
#[test]
fn the_safety_factor_decides() {
    let demand = |safety: &str| {
        let shop = shop(&with_limits("belt-router.toml", 'x', "8 m/min", "4 m/s^2"));
        (
            size(&shop, &["--safety", safety]).status,
            json(&size(&shop, &["--safety", safety, "--json"])),
        )
    };
    let (status, found) = demand("2");
    let x = &found["axes"][0]["demand"];
    let spare = number(x, "/available_nm") / number(x, "/needed_nm");
    assert_eq!(status, i32::from(spare < 2.0), "{spare}");
    assert_eq!(demand(&format!("{}", spare - 0.001)).0, 0);
    assert_eq!(demand(&format!("{}", spare + 0.001)).0, 1);
}

/// Where none is given, it is what the file asks of the motors.
#[test]
fn the_safety_factor_is_the_stall_margin_of_the_file() {
    let belt = fs::read_to_string(top().join("docs/demo/belt-router.toml")).unwrap();
    let safety = |text: &str, more: &[&str]| {
        let said = size(&shop(text), &[&["--json"], more].concat());
        number(&json(&said), "/safety")
    };
    assert_eq!(safety(&belt, &[]), 2.0);
    let asks = format!("stall_margin = 3.5\n{belt}");
    assert_eq!(safety(&asks, &[]), 3.5);
    assert_eq!(safety(&asks, &["--safety", "2.5"]), 2.5);
}

/// Slips in the figures of a motor: told, and not refused, for they may be meant.
#[test]
fn odd_figures_of_a_motor_are_told() {
    let text = fs::read_to_string(top().join("docs/demo/parts-router.toml")).unwrap();
    let cautions = |old: &str, new: &str| -> Vec<String> {
        assert!(text.contains(old), "{old}");
        let found = json(&size(&shop(&text.replacen(old, new, 1)), &["--json"]));
        let cautions = found["axes"][0]["cautions"].as_array().unwrap().iter();
        cautions
            .map(|caution| caution.as_str().unwrap().to_owned())
            .collect()
    };
    let slipped = |cautions: &[String]| {
        cautions
            .iter()
            .filter(|said| said.contains("slipped?"))
            .count()
    };
    assert_eq!(slipped(&cautions("x", "x")), 0);
    // 0.7 N·m at 600 rpm before it; a fifth more is a bump, ten times as much is a point too far.
    let curve = |torque: &str| cautions("\"0.4 N m\"", torque);
    assert_eq!(slipped(&curve("\"0.84 N m\"")), 0);
    let told = curve("\"4 N m\"").join(" ");
    assert!(
        told.contains("x: the torque curve rises from 0.7 to 4 N m, at 600 and 900 rpm"),
        "{told}"
    );
    // A thousand times too much, and too little.
    for rotor in ["300 kg cm^2", "0.3 g cm^2"] {
        let told = cautions("\"300 g cm^2\"", &format!("\"{rotor}\""));
        assert_eq!(slipped(&told), 1, "{rotor}: {told:?}");
        assert!(
            told.iter().any(|said| said.contains("x: a rotor of ")),
            "{told:?}"
        );
    }
    // Three times is another make of motor.
    assert_eq!(slipped(&cautions("\"300 g cm^2\"", "\"900 g cm^2\"")), 0);
}

/// In the picture the torque drops at the end of its curve, not before it.
#[test]
fn the_curve_drops_upright() {
    let found = json(&size(
        &shop(&with_limits(
            "belt-router.toml",
            'z',
            "79 mm/s",
            "100 mm/s^2",
        )),
        &["--json"],
    ));
    let curve = found["axes"][2]["curve"].as_array().unwrap();
    let torque = |point: &serde_json::Value| number(point, "/available_nm");
    let drop = curve.windows(2).find(|two| torque(&two[1]) == 0.0).unwrap();
    let ends = [0, 1].map(|end: usize| number(&drop[end], "/speed_mm_s"));
    // 80 mm/s: the end of the curve.
    assert!(
        torque(&drop[0]) > 0.0 && (ends[0] - 80.0).abs() < 1e-9,
        "{ends:?}"
    );
    assert!(ends[1] > 80.0 && ends[1] < 80.01, "{ends:?}");
}
