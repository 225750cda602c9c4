//! Power screws against a worked example, and against each other.

use crate::support::{close, drive};

/// Shigley's Mechanical Engineering Design, 9th ed., example 8-1: a square thread of 32 mm with a pitch
/// of 4 mm and two starts, f = f_c = 0.08, d_c = 40 mm, 6.4 kN. Raising takes 26.18 N·m, lowering
/// 9.77 N·m, the efficiency is 0.311 (memory).
#[test]
fn the_text_books_example() {
    let drive = drive(
        "kind = \"lead screw\"\ndiameter = \"32 mm\"\npitch = \"4 mm\"\nstarts = 2\n\
         thread_angle = \"0 degrees\"\nfriction = 0.08\ncollar_friction = 0.08\n\
         collar_diameter = \"40 mm\"\nlength = \"500 mm\"\nends = \"fixed-fixed\"",
    );
    let screw = drive.screw().unwrap();
    assert_eq!((screw.mean_diameter_mm(), screw.lead_mm), (30.0, 8.0));
    let two_decimals = |value: f64| format!("{value:.2}");
    assert_eq!(two_decimals(drive.motor_torque_nm(6400.0)), "26.18");
    assert_eq!(two_decimals(drive.motor_torque_nm(-6400.0)), "9.77");
    assert_eq!(format!("{:.3}", drive.efficiency()), "0.311");
    // It takes torque to lower, so no load turns it.
    assert!(drive.is_self_locking());
}

/// Without a collar a thread locks itself where friction is more than the tangent of the lead angle
/// (Shigley §8-2: π·f·d_m > l; memory): here l/(π·d_m) = 8/(π·30) = 0.0849.
#[test]
fn self_locking_turns_at_the_lead_angle() {
    for (friction, locks) in [(0.08, false), (0.0848, false), (0.0850, true), (0.12, true)] {
        let drive = drive(&format!(
            "kind = \"lead screw\"\ndiameter = \"32 mm\"\nlead = \"8 mm\"\nstarts = 2\n\
             thread_angle = \"0 degrees\"\nfriction = {friction}\nlength = \"500 mm\"\n\
             ends = \"fixed-fixed\"",
        ));
        assert_eq!(drive.is_self_locking(), locks, "{friction}");
    }
}

/// Without friction all of the work passes, both ways: T = F·l/(2π).
#[test]
fn without_friction_nothing_is_lost() {
    let drive = drive(
        "kind = \"lead screw\"\nsize = \"Tr 12x3\"\nfriction = 0\nlength = \"500 mm\"\n\
         ends = \"fixed-fixed\"",
    );
    let ideal = 100.0 * 0.003 / std::f64::consts::TAU;
    close(drive.motor_torque_nm(100.0), ideal, 1e-12);
    close(drive.motor_torque_nm(-100.0), -ideal, 1e-12);
    close(drive.efficiency(), 1.0, 1e-12);
    close(drive.efficiency_back(), 1.0, 1e-12);
}

/// The wider the thread, the more its flanks wedge: the secant of half the thread angle on friction
/// (Shigley equation 8-6; memory).
#[test]
fn a_thread_angle_is_more_friction() {
    let torque = |angle: &str, friction: f64| {
        drive(&format!(
            "kind = \"lead screw\"\ndiameter = \"12 mm\"\npitch = \"3 mm\"\nfriction = {friction}\n\
             thread_angle = \"{angle}\"\nlength = \"500 mm\"\nends = \"fixed-fixed\"",
        ))
        .motor_torque_nm(100.0)
    };
    let secant = 1.0 / 15_f64.to_radians().cos();
    close(
        torque("30 degrees", 0.15),
        torque("0 degrees", 0.15 * secant),
        1e-12,
    );
}

/// A ball screw is driven back with 2 − 1/η (data sheets of ball screws; memory): 0.9 forward is 0.889
/// back; at 0.5 a thread just locks itself (Shigley §8-2, common statement; memory).
#[test]
fn efficiency_forward_and_back() {
    let of = |efficiency: &str| {
        drive(&format!(
            "kind = \"ball screw\"\nsize = \"16x5\"\nefficiency = \"{efficiency}\"\n\
             length = \"500 mm\"\nends = \"fixed-fixed\"",
        ))
    };
    let ball = of("90 %");
    close(ball.efficiency(), 0.9, 1e-12);
    assert_eq!(format!("{:.3}", ball.efficiency_back()), "0.889");
    assert!(!ball.is_self_locking());
    assert!(of("50 %").is_self_locking() && !of("51 %").is_self_locking());
}
