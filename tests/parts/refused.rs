//! Malformed tables of parts: each case changes one thing in a good file, and the error must stand at
//! that place, with its cause and a remedy.

use spokeshave_sim::machine_file;
use spokeshave_tests::refusal::{place_of, says};

/// A good machine file with parts of all kinds.
const PARTS: &str = include_str!("parts.toml");

/// Replaces `old`, which is there once, by `new`, and expects the error at `at` of the changed file.
#[track_caller]
fn refused(old: &str, new: &str, at: &str, cause: &str, remedy: &str) {
    assert_eq!(PARTS.matches(old).count(), 1, "`{old}` must be there once");
    let file = PARTS.replace(old, new);
    let error = machine_file::read("parts.toml", &file).expect_err("must be refused");
    says(&error, "parts.toml", place_of(&file, at), cause, remedy);
    // A file whose limits may be missing is no less strict.
    let draft = machine_file::read_draft("parts.toml", &file).expect_err("must be refused");
    assert_eq!((draft.line(), draft.cause()), (error.line(), error.cause()));
}

#[test]
fn the_good_file_is_read() {
    let file = machine_file::read_with_parts("parts.toml", PARTS).unwrap();
    assert!(file.driven(0).is_some() && file.driven(1).is_some());
    assert!(file.driven(2).is_none() && file.parts[2].as_ref().unwrap().load.is_some());
    // 200 × 8 × 1.5 / 3, and 400 × 16 / (5.08 × 24).
    assert_eq!(file.machine.axes[0].steps_per_mm, 800.0);
    assert_eq!(file.machine.axes[1].steps_per_mm, 6400.0 / 121.92);
    // 400 full steps a second of 200 a turn.
    let motor = file.parts[0].as_ref().unwrap().motor.as_ref().unwrap();
    assert_eq!(motor.start_stop_rpm, Some(120.0));
}

