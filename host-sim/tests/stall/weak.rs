//! Motors that are too weak are found out, on the right line and axis, with the numbers worked out by hand.

use crate::bench::{ARM_M, FALLING, FLAT, ROTOR, close, machine, needed_nm, stall, text};
use crate::workshop::{Workshop, flat};

/// Only line 6 moves y further than 18 mm, which is what it takes from rest to 60 mm/s and back.
const LONG_MOVE: &str = "\
G21 G90
G0 X60
G1 Y5 F3600
G0 X0
G1 Y0
G0 Y80
G0 X60
G1 Y75
M2
";

/// At 100 mm/s, still gathering speed: 2 kg at 0.5 m/s² and 10 N over 40 mm/2π are 0.07003 N·m, the rotor
/// takes 1e-5 · 0.5/0.006366 = 0.00079 N·m more; there are 0.12 N·m: 1.69 times. At 60 mm/s there are
/// 0.3 N·m: 4.2 times.
#[test]
fn a_long_fast_move_is_too_fast_for_its_motor() {
    let stall = stall(&machine(&text(2, 1, FALLING)), LONG_MOVE);
    let y = stall.of('y').unwrap();
    assert_eq!((y.line, y.axis, y.pass, y.in_bend), (6, 'y', false, false));
    close(y.needed_nm, needed_nm(2.0, 500.0));
    close(y.needed_nm, 0.070_813);
    close(y.available_nm, 0.12);
    close(y.margin, 0.12 / 0.070_813);
    close(y.speed_mm_s, 100.0);
    close(y.motor_rpm, 150.0);
    close(y.acceleration_mm_s2, 500.0);
    // y turned back, so it starts from rest: v²/2a = 10 mm.
    close(y.position_mm.y, 10.0);
    assert!(stall.of('x').is_none() && stall.without_motor == ['x', 'z']);
}

/// With half of 0.12 N·m no acceleration helps: friction alone takes 0.0637 N·m. But where the curve has
/// 2 · 0.0708 N·m, at 90 + 90 · (0.3 − 0.1416)/0.27 = 142.8 rpm, it is enough: 95.19 mm/s.
#[test]
fn the_command_fails_and_says_where_and_what_would_do() {
    let shop = Workshop::new();
    shop.write("weak.toml", text(2, 1, FALLING));
    shop.write("part.nc", LONG_MOVE);
    let said = shop.simulate(&["part.nc", "--machine", "weak.toml"]);
    assert_eq!((said.status, said.err.as_str()), (1, ""));
    let out = flat(&said.out);
    assert!(out.contains("stall margin, y 1.695 ≥ 2.000 × 6"), "{out}");
    for words in [
        "1 of 24 checks FAIL.",
        "stall margin, y: line 6, at ",
        "mm, moving at 100.0 mm/s, gathering speed with 500.0 mm/s²: the motor of y must give 0.0708 N·m and \
         has 0.1200 N·m at 150.0 rpm, 1.695 times as much, where 2.000 times is asked for: a speed_limit of y of \
         95.1 mm/s or less would do for the whole job",
        "Not checked: the frame and the motor of x, z (docs/safety.md); corners of y: no start_stop_rate.",
    ] {
        assert!(out.contains(words), "{words}\n{out}");
    }
    // A lower margin asked for passes, and says so.
    let lower = text(2, 1, FALLING).replace("look_ahead", "stall_margin = 1.5\nlook_ahead");
    shop.write("weak.toml", lower);
    let said = shop.simulate(&["part.nc", "--machine", "weak.toml"]);
    assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
    assert!(flat(&said.out).contains("stall margin, y 1.695 ≥ 1.500"));
}

/// Only line 5 speeds y up with all that it may: on diagonals x has most of it, 10 to 1.
const HARD_START: &str = "\
G21 G90
G0 X50 Y5
G0 X0 Y10
G4 P0.1
G0 Y12
G4 P0.1
G0 X50 Y7
M2
";

