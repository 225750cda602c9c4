//! Units, distance modes, offsets, planes and block delete.

use crate::support::{assert_ends, moves, moves_of, near, read, read_with, settings};
use spokeshave_sim::motion::{Action, Point};
use spokeshave_sim::program::Settings;
use std::f64::consts::PI;

#[test]
fn inches_equal_millimetres() {
    // The same job twice, each inch number being the mm number over 25.4.
    let mm = "G21 F1270\nG0 X25.4 Y50.8 Z12.7\nG1 X76.2\nG2 X101.6 Y76.2 I25.4 J0\nG3 X127 Y101.6 \
              R25.4\nG91 G1 X-12.7 Z6.35\nG90 G99 G83 X127 Y0 Z-12.7 R2.54 Q6.35\nG53 G0 Z63.5\n\
              G92 X254\nG0 X203.2";
    let inch = "G20\nF50\nG0 X1 Y2 Z.5\nG1 X3\nG2 X4 Y3 I1 J0\nG3 X5 Y4 R1\nG91 G1 X-.5 Z.25\n\
                G90 G99 G83 X5 Y0 Z-.5 R.1 Q.25\nG53 G0 Z2.5\nG92 X10\nG0 X8";
    let (mm, inch) = (moves(mm), moves(inch));
    assert_eq!(mm.len(), inch.len());
    assert!(mm.len() > 12);
    for (a, b) in mm.iter().zip(&inch) {
        assert!(near(&a.from, &b.from) && near(&a.to, &b.to), "{a:?} {b:?}");
        assert_eq!(a.kind, b.kind);
        match (a.feed, b.feed) {
            (Some(a), Some(b)) => assert!((a / b - 1.0).abs() < 1e-14, "{a} {b}"),
            (a, b) => assert_eq!(a, b),
        }
        if let (Some(a), Some(b)) = (a.arc, b.arc) {
            assert!(near(
                &[a.centre[0], a.centre[1], 0.0],
                &[b.centre[0], b.centre[1], 0.0]
            ));
        }
    }
    assert_eq!(mm[1].feed, Some(1270.0 / 60.0));
}

#[test]
fn incremental_moves_add_up() {
    let made = moves("G91 G0 X1 Y2\nX1\nZ-3\nG90 X0\nG91 X-0.5 Y-0.5 Z-0.5");
    assert_ends(
        &made,
        &[
            [1.0, 2.0, 0.0],
            [2.0, 2.0, 0.0],
            [2.0, 2.0, -3.0],
            [0.0, 2.0, -3.0],
            [-0.5, 1.5, -3.5],
        ],
    );
}

#[test]
fn millions_of_increments_do_not_drift() {
    // 100 000 increments of 0.001: each sum rounds by half a unit in the last place of 100, 7e-15,
    // at the very most; together 7e-10.
    let mut program = String::from("G91 G1 F600\n");
    for _ in 0..100_000 {
        program += "X0.001\n";
    }
    let end = moves(&program).pop().expect("moves").to[0];
    assert!((end - 100.0).abs() < 7e-10, "{end}");
}

fn with_offsets() -> Settings {
    let mut settings = settings();
    for (index, zero) in settings.work_zero_mm.iter_mut().enumerate() {
        let index = index as f64;
        *zero = [100.0 * (index + 1.0), 10.0 * index, -5.0];
    }
    settings.start = settings.work_zero_mm[0];
    settings
}

#[test]
fn work_offsets_and_machine_coordinates() {
    let program = "G0 X1\nG55 X1 Y1\nG59 X0 Y0 Z0\nG53 X2 Y3\nX1\nG91 G53 X7\nX1\nG54 G90 X0 Y0";
    let items = read_with(with_offsets(), program).expect("is read");
    let made = moves_of(&items);
    assert_eq!(made[0].from, [100.0, 0.0, -5.0]);
    assert_ends(
        &made,
        &[
            [101.0, 0.0, -5.0],
            [201.0, 11.0, -5.0],
            // Z 0 in G59 is -5 in the machine, where it is already.
            [600.0, 50.0, -5.0],
            [2.0, 3.0, -5.0],
            // G53 lasts for one line; G59 and G0 go on.
            [601.0, 3.0, -5.0],
            // G53 is absolute in G91 too.
            [7.0, 3.0, -5.0],
            [8.0, 3.0, -5.0],
            [100.0, 0.0, -5.0],
        ],
    );
}

#[test]
fn g92_moves_the_zero_and_its_relatives_take_it_back() {
    let program = "G0 X10 Y10\nG92 X0\nX5\nG55 X0\nG92.2\nX0\nG92.3 X0\nG92.1\nX0\nG92.3 X0 Y1";
    let mut settings = settings();
    settings.work_zero_mm[1] = [100.0, 0.0, 0.0];
    let made = moves_of(&read_with(settings, program).expect("is read"));
    assert_ends(
        &made,
        &[
            [10.0, 10.0, 0.0],
            // X 10 was called 0.
            [15.0, 10.0, 0.0],
            // The shift of 10 holds in every work offset.
            [110.0, 10.0, 0.0],
            [100.0, 10.0, 0.0],
            [110.0, 10.0, 0.0],
            [100.0, 10.0, 0.0],
            // G92.1 forgot the shift for good.
            [100.0, 1.0, 0.0],
        ],
    );
}

