//! Forces, torques and inertias of an axis, worked out apart.

use crate::support::{close, read};
use spokeshave_sim::machine_file::WithParts;
use std::f64::consts::{PI, TAU};

const STEPS: &str = "full_steps = 200\nmicrosteps = 8\n";
const MOTOR: &str = "[axis.x.motor]\nrotor_inertia = \"300 g cm^2\"\n\
    torque_curve = [[\"0 rpm\", \"1.2 N m\"], [\"1000 rpm\", \"0.4 N m\"]]\n";
/// A few roundings of a double.
const ROUNDING: f64 = 1e-12;

fn belt(load: &str, motor: &str) -> WithParts {
    read(&format!(
        "[axis.x.drive]\nkind = \"belt\"\npitch = \"2 mm\"\nteeth = 20\nefficiency = \"90 %\"\n\
         shaft_inertia = \"50 g cm^2\"\n{STEPS}[axis.x.load]\n{load}\n{MOTOR}{motor}"
    ))
}

/// Newton's law at the belt, over its radius, and the inertias that turn.
#[test]
fn a_level_belt() {
    let file = belt(
        "mass = \"5 kg\"\nfriction_force = \"10 N\"\ncutting_force = \"30 N\"",
        "",
    );
    let x = file.driven(0).unwrap();
    let radius = 0.040 / TAU;
    let turning = (300.0 + 50.0) * 1e-7;
    let alpha = 2.0 / radius;
    // Gathering speed at 2 m/s², cutting: 5·2 + 10 + 30 N through 90 %.
    let expected = 50.0 * radius / 0.9 + turning * alpha;
    close(x.signed_torque(50.0, 2000.0, true), expected, ROUNDING);
    close(x.signed_torque(-50.0, -2000.0, true), -expected, ROUNDING);
    // From rest it is the same.
    close(x.signed_torque(0.0, 2000.0, true), expected, ROUNDING);
    // Braking, without a cut: 5·(−2) + 10 N are nothing, so the rotor is all.
    close(
        x.signed_torque(50.0, -2000.0, false),
        -turning * alpha,
        ROUNDING,
    );
    // Braking harder, the load pushes the motor along: 2 − 1/0.9 of its work arrives.
    let back = 2.0 - 1.0 / 0.9;
    let expected = -10.0 * radius * back - turning * 4.0 / radius;
    close(x.signed_torque(50.0, -4000.0, false), expected, ROUNDING);
    // Nothing pushes it when it rests.
    assert_eq!(x.torque_needed(0.0, 0.0, true), 0.0);
}

/// Two motors: each has half of the load, and all of its own rotor and pulley.
#[test]
fn two_motors_share_the_load() {
    let load = "mass = \"5 kg\"\nfriction_force = \"10 N\"";
    let one = belt(load, "");
    let two = belt(load, "count = 2\n");
    let turning = 350e-7 * 2.0 / (0.040 / TAU);
    let of = |file: &WithParts| file.driven(0).unwrap().torque_needed(10.0, 2000.0, false);
    close(of(&two) - turning, (of(&one) - turning) / 2.0, 1e-9);
}

/// A weight on an upright screw: up it is lifted, down it pushes, at rest the screw's friction holds it
/// or the motor must. Shigley's formulas, written again with the friction angle: T = F·d/2·tan(λ ± φ).
#[test]
fn an_upright_screw() {
    let z = |friction: &str, lead: &str| {
        read(&format!(
            "[axis.x.drive]\nkind = \"lead screw\"\ndiameter = \"12 mm\"\n{lead}\n\
             thread_angle = \"0 degrees\"\nfriction = {friction}\nlength = \"300 mm\"\n\
             ends = \"fixed-fixed\"\n{STEPS}[axis.x.load]\nmass = \"4 kg\"\nslope = \"90 degrees\"\n\
             {MOTOR}"
        ))
    };
    let weight = 4.0 * 9.80665;
    for (friction, lead, starts, text) in [
        (0.1_f64, 12.0_f64, 4.0, "lead = \"12 mm\"\nstarts = 4"),
        (0.2, 3.0, 1.0, "lead = \"3 mm\""),
    ] {
        let file = z(&friction.to_string(), text);
        let x = file.driven(0).unwrap();
        let mean = 12.0 - 0.5 * lead / starts;
        let (steep, rough) = ((lead / (PI * mean)).atan(), friction.atan());
        let arm = mean / 2e3;
        close(
            x.signed_torque(10.0, 0.0, false),
            weight * arm * (steep + rough).tan(),
            1e-12,
        );
        close(
            x.signed_torque(-10.0, 0.0, false),
            weight * arm * (steep - rough).tan(),
            1e-12,
        );
        let holds = (weight * arm * (steep - rough).tan()).max(0.0);
        close(x.holding_torque(), holds, 1e-12);
        assert_eq!(x.drive().is_self_locking(), holds == 0.0);
    }
}