#[test]
#[rustfmt::skip] // One case a line.
fn drives() {
    let x = "[axis.x]\nspeed";
    refused(x, "[axis.x]\nresolution = \"800 steps/mm\"\nspeed", "\"800 st", "and so is a drive in [axis.x]", "keep one");
    refused("kind = \"lead screw\"", "", "[axis.x.drive]", "`kind` is missing in [axis.x.drive]", "lead screw");
    refused("\"lead screw\"", "\"led screw\"", "\"led", "`axis.x.drive.kind` cannot be `led screw`", "did you mean \"lead screw\"");
    refused("\"lead screw\"", "\"chain\"", "\"chain", "cannot be `chain`", "\"lead screw\", \"ball screw\", \"belt\", \"rack\"");
    refused("\"lead screw\"", "1", "1\nsize", "is a bare number, but must be text", "the choices are");
    refused("\"lead screw\"", "\"ball screw\"", "0.15", "`friction` says nothing of a ball screw", "size, diameter, lead");
    refused("teeth = 24", "teeth = 24\nlength = \"1 m\"", "\"1 m\"", "`length` says nothing of a belt", "teeth, shaft_inertia");
    refused("teeth = 24", "teeth = 24\nlenght = \"1 m\"", "lenght", "unknown key `lenght` in [axis.y.drive]", "did you mean `length`");
    refused("mass = \"5 kg\"", "mass = \"5 kg\"\nteeth = 3", "teeth = 3", "unknown key `teeth`", "[axis.x.drive]");
    refused("Tr 12x3", "Tr 12x4", "\"Tr", "`Tr 12x4` is not in the table", "`Tr 12x3`, `Tr 12x2`");
    refused("Tr 12x3", "Tr 12x6", "\"Tr", "`Tr 12x6` is not in the table", "near it are `Tr 12x6(P3)`");
    refused("Tr 12x3", "Tr 12x6(P4)", "\"Tr", "is not in the table", "given by `diameter`, and `pitch`");
    refused("Tr 12x3", "Tr 12x7(P3)", "\"Tr", "7 mm is not 1 to 12 pitches of 3 mm", "Tr 12x6(P3)");
    refused("Tr 12x3", "M12", "\"M12", "`M12` is not in the table of Acme", "near it are");
    refused("Tr 12x3", "1/2-12", "\"1/2", "`1/2-12` is not in the table of Acme", "`1/2-10`");
    refused("size = \"Tr 12x3\"", "size = 12", "12\n", "`axis.x.drive.size` is a bare number", "Tr 12x3");
    refused("size = \"Tr 12x3\"", "", "[axis.x.drive]", "`size` or `diameter` is missing", "diameter = \"12 mm\"");
    refused("size = \"Tr 12x3\"", "size = \"Tr 12x3\"\ndiameter = \"12 mm\"", "\"12 mm\"", "`size` and `diameter` are both", "keep one");
    refused("size = \"Tr 12x3\"", "size = \"Tr 12x3\"\npitch = \"3 mm\"", "\"3 mm\"", "`pitch` and `size` are both", "keep one");
    refused("size = \"Tr 12x3\"", "size = \"Tr 12x6(P3)\"\nstarts = 2", "2\nfriction", "`size` says how many", "take it out");
    // ISO 2902 writes the lead: `Tr 12x3` has one start.
    refused("size = \"Tr 12x3\"", "size = \"Tr 12x3\"\nstarts = 2", "2\nfriction", "`Tr 12x3` has 1", "`Tr 12x6(P3)`");
    refused("size = \"Tr 12x3\"", "size = \"1/2-10\"\nstarts = 0", "0\nfriction", "`axis.x.drive.starts` is 0", "1 to 12");
    refused("size = \"Tr 12x3\"", "diameter = \"12 mm\"\npitch = \"3 mm\"", "[axis.x.drive]", "`thread_angle` is missing", "30 degrees");
    refused("size = \"Tr 12x3\"", "diameter = \"12 mm\"\nlead = \"12 mm\"\nthread_angle = \"30 deg\"", "\"12 mm\"", "leaves nothing of a screw", "`starts`");
    refused("friction = 0.15", "", "[axis.x.drive]", "`efficiency` or `friction` is missing", "friction = 0.15");
    refused("friction = 0.15", "friction = 0.15\nefficiency = 0.4", "0.15", "`efficiency` and `friction` are both", "keep one");
    refused("friction = 0.15", "efficiency = 0.4", "\"18 mm\"", "`collar_diameter` goes with `friction`", "take it out");
    refused("friction = 0.15", "friction = 15", "15\ncollar", "`axis.x.drive.friction` is above its range", "0 to 1");
    refused("friction = 0.15\ncollar_diameter = \"18 mm\"\ncollar_friction = 0.1", "efficiency = 40", "40\n", "`axis.x.drive.efficiency` is above its range", "write \"40 %\"");
    refused("friction = 0.15", "friction = \"low\"", "\"low\"", "`low` is not a number or a percentage", "0 to 1");
    refused("collar_friction = 0.1", "", "[axis.x.drive]", "`collar_friction` is missing", "0.1");
    refused("length = \"700 mm\"", "", "[axis.x.drive]", "`length` is missing", "400 mm");
    refused("\"700 mm\"", "\"600 mm\"", "\"600 mm\"\nends", "600 mm long between its bearings, and the travel of the axis 600 mm", "or check `travel`");
    refused("\"700 mm\"", "'28\"'", "\"'\nends", "`\"` is no unit here", "write inches as `in`, as in `28 in`");
    refused("\"700 mm\"", "\"28″\"", "″", "`″` is no unit here", "`28 in`");
    refused("\"700 mm\"", "\"700\"", "700\"", "`700` has no unit", "0.02 mm");
    refused("\"fixed-supported\"", "\"fixed-suported\"", "\"fixed-sup", "cannot be `fixed-suported`", "did you mean \"fixed-supported\"");
    refused("ratio = 1.5", "ratio = 0", "0\nfull", "`axis.x.drive.ratio` must be more than 0", "0.01 to 100");
    refused("ratio = 1.5", "ratio = \"3:1\"", "\"3:1\"", "`3:1` is not a number", "`ratio = 3` for 3:1");
    refused("ratio = 1.5", "ratio = [3, 2]", "[3, 2]", "is a list, but must be a number", "0.01 to 100");
    refused("microsteps = 8", "microsteps = 8.5", "8.5", "`axis.x.drive.microsteps` is 8.5, but must be a whole number from 1 to 1024", "decimals");
    refused("microsteps = 8", "microsteps = 1024", "[axis.x.drive]", "102400 steps/mm: `resolution` is above", "0.1 to 20 000");
    refused("\"XL\"", "\"XXXL\"", "\"XXXL", "not in the table of toothed belts", "did you mean `XXL`");
    refused("teeth = 24", "teeth = \"24\"", "\"24\"", "`axis.y.drive.teeth` is text", "without quotes");
    refused("\"94 %\"", "\"194 %\"", "\"194", "`axis.y.drive.efficiency` is above", "5 % to 100 %");
    refused("\"25 g cm^2\"", "\"25 g cm\"", "g cm\"", "unknown unit `g cm`", "did you mean `g cm");
    refused("\"16x5\"", "\"16x7\"", "\"16x7", "`16x7` is not in the table of ball screws", "`16x6`, `16x8`");
    refused("size = \"16x5\"", "size = \"16x5\"\nlead = \"5 mm\"", "\"5 mm\"", "`lead` and `size` are both", "keep one");
    refused("\"13 mm\"", "\"16 mm\"", "\"16 mm", "is not below its nominal diameter, 16 mm", "data sheet");
    refused("[axis.z.drive]", "[axis.z.drive]\nmodule = \"1 mm\"", "\"1 mm\"", "`module` says nothing of a ball screw", "take it out");
}

