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