/// A spring that carries the weight leaves the motor nothing to hold; a level axis has no weight, and
/// one at 30° half of it.
#[test]
fn slope_and_balance() {
    let of = |load: &str| {
        belt(&format!("mass = \"4 kg\"\n{load}"), "").parts[0]
            .clone()
            .unwrap()
    };
    let weight = |load: &str| of(load).load.unwrap().weight_n();
    assert_eq!(weight(""), 0.0);
    close(weight("slope = \"30 degrees\""), 2.0 * 9.80665, 1e-12);
    close(weight("slope = \"-90 deg\""), -4.0 * 9.80665, 1e-12);
    let balanced = "slope = \"90°\"\nbalance_force = \"39.2266 N\"";
    assert!(weight(balanced).abs() < 1e-12);
    assert!(of(balanced).driven().unwrap().holding_torque() < 1e-12);
}

/// What the motor feels of a mass, from the energy of the motion: ½·J·ω² = ½·m·v².
#[test]
fn inertia_from_energy() {
    let file = read(&format!(
        "[axis.x.drive]\nkind = \"ball screw\"\nsize = \"16x5\"\nlength = \"700 mm\"\nratio = 2\n\
         ends = \"fixed-supported\"\n{STEPS}[axis.x.load]\nmass = \"12 kg\"\n{MOTOR}"
    ));
    let x = file.driven(0).unwrap();
    let rpm = x.motor_rpm(80.0);
    let (motor, screw) = (rpm * TAU / 60.0, rpm * TAU / 120.0);
    let of_screw = x.drive().shaft_inertia_kg_m2();
    let energy = 0.5 * 12.0 * 0.080_f64.powi(2)
        + 0.5 * of_screw * screw.powi(2)
        + 0.5 * 300e-7 * motor.powi(2);
    close(0.5 * x.inertia_kg_m2() * motor.powi(2), energy, ROUNDING);
}

/// Riders are carried by what they ride on, and by what that rides on.
#[test]
fn riders_are_carried() {
    let tables = |x: &str, y: &str, z: &str| {
        let one = |axis: &str, load: &str| {
            format!(
                "[axis.{axis}.drive]\nkind = \"belt\"\npitch = \"2 mm\"\nteeth = 20\n{STEPS}\
                 [axis.{axis}.load]\n{load}\n"
            )
        };
        let bare = crate::support::GOOD
            .replace("resolution = \"80 steps/mm\"\n", "")
            .replace("resolution = \"160 steps/mm\"\n", "")
            .replace("resolution = \"400 steps/mm\"\n", "");
        format!("{bare}\n{}{}{}", one("x", x), one("y", y), one("z", z))
    };
    let masses = |text: &str| {
        let file = spokeshave_sim::machine_file::read_with_parts("ride.toml", text).unwrap();
        file.parts
            .map(|parts| parts.unwrap().load.unwrap().moving_mass_kg)
    };
    let gantry = tables(
        "mass = \"2 kg\"\nrides_on = \"y\"",
        "mass = \"5 kg\"",
        "mass = \"3 kg\"\nrides_on = \"x\"",
    );
    assert_eq!(masses(&gantry), [5.0, 10.0, 3.0]);
    // A moving table: z rides on x, and y moves the work.
    let table = tables(
        "mass = \"2 kg\"",
        "mass = \"5 kg\"",
        "mass = \"3 kg\"\nrides_on = \"x\"",
    );
    assert_eq!(masses(&table), [5.0, 5.0, 3.0]);
}