/// 20 kg: friction takes 0.0637 N·m of 0.2 at any speed, but at 0.5 m/s² it is 0.1281 N·m. With 0.1 N·m
/// the motor can give (0.1 − 0.06366)/(20 · 0.006366 + 1e-5/0.006366) = 0.2819 m/s².
#[test]
fn a_hard_start_is_too_hard_for_its_motor() {
    let file = machine(&text(20, 1, FLAT));
    let stall = stall(&file, HARD_START);
    let y = stall.of('y').unwrap();
    assert_eq!((y.line, y.pass, y.in_bend), (5, false, false));
    close(y.margin, 0.2 / needed_nm(20.0, 500.0));
    close(y.needed_nm, 0.128_109);
    // The first moment of it, from rest.
    assert_eq!(y.speed_mm_s, 0.0);
    close(y.position_mm.y, 10.0);
    let most = (0.1 - 10.0 * ARM_M) / (20.0 * ARM_M + ROTOR / ARM_M) * 1e3;
    assert!((most - 281.9).abs() < 0.1, "{most}");
    assert_eq!(
        y.remedy.as_deref(),
        Some("an acceleration_limit of y of 281 mm/s² or less would do for the whole job")
    );
    // And it does.
    let mended = text(20, 1, FLAT).replacen(
        "speed_limit = \"100 mm/s\"\nacceleration_limit = \"500 mm/s^2\"\ntravel = [\"-100 mm\", \"200 mm\"]\n[axis.y.drive]",
        "speed_limit = \"100 mm/s\"\nacceleration_limit = \"281 mm/s^2\"\ntravel = [\"-100 mm\", \"200 mm\"]\n[axis.y.drive]",
        1,
    );
    let y = crate::bench::stall(&machine(&mended), HARD_START);
    assert!(y.of('y').unwrap().pass, "{y:?}");
}

/// Two motors have half of friction and mass each, and a rotor each.
#[test]
fn two_motors_share_the_load() {
    let stall = stall(&machine(&text(2, 2, FALLING)), LONG_MOVE);
    let y = stall.of('y').unwrap();
    let half = 0.5 * (10.0 + 2.0 * 0.5) * ARM_M + ROTOR * 0.5 / ARM_M;
    assert_eq!((y.motors, y.line), (2, 6));
    close(y.margin, 0.12 / half);
}

/// An upright axis of 5 kg on the belt, at rest all the time: 5 · 9.80665 N · 6.366 mm = 0.3122 N·m, less
/// the 10 N that friction holds: 0.2485 N·m. The motor has 0.3 N·m.
#[test]
fn a_load_that_hangs_has_to_be_held() {
    let text =
        text(5, 1, FALLING).replace("friction_force", "slope = \"90 degrees\"\nfriction_force");
    let stall = stall(&machine(&text), "G21\nG4 P1\nM2\n");
    let y = stall.of('y').unwrap();
    close(y.needed_nm, (5.0 * 9.80665 - 10.0) * ARM_M);
    close(y.margin, 0.3 / 0.248_493);
    assert_eq!((y.speed_mm_s, y.acceleration_mm_s2, y.line), (0.0, 0.0, 2));
    assert!(y.remedy.as_ref().unwrap().contains("less load"), "{y:?}");
}

/// The cutting force counts on moves at a feed and not on rapids: 40 N · 6.366 mm = 0.2546 N·m more.
#[test]
fn cutting_counts_where_the_program_cuts() {
    let with_cut =
        text(2, 1, FLAT).replace("friction_force", "cutting_force = \"40 N\"\nfriction_force");
    let file = machine(&with_cut);
    let rapid = stall(&file, "G21\nG0 Y50\nM2\n");
    let rapid = rapid.of('y').unwrap();
    assert!(!rapid.with_cutting_force);
    close(rapid.margin, 0.2 / needed_nm(2.0, 500.0));
    let cut = stall(&file, "G21\nG1 Y50 F6000\nM2\n");
    let cut = cut.of('y').unwrap();
    assert!(cut.with_cutting_force);
    close(cut.margin, 0.2 / (needed_nm(2.0, 500.0) + 40.0 * ARM_M));
}

/// Past the end of its curve nothing is known of a motor: no margin at all.
#[test]
fn past_the_curve_there_is_no_torque() {
    let short = r#"[["0 rpm", "0.3 N m"], ["120 rpm", "0.3 N m"]]"#;
    let stall = stall(&machine(&text(2, 1, short)), LONG_MOVE);
    let y = stall.of('y').unwrap();
    assert_eq!((y.margin, y.available_nm, y.line), (0.0, 0.0, 6));
    // 80 mm/s are 120 rpm.
    let remedy = y.remedy.as_deref().unwrap();
    assert!(
        ["79.9", "80"]
            .map(|speed| format!("a speed_limit of y of {speed} mm/s"))
            .iter()
            .any(|words| remedy.contains(words)),
        "{remedy}"
    );
}
