//! Corners and bends: sudden changes of speed against the start-stop rate, and the acceleration that many
//! of them make.

use crate::bench::{FLAT, close, machine, needed_nm, stall, text};
use crate::workshop::{Workshop, flat};

/// A right angle from x to y, taken at v² = A·δ·c·(1 + c)/s² with A = 500·√2 and s = c = √½ (the inscribed
/// circle): 5.843 mm/s, 29.2 full steps a second.
const CORNER: &str = "G21 G90\nG1 X20 F1200\nY20\nM2\n";

fn with_rate(rate: &str) -> String {
    let motor = "rotor_inertia = \"100 g cm^2\"";
    text(2, 1, FLAT).replace(motor, &format!("{motor}\nstart_stop_rate = \"{rate}\""))
}

#[test]
fn a_corner_is_held_against_the_start_stop_rate_with_its_load() {
    let c = 0.5_f64.sqrt();
    let corner = (500.0 / c * 0.02 * c * (1.0 + c) / 0.5).sqrt();
    // The belt's 40 mm a turn: the load of 2 kg is 2 · (0.04/2π)² kg·m² at the rotor of 1e-5.
    let load = 2.0 * (0.04 / std::f64::consts::TAU).powi(2);
    let slower = (1e-5 / (1e-5 + load)).sqrt();
    for (rpm, pass) in [(10.0, false), (40.0, true)] {
        let file = machine(&with_rate(&format!("{rpm} rpm")));
        let stall = stall(&file, CORNER);
        let [change] = &stall.speed_changes[..] else {
            panic!("{stall:?}");
        };
        assert_eq!((change.axis, change.line, change.pass), ('y', 3, pass));
        close(change.change_mm_s, corner);
        close(change.change_steps_s, corner / 40.0 * 200.0);
        close(change.allowed_steps_s.unwrap(), rpm / 60.0 * 200.0 * slower);
        close(change.position_mm.x, 20.0);
        assert!(stall.without_start_stop_rate.is_empty());
    }
}

/// The change goes with the root of the junction deviation: 11.05 of 29.21 allowed asks for (11.05/29.22)², 14.29 % of it.
#[test]
fn the_command_says_how_far_the_deviation_must_go() {
    let shop = Workshop::new();
    shop.write("weak.toml", with_rate("10 rpm"));
    shop.write("part.nc", CORNER);
    let said = shop.simulate(&["part.nc", "--machine", "weak.toml"]);
    let out = flat(&said.out);
    assert_eq!(said.status, 1, "{out}");
    for words in [
        "corner speed change, y 29.22 ≤ 11.05 steps/s 3",
        "a junction_deviation of 14.2 % of what it is would do",
        "Not checked: the frame and the motor of x, z (docs/safety.md).",
    ] {
        assert!(out.contains(words), "{words}\n{out}");
    }
    let mended = with_rate("10 rpm").replace("0.02 mm", "0.00284 mm");
    shop.write("weak.toml", mended);
    let said = shop.simulate(&["part.nc", "--machine", "weak.toml"]);
    assert_eq!(said.status, 0, "{}", said.out);
}

/// Round a circle of 4 mm, which x enters and leaves: y never speeds up along a move by much, but the bend
/// speeds it up with all that the axis may, 500 mm/s²: v² = a·r is 44.7 mm/s.
#[test]
fn a_bend_asks_for_torque_as_a_ramp_does() {
    let file = machine(&text(20, 1, FLAT));
    let program = "G21 G90 G17\nG1 X60 F2600\nG3 X60 Y0 I0 J4\nG1 X120\nM2\n";
    let stall = stall(&file, program);
    let y = stall.of('y').unwrap();
    assert!(y.in_bend && y.line == 3, "{y:?}");
    // At the feed of 43.3 mm/s the circle takes v²/r = 469 mm/s². The changes within T are whole ones of
    // chords, which at the tolerance of 2 µm turn by 2·√(2 · 0.002/4) = 0.063: 2.7 mm/s of the 8.9 mm/s
    // that 500 mm/s² make in T = 17.9 ms. So the most of their sums may be one chord's more than the mean,
    // and the least that the most can be is the mean less a part of one.
    let (low, high) = (needed_nm(20.0, 469.0 * 0.7), needed_nm(20.0, 500.0));
    assert!(
        low <= y.needed_nm && y.needed_nm <= high * 1.0001,
        "{y:?} {low} {high}"
    );
    // A small one at a slow feed asks for less: 10 mm/s are 25 mm/s².
    let slow = program.replace("F2600", "F600");
    let slow = crate::bench::stall(&file, &slow);
    let slow = slow.of('y').unwrap();
    assert!(slow.needed_nm < needed_nm(20.0, 100.0), "{slow:?}");
}