#[test]
#[rustfmt::skip] // One case a line.
fn loads() {
    refused("mass = \"5 kg\"", "", "[axis.y.load]", "`mass` is missing in [axis.y.load]", "6 kg");
    refused("\"5 kg\"", "\"5 N\"", "N\"\n\n[axis.y", "is a force, but a mass is due", "kg, g, lb");
    refused("\"5 kg\"", "\"0 kg\"", "\"0 kg", "`axis.y.load.mass` must be more than 0", "2 000 kg");
    refused("\"10 N\"", "\"10 kg\"", "kg\"\ncut", "is a mass, but a force is due", "lbf");
    refused("\"10 N\"", "\"-10 N\"", "\"-10", "`axis.x.load.friction_force` is below its range", "0 to 20 kN");
    refused("\"90 degrees\"", "\"100 degrees\"", "\"100 deg", "`axis.z.load.slope` is above its range", "-90 to 90");
    refused("\"90 degrees\"", "90", "90\nbal", "has no unit", "30 degrees");
    refused("rides_on = \"y\"", "rides_on = \"x\"", "\"x\"", "x rides on x", "the lowest names none");
    refused("rides_on = \"y\"", "rides_on = \"z\"", "\"x\"\nslope", "z rides on x, which rides on z in the end", "lowest");
    refused("rides_on = \"y\"", "rides_on = \"gantry\"", "\"gantry", "cannot be `gantry`", "\"x\", \"y\", \"z\"");
}

