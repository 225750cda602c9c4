//! The same parts in inches, pounds and ounces are the same parts.

use crate::support::{close, read};
use spokeshave_sim::quantity::{Kind, parse};

/// Factors: pound and inch by the agreement of 1959, standard gravity by the 3rd CGPM of 1901; so
/// 1 lbf = 4.448 221 615 260 5 N and 1 oz in = 7.061 551 814… mN·m (NIST SP 811, appendix B.8; memory).
#[test]
fn factors() {
    let inch = 0.0254;
    let pound = 0.453_592_37;
    let gravity = 9.80665;
    for (text, kind, value) in [
        ("1 lb", Kind::Mass, pound),
        ("1 lbf", Kind::Force, pound * gravity),
        ("1 lbf in", Kind::Torque, pound * gravity * inch),
        ("1 oz in", Kind::Torque, pound * gravity * inch / 16.0),
        ("1 oz-in", Kind::Torque, 7.061_551_814e-3),
        ("1 kgf cm", Kind::Torque, 0.098_066_5),
        ("1 N·m", Kind::Torque, 1.0),
        ("1 N m", Kind::Torque, 1.0),
        ("1 N⋅m", Kind::Torque, 1.0),
        ("100 N cm", Kind::Torque, 1.0),
        ("54 g cm^2", Kind::Inertia, 54e-7),
        ("54 g·cm²", Kind::Inertia, 54e-7),
        ("1 lb in^2", Kind::Inertia, pound * inch * inch),
        ("1 oz in²", Kind::Inertia, pound / 16.0 * inch * inch),
        ("500 mA", Kind::Current, 0.5),
        ("3.2 mH", Kind::Inductance, 3.2e-3),
        ("1.1 ohm", Kind::Resistance, 1.1),
        ("1.1 Ω", Kind::Resistance, 1.1),
        ("1.1 \u{2126}", Kind::Resistance, 1.1),
        ("36 V", Kind::Voltage, 36.0),
        ("2 turns/s", Kind::Rotation, 120.0),
        ("600 rpm", Kind::Rotation, 600.0),
        ("30 degrees", Kind::Angle, 30.0),
        ("30°", Kind::Angle, 30.0),
    ] {
        // Nine decimals where the source has so many, else two roundings.
        close(parse(text, kind).unwrap(), value, 1e-9);
    }
    // Pull and mass are not each other.
    assert!(
        parse("5 kg", Kind::Force)
            .unwrap_err()
            .cause
            .contains("is a mass, but a force")
    );
    assert!(
        parse("5 N", Kind::Mass)
            .unwrap_err()
            .cause
            .contains("is a force, but a mass")
    );
}

#[test]
fn inches_and_millimetres_describe_the_same_parts() {
    let parts = |drive: &str, load: &str, motor: &str| {
        read(&format!(
            "[axis.x.drive]\nkind = \"lead screw\"\n{drive}\nfull_steps = 200\nmicrosteps = 8\n\
             friction = \"15 %\"\nends = \"fixed-supported\"\n[axis.x.load]\n{load}\n[axis.x.motor]\n{motor}\n"
        ))
    };
    let metric = parts(
        "diameter = \"12.7 mm\"\npitch = \"2.54 mm\"\nthread_angle = \"29 deg\"\n\
         root_diameter = \"9.652 mm\"\nlength = \"508 mm\"",
        "mass = \"4.5359237 kg\"\nfriction_force = \"8.896443230521 N\"\ncutting_force = \"40 N\"",
        "rotor_inertia = \"2.926396534292 kg cm^2\"\ntorque_curve = \
         [[\"60 rpm\", \"1.129848290276167 N m\"], [\"600 rpm\", \"56.49241451380835 N cm\"]]",
    );
    let inches = parts(
        "size = \"1/2-10\"\nlength = \"20 in\"",
        "mass = \"10 lb\"\nfriction_force = \"2 lbf\"\ncutting_force = \"40 N\"",
        "rotor_inertia = \"1 lb in^2\"\ntorque_curve = \
         [[\"200 steps/s\", \"160 oz in\"], [\"2000 steps/s\", \"5 lbf in\"]]",
    );
    let [a, b] = [&metric, &inches].map(|file| file.driven(0).unwrap());
    // A few roundings of a double.
    let same = |a: f64, b: f64| close(a, b, 1e-13);
    same(a.drive().steps_per_mm(), b.drive().steps_per_mm());
    same(
        a.drive().screw().unwrap().critical_rpm(),
        b.drive().screw().unwrap().critical_rpm(),
    );
    same(
        a.drive().most_push_n().unwrap(),
        b.drive().most_push_n().unwrap(),
    );
    for (speed, acceleration) in [(0.0, 100.0), (10.0, 250.0), (-20.0, 250.0)] {
        same(
            a.torque_needed(speed, acceleration, true),
            b.torque_needed(speed, acceleration, true),
        );
        same(
            a.torque_available(a.motor_rpm(speed)),
            b.torque_available(b.motor_rpm(speed)),
        );
        close(
            a.acceleration_at(speed.abs(), 2.0),
            b.acceleration_at(speed.abs(), 2.0),
            1e-8,
        );
    }
}
