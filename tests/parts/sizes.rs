//! Sizes by their designations, against the standards' tables. All values are from memory. Motors of
//! 200 full steps with 8 microsteps.

use crate::support::{close, drive};
use spokeshave_sim::drive::Screw;
use spokeshave_sim::drive::standards::{ball_screw, belt_pitch_mm, lead_screw, module_mm};

const LEAD: &str =
    "kind = \"lead screw\"\nfriction = 0.15\nlength = \"400 mm\"\nends = \"fixed-fixed\"";
const BALL: &str = "kind = \"ball screw\"\nlength = \"400 mm\"\nends = \"fixed-fixed\"";
/// The last digit that the tables give, and two roundings of a double.
const ROUNDING: f64 = 1e-12;

fn screw(kind: &str, size: &str) -> Screw {
    let drive = drive(&format!("{kind}\nsize = \"{size}\""));
    drive.screw().unwrap().clone()
}

/// ISO 2904, basic dimensions: pitch diameter d₂ and root diameter d₃ of the screw.
#[test]
fn metric_trapezoidal() {
    // Designation, d, P, d2, d3 in mm.
    for (size, d, pitch, d2, d3) in [
        ("Tr 8x1.5", 8.0, 1.5, 7.25, 6.2),
        ("Tr 10x2", 10.0, 2.0, 9.0, 7.5),
        ("Tr 12x3", 12.0, 3.0, 10.5, 8.5),
        ("Tr 16x4", 16.0, 4.0, 14.0, 11.5),
        ("Tr 20x4", 20.0, 4.0, 18.0, 15.5),
        ("Tr 24x5", 24.0, 5.0, 21.5, 18.5),
        ("Tr 30x6", 30.0, 6.0, 27.0, 23.0),
        ("Tr 40x7", 40.0, 7.0, 36.5, 32.0),
    ] {
        let screw = screw(LEAD, size);
        assert_eq!((screw.diameter_mm, screw.pitch_mm), (d, pitch), "{size}");
        assert_eq!(screw.lead_mm, pitch, "{size}");
        close(screw.mean_diameter_mm(), d2, ROUNDING);
        close(screw.root_diameter_mm, d3, ROUNDING);
    }
}

/// ISO 2904 writes several starts as lead and pitch.
#[test]
fn several_starts() {
    let screw = screw(LEAD, "Tr 12x6(P3)");
    assert_eq!((screw.lead_mm, screw.pitch_mm), (6.0, 3.0));
    for same in ["tr12x6p3", "TR 12 × 6 (P3)"] {
        assert_eq!(lead_screw(same), lead_screw("Tr 12x6(P3)"), "{same}");
    }
    let acme = drive(&format!("{LEAD}\nsize = \"1/2-10\"\nstarts = 2"));
    assert_eq!(acme.travel_per_turn_mm(), 5.08);
    // A size of no standard, by its numbers: 8 mm with four starts of 2 mm.
    let four = drive(&format!(
        "{LEAD}\ndiameter = \"8 mm\"\nlead = \"8 mm\"\nstarts = 4\nthread_angle = \"30 degrees\""
    ));
    assert_eq!(four.steps_per_mm(), 200.0);
    assert_eq!(four.screw().unwrap().pitch_mm, 2.0);
}

/// ASME B1.5, general purpose: nominal diameter, threads to the inch, basic pitch diameter and
/// minor diameter of the screw, inches.
#[test]
fn acme() {
    for (size, diameter, threads, pitch_diameter, minor) in [
        ("1/4-16", 0.25, 16.0, 0.2188, 0.1775),
        ("3/8-12", 0.375, 12.0, 0.3333, 0.2817),
        ("1/2-10", 0.5, 10.0, 0.45, 0.38),
        ("5/8-8", 0.625, 8.0, 0.5625, 0.48),
        ("3/4-6", 0.75, 6.0, 0.6667, 0.5633),
        ("1-5", 1.0, 5.0, 0.9, 0.78),
        ("1 1/4-5", 1.25, 5.0, 1.15, 1.03),
        ("1 1/2-4", 1.5, 4.0, 1.375, 1.23),
    ] {
        let screw = screw(LEAD, size);
        close(screw.diameter_mm, 25.4 * diameter, ROUNDING);
        close(screw.lead_mm, 25.4 / threads, ROUNDING);
        // The tables have four decimals.
        let last_digit = 0.000_05 * 25.4;
        assert!(
            (screw.mean_diameter_mm() - 25.4 * pitch_diameter).abs() <= last_digit,
            "{size}"
        );
        assert!(
            (screw.root_diameter_mm - 25.4 * minor).abs() <= last_digit,
            "{size}"
        );
    }
    // The demo's z: 16000 steps/in exactly.
    let half_ten = drive(&format!("{LEAD}\nsize = \"1/2-10\""));
    assert_eq!(half_ten.steps_per_mm(), 160_000.0 / 254.0);
}