#[test]
#[rustfmt::skip] // One case a line.
fn motors() {
    refused("count = 1", "count = 3", "3\ntorque", "`axis.x.motor.count` is 3", "1 to 2");
    refused("[\"900 rpm\", \"0.4 N m\"]]", "[\"900 rpm\"]]", "[\"900", "a list of 1, not of two", "60 rpm");
    refused(", [\"900 rpm\", \"0.4 N m\"]]", "]", "[[\"60", "at least two points", "60 rpm");
    refused("\"900 rpm\"", "\"60 rpm\"", "[\"60 rpm\", \"0.4", "must rise", "order of their speeds");
    refused("\"900 rpm\"", "\"900 mm/s\"", "mm/s\", \"0.4", "is a speed, but a rotational speed is due", "rpm");
    refused("\"0.4 N m\"", "\"0.4 N\"", "N\"]]", "is a force, but a torque is due", "oz in");
    refused("\"0.4 N m\"", "0.4", "0.4", "has no unit", "0.6 N m");
    refused("[[\"60 rpm\", \"1.1 N m\"], [\"900 rpm\", \"0.4 N m\"]]", "\"1.1 N m\"", "\"1.1", "is text, but must be a list of points", "[[");
    refused("count = 1", "supply_voltage = \"36 V\"", "\"36 V\"", "is for an estimate, and `torque_curve` is given", "take it out");
    refused("count = 1", "holding_torque = \"1 N m\"", "\"1 N m\"", "`torque_curve` and `holding_torque` are both", "keep one");
    refused("rotor_inertia = \"300 g cm^2\"", "", "[axis.x.motor]", "`rotor_inertia` is missing", "g cm^2");
    refused("\"400 steps/s\"", "\"400 pulses/s\"", "pulses", "unknown unit", "rpm");
    refused("\"400 steps/s\"", "\"99999999 steps/s\"", "\"9999", "start_stop_rate` is above", "20 000 rpm");
    refused("holding_torque = \"1.9 N m\"", "", "[axis.y.motor]", "`torque_curve` or `holding_torque` is missing", "[[");
    refused("inductance = \"3.2 mH\"", "", "[axis.y.motor]", "`inductance` is missing in [axis.y.motor]", "3 mH");
    refused("\"3.2 mH\"", "\"3.2 mF\"", "mF", "unknown unit `mF`", "the units are H, mH");
    refused("\"2.8 A\"", "\"2.8 V\"", "V\"\nind", "is a voltage, but a current is due", "mA");
    refused("\"48 V\"", "\"480 V\"", "\"480", "`axis.y.motor.supply_voltage` is above", "1 to 400 V");
    refused("slope = \"90 degrees\"", "[axis.z.motor]\nholding_torque = \"1 N m\"\n[axis.q]", "q]", "unknown key `q`", "x, y, z");
}

/// Tables that hang in the air.
#[test]
fn what_needs_what() {
    let cut = |from: &str, to: &str| {
        let (start, end) = (PARTS.find(from).unwrap(), PARTS.find(to).unwrap());
        format!("{}{}", &PARTS[..start], &PARTS[end..])
    };
    let refused = |file: &str, at: &str, cause: &str, remedy: &str| {
        let error = machine_file::read("parts.toml", file).expect_err("must be refused");
        says(&error, "parts.toml", place_of(file, at), cause, remedy);
    };
    let no_drive = cut("[axis.x.drive]", "[axis.x.load]");
    refused(
        &no_drive,
        "[axis.x]",
        "`resolution` is missing in [axis.x]",
        "or a table [axis.x.drive]",
    );
    let bare = no_drive.replace("[axis.x]\n", "[axis.x]\nresolution = \"800 steps/mm\"\n");
    refused(
        &bare,
        "[axis.x.load]",
        "there is a load, but no drive in [axis.x]",
        "in place of `resolution`",
    );
    let no_load = cut("[axis.x.load]", "[axis.x.motor]");
    refused(
        &no_load,
        "[axis.x.motor]",
        "there is a motor, but no load in [axis.x]",
        "[axis.x.load]",
    );
    let no_mass_below = cut("[axis.y.load]", "[axis.z]");
    refused(
        &no_mass_below,
        "\"y\"\nfriction",
        "x rides on y, but there is no table [axis.y.load]",
        "of y alone",
    );
    // Limits that are missing are missing for all but `size`.
    let unlimited = PARTS.replace("speed_limit = \"40 mm/s\"\n", "");
    refused(
        &unlimited,
        "[axis.x]",
        "`speed_limit` is missing in [axis.x]",
        "`spokeshave size FILE --out NEW` works it out from its drive, load and motor",
    );
    let draft = machine_file::read_draft("parts.toml", &unlimited).unwrap();
    assert_eq!(draft.axes[0].speed_limit_mm_s, None);
    assert_eq!(draft.axes[0].acceleration_limit_mm_s2, Some(500.0));
    assert_eq!(draft.axes[1].speed_limit_mm_s, Some(100.0));
}
