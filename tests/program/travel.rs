//! Travel limits: ends of moves, and where arcs bulge.

use crate::support::{moves_of, read_with, settings};
use spokeshave_sim::input_error::InputError;
use spokeshave_sim::machine::{Axis, Controller, Machine};
use spokeshave_sim::program::Settings;

/// Travel 0 to 100 on x and y, -50 to 0 on z, with the work zero at (10, 10, -20).
fn bench() -> Settings {
    Settings {
        start: [10.0, 10.0, -20.0],
        work_zero_mm: [[10.0, 10.0, -20.0]; 6],
        travel_mm: Some([[0.0, 100.0], [0.0, 100.0], [-50.0, 0.0]]),
        block_delete: false,
    }
}

fn refused(program: &str) -> InputError {
    match read_with(bench(), program) {
        Ok(_) => panic!("{program:?} is read"),
        Err(error) => error,
    }
}

#[test]
fn names_line_axis_excess_and_limit() {
    let error = refused("G0 X5\nG0 X10 Y92.5\n");
    assert_eq!((error.line(), error.column()), (2, 8));
    for part in [
        "y = 102.5 mm",
        "2.5 mm beyond the upper travel limit, 100 mm",
    ] {
        assert!(error.cause().contains(part), "{}", error.cause());
    }
    let error = refused("G0 Z-30.125\n");
    for part in [
        "z = -50.125 mm",
        "0.125 mm beyond the lower travel limit, -50 mm",
    ] {
        assert!(error.cause().contains(part), "{}", error.cause());
    }
    let error = refused("G0 X1\nG53 G0 Z1");
    assert_eq!((error.line(), error.column()), (2, 8));
}

#[test]
fn the_limits_themselves_are_inside() {
    let program = "G0 X90 Y90 Z20\nX-10 Y-10 Z-30\nG53 X100\nG93 G1 X-10 F1";
    assert_eq!(read_with(bench(), program).expect("is read").len(), 5);
}

#[test]
fn sums_that_round_beyond_a_limit_are_inside() {
    // Three times 0.1 is 0.30000000000000004 in f64.
    let tight = Settings {
        travel_mm: Some([[-0.3, 0.3]; 3]),
        ..settings()
    };
    let program = "G91 G0 X0.1 Y-0.1\nX0.1 Y-0.1\nX0.1 Y-0.1";
    assert_eq!(read_with(tight.clone(), program).expect("is read").len(), 4);
    assert!(read_with(tight, "G0 Y-0.30001").is_err());
}

#[test]
fn arcs_are_checked_where_they_bulge() {
    // From the place (10, 10): each arc ends inside. The radius is 20 or so, so it leaves on one side.
    for (program, place, part) in [
        // Counter-clockwise from (10, 10) to (10, 50) round (10, 30): bulges to x 30.
        ("F60 G3 Y40 J20", None, ""),
        // Clockwise, it bulges to x -10.
        ("F60 G2 Y40 J20", Some((1, 5)), "bulges at x = -10 mm"),
        // From (10, 10) to (50, 10) round (30, 10): to y 30 or y -10.
        ("F60 G2 X40 I20", None, ""),
        ("F60 G3 X40 I20", Some((1, 5)), "bulges at y = -10 mm"),
        // A full circle round (10, 30) reaches x -10.
        ("F60 G3 J20", Some((1, 5)), "bulges at x = -10 mm"),
        // A quarter round (10, 20) that ends at the limit, x 0, and half a circle that touches it.
        ("F60 G2 X-10 Y10 R10", None, ""),
        ("F60 G2 Y20 R10", None, ""),
        // By radius, the longer arcs, round (30, 25) and round (30, -5), where the lowest is y -30.
        ("F60 G2 X40 R-25", None, ""),
        ("F60 G3 X40 R-25", Some((1, 5)), "bulges at y = -30 mm"),
        // In the plane of x and z: from z -20 to z -20 over x 10 to 70, up or down by 30.
        ("F60 G18 G3 X60 I30", Some((1, 9)), "bulges at z = 10 mm"),
        ("F60 G18 G2 X60 I30", None, ""),
    ] {
        let result = read_with(bench(), program);
        match (result, place) {
            (Ok(_), None) => {}
            (Err(error), Some(place)) => {
                assert!(
                    error.cause().contains(part),
                    "{program:?}: {}",
                    error.cause()
                );
                assert_eq!((error.line(), error.column()), place, "{program:?}");
            }
            (Ok(_), Some(_)) => panic!("{program:?} is read"),
            (Err(error), None) => panic!("{program:?} is refused: {error}"),
        }
    }
}

#[test]
fn cycles_are_checked_hole_by_hole() {
    // The fourth hole is at x 10 + 4 * 25 = 110.
    let program = "F60 G91 G81 X25 Z-5 R1 L4";
    let error = refused(program);
    assert_eq!((error.line(), error.column()), (1, 13));
    assert!(error.cause().contains("x = 110 mm"), "{}", error.cause());
    let before = spokeshave_sim::program::Reader::new("test.nc", program.as_bytes(), bench())
        .take_while(Result::is_ok)
        .count();
    // Up to R once, and three holes of three moves.
    assert_eq!(before, 10);
}

#[test]
fn without_limits_ten_metres_hold() {
    for (program, good) in [
        ("G0 X10000 Y-10000", true),
        ("G0 X10000.001", false),
        ("F60\nG2 X0 I5000", true),
        ("F60\nG2 X0 I5001", false),
    ] {
        assert_eq!(read_with(settings(), program).is_ok(), good, "{program}");
    }
    let wide = Settings {
        travel_mm: Some([[-20_000.0, 20_000.0]; 3]),
        ..settings()
    };
    assert!(read_with(wide.clone(), "G0 X10001").is_err());
    assert!(read_with(wide, "G0 X-10001").is_err());
}

#[test]
fn settings_for_a_machine() {
    let axis = |lower: f64, upper: f64| Axis {
        steps_per_mm: 80.0,
        speed_limit_mm_s: 100.0,
        acceleration_limit_mm_s2: 500.0,
        travel_mm: [lower, upper],
        backlash_mm: 0.0,
    };
    let mut work_zero_mm = [[0.0; 3]; 6];
    work_zero_mm[0] = [10.0, 20.0, -30.0];
    work_zero_mm[5] = [50.0, 60.0, -30.0];
    let machine = Machine {
        name: "belt bench router".into(),
        junction_deviation_mm: 0.02,
        chord_tolerance_mm: 0.002,
        look_ahead: 32,
        controller: Controller {
            timer_hz: 1_000_000,
            pulse_width_s: 2e-6,
            pulse_period_s: 5e-6,
            direction_setup_s: 5e-6,
        },
        axes: [axis(0.0, 600.0), axis(0.0, 400.0), axis(-80.0, 0.0)],
        work_zero_mm,
    };
    let settings = Settings::for_machine(&machine);
    assert!(!settings.block_delete);
    let items = read_with(settings.clone(), "G0 X1\nG59 X0 Y0").expect("is read");
    let moves = moves_of(&items);
    assert_eq!(moves[0].from, [10.0, 20.0, -30.0]);
    assert_eq!(moves[0].to, [11.0, 20.0, -30.0]);
    assert_eq!(moves[1].to, [50.0, 60.0, -30.0]);
    // Each axis has its own travel.
    for (program, axis) in [
        ("G0 X591", "x = 601"),
        ("G0 Y-21", "y = -1"),
        ("G0 Z31", "z = 1"),
    ] {
        let error = read_with(settings.clone(), program).expect_err("refused");
        assert!(error.cause().contains(axis), "{}", error.cause());
    }
}