/// ISO 3408-2: nominal diameters and leads.
#[test]
fn ball_screws() {
    for (size, diameter, lead) in [
        ("8x2.5", 8.0, 2.5),
        ("12x4", 12.0, 4.0),
        ("12x5", 12.0, 5.0),
        ("16x5", 16.0, 5.0),
        ("16x10", 16.0, 10.0),
        ("20x20", 20.0, 20.0),
        ("25x10", 25.0, 10.0),
        ("32x5", 32.0, 5.0),
    ] {
        let screw = screw(BALL, size);
        assert_eq!(
            (screw.diameter_mm, screw.lead_mm),
            (diameter, lead),
            "{size}"
        );
        let found = ball_screw(&size.replace('x', " × ")).unwrap();
        assert_eq!(
            (found.diameter_mm, found.lead_mm),
            (diameter, lead),
            "{size}"
        );
    }
}

/// ISO 5296: pitches by code; and ISO 17396 and 13050 for metric ones.
#[test]
fn belts() {
    for (code, pitch) in [
        ("MXL", 2.032),
        ("XXL", 3.175),
        ("XL", 5.080),
        ("L", 9.525),
        ("H", 12.7),
        ("XH", 22.225),
        ("XXH", 31.75),
        ("T5", 5.0),
        ("T10", 10.0),
        ("8M", 8.0),
    ] {
        assert_eq!(belt_pitch_mm(code), Ok(pitch), "{code}");
        let belt = drive(&format!("kind = \"belt\"\nsize = \"{code}\"\nteeth = 20"));
        close(belt.steps_per_mm(), 1600.0 / (20.0 * pitch), ROUNDING);
    }
    // To three decimals, as the standard's users write it.
    let xl = drive("kind = \"belt\"\nsize = \"xl\"\nteeth = 20");
    assert_eq!(format!("{:.3}", xl.steps_per_mm()), "15.748");
}

/// ISO 54, first series: the pitch of a rack is π times its module.
#[test]
fn racks() {
    for (module, pitch) in [
        ("1 mm", "3.1416"),
        ("1.25 mm", "3.9270"),
        ("1.5 mm", "4.7124"),
        ("2 mm", "6.2832"),
        ("2.5 mm", "7.8540"),
        ("3 mm", "9.4248"),
        ("4 mm", "12.5664"),
    ] {
        let rack = drive(&format!(
            "kind = \"rack\"\nmodule = \"{module}\"\nteeth = 20"
        ));
        assert_eq!(format!("{:.4}", rack.travel_per_turn_mm() / 20.0), pitch);
    }
    let one = drive("kind = \"rack\"\nmodule = \"1 mm\"\nteeth = 20");
    assert_eq!(format!("{:.3}", one.steps_per_mm()), "25.465");
    assert!(
        module_mm(0.95)
            .unwrap_err()
            .remedy
            .contains("`0.9 mm`, `1 mm`")
    );
}

/// A reduction of 3 to 1: three turns of the motor for one of the pinion.
#[test]
fn a_ratio_multiplies() {
    let plain = drive("kind = \"rack\"\npitch = \"5 mm\"\nteeth = 20");
    let geared = drive("kind = \"rack\"\npitch = \"5 mm\"\nteeth = 20\nratio = 3");
    assert_eq!(plain.steps_per_mm(), 16.0);
    assert_eq!(geared.steps_per_mm(), 48.0);
    assert_eq!(geared.motor_rpm(100.0), 3.0 * plain.motor_rpm(100.0));
    close(geared.speed_mm_s(geared.motor_rpm(123.0)), 123.0, ROUNDING);
    // Torque goes down with it, and what the motor feels of a mass with its square.
    close(
        geared.motor_torque_nm(50.0),
        plain.motor_torque_nm(50.0) / 3.0,
        ROUNDING,
    );
    close(
        geared.inertia_at_motor_kg_m2(4.0),
        plain.inertia_at_motor_kg_m2(4.0) / 9.0,
        ROUNDING,
    );
}

/// What no table has is refused with what is near it.
#[test]
fn unknown_sizes_name_near_ones() {
    let near = |remedy: String, names: &[&str]| {
        for name in names {
            assert!(remedy.contains(&format!("`{name}`")), "{remedy}");
        }
    };
    near(
        lead_screw("Tr 12x4").unwrap_err().remedy,
        &["Tr 12x3", "Tr 12x2"],
    );
    near(
        lead_screw("Tr 13x3").unwrap_err().remedy,
        &["Tr 12x3", "Tr 14x3"],
    );
    near(lead_screw("1/2-8").unwrap_err().remedy, &["1/2-10"]);
    near(
        lead_screw("9/16-8").unwrap_err().remedy,
        &["1/2-10", "5/8-8"],
    );
    near(ball_screw("16x7").unwrap_err().remedy, &["16x6", "16x8"]);
    near(ball_screw("15x5").unwrap_err().remedy, &["16x5"]);
    near(belt_pitch_mm("XXXL").unwrap_err().remedy, &["XXL"]);
    for text in [
        "",
        "Tr",
        "Tr x",
        "Tr 12x",
        "Tr 12x0",
        "Tr 12x6(P",
        "Tr -12x3",
        "Tr infx3",
        "x",
    ] {
        assert!(lead_screw(text).is_err(), "{text}");
        assert!(ball_screw(text).is_err(), "{text}");
    }
    // A lead that is no whole number of pitches.
    let error = lead_screw("Tr 12x7(P3)").unwrap_err();
    assert!(
        error.cause.contains("7 mm is not 1 to 12 pitches of 3 mm"),
        "{error:?}"
    );
}