#[test]
fn g92_again_and_in_g91() {
    // A second G92 counts from where the machine is, whatever the first one was; an axis that it
    // does not name keeps its shift. G91 does not matter to G92 (§3.5.18).
    let made = moves("G0 X10 Y4\nG92 X1 Y1\nG92 X3\nX4 Y2\nG91 G92 X0\nG90 X1");
    assert_ends(
        &made,
        &[[10.0, 4.0, 0.0], [11.0, 5.0, 0.0], [12.0, 5.0, 0.0]],
    );
}

#[test]
fn g92_suspends_the_motion_mode_on_its_line() {
    assert_ends(
        &moves("G0 X5\nG92 X0\nG92.1 X6"),
        &[[5.0, 0.0, 0.0], [6.0, 0.0, 0.0]],
    );
    // In a work offset with a zero of its own, the position is called what G92 says as well.
    let items = read_with(with_offsets(), "G55 G0 X5\nG92 X1\nX2").expect("is read");
    assert_ends(&moves_of(&items), &[[205.0, 0.0, -5.0], [206.0, 0.0, -5.0]]);
    // With G80 too, which moves nothing.
    assert_eq!(moves("G0 X5\nG80 G92 X0").len(), 1);
}

#[test]
fn order_of_execution_on_a_line() {
    // §3.8: unit, offset and distance mode come before motion, wherever they stand.
    assert_ends(&moves("X1 G0 G20"), &[[25.4, 0.0, 0.0]]);
    assert_ends(&moves("G0 X5\nX1 G91"), &[[5.0, 0.0, 0.0], [6.0, 0.0, 0.0]]);
    let items = read_with(with_offsets(), "X1 G0 G55").expect("is read");
    assert_ends(&moves_of(&items), &[[201.0, 0.0, -5.0]]);
    // Feed comes before motion, the stop after it, spindle and dwell before it.
    let items = read("M0 X1 G4 P2 M3 G1 F60");
    let shown: Vec<_> = items
        .iter()
        .map(|item| match &item.action {
            Action::Move(made) => format!("move at {:?}", made.feed),
            Action::Rest { seconds, why } => format!("{why:?} {seconds}"),
        })
        .collect();
    assert_eq!(
        shown,
        [
            "Spindle 0",
            "Dwell 2",
            "move at Some(1.0)",
            "OperatorStop 0",
            "End 0"
        ]
    );
}

#[test]
fn exact_stop() {
    let stops: Vec<_> = moves("G0 X1\nG61.1 X2\nF60 G1 X3\nG61 X4\nG61.1 G81 R1 Z-1\nG64 X6")
        .iter()
        .map(|made| made.exact_stop)
        .collect();
    // The cycle: up to R, feed, out; the last line: across, feed, out.
    assert_eq!(
        stops,
        [
            false, true, true, false, true, true, true, false, false, false
        ]
    );
}

#[test]
fn block_delete() {
    let program = "G0 X1\n/X2\n /N30 X3\nX4\n/ not a word at all\n";
    let deleting = || Settings {
        block_delete: true,
        ..settings()
    };
    let made = moves_of(&read_with(deleting(), program).expect("is read"));
    assert_ends(&made, &[[1.0, 0.0, 0.0], [4.0, 0.0, 0.0]]);
    let mut reader =
        spokeshave_sim::program::Reader::new("test.nc", program.as_bytes(), deleting());
    assert_eq!(reader.by_ref().count(), 3);
    let notes = reader.notes().iter().map(|note| (note.word, note.line));
    // The unit was taken for granted; the second line is the first that was left out.
    assert_eq!(
        notes.collect::<Vec<_>>(),
        [("unit", 1), ("/", 2), ("end", 5)]
    );
    // Off, the lines are read like any others.
    let made = moves("G0 X1\n/X2\n /N30 X3\nX4\n");
    assert_eq!(made.len(), 4);
    let error = read_with(settings(), program).expect_err("refused");
    assert_eq!((error.line(), error.column()), (5, 3));
}

#[test]
fn moves_of_no_length_are_left_out() {
    let at = |x: f64| -> Point { [x, 0.0, 0.0] };
    let items = read("F60\nG0 X1\nX1\nG1 X1 Y0\nG1 X2\nG93 G1 X2 F5\n");
    assert_ends(&moves_of(&items), &[at(1.0), at(2.0)]);
    let lines: Vec<_> = items.iter().map(|item| item.line).collect();
    assert_eq!(lines, [2, 5, 6]);
}

#[test]
fn inverse_time_counts_the_length_of_arc_and_helix() {
    // NIST IR 6556 §3.5.19: the move takes 1/F minutes. Each length is worked out by hand; 1e-12 relative is some
    // thousand roundings.
    for (program, length) in [
        ("G1 X3 Y4", 5.0),
        ("G2 X10 Y10 R10", 5.0 * PI),
        ("G3 X10 Y10 R10 Z7", (5.0 * PI).hypot(7.0)),
        ("G2 X10 Y10 R-10", 15.0 * PI),
        ("G2 X0 Y0 I5", 10.0 * PI),
        ("G3 X10 R5", 5.0 * PI),
        ("G18 G2 X0 Z0 K3 Y-4", (6.0 * PI).hypot(4.0)),
    ] {
        let made = moves(&format!("G93\n{program} F30")).pop().expect("a move");
        let feed = made.feed.expect("a feed");
        // 1/30 min is 2 s.
        assert!(
            (feed * 2.0 / length - 1.0).abs() < 1e-12,
            "{program}: {feed}"
        );
    }
}
