//! NIST IR 6556, *The NIST RS274/NGC Interpreter, Version 3* (2000), §3.5.3 (arcs) and §3.5.16
//! (canned cycles). The examples are quoted from memory.

use crate::support::{assert_ends, moves, near, read, rests};
use spokeshave_sim::motion::{Arc, Move, MoveKind, RestReason};

fn kinds(moves: &[Move]) -> Vec<&'static str> {
    moves.iter().map(|made| made.kind.name()).collect()
}

/// The moves after the first, which goes to where the example begins.
fn from(start: &str, cycle: &str) -> Vec<Move> {
    moves(&format!("F600\nG0 {start}\n{cycle}\n")).split_off(1)
}

#[test]
fn section_3_5_16_2_first_example_g81_absolute() {
    let made = from("X1 Y2 Z3", "G90 G81 G98 X4 Y5 Z1.5 R2.8");
    assert_ends(
        &made,
        &[
            [4.0, 5.0, 3.0],
            [4.0, 5.0, 2.8],
            [4.0, 5.0, 1.5],
            [4.0, 5.0, 3.0],
        ],
    );
    assert_eq!(kinds(&made), ["rapid", "rapid", "line", "rapid"]);
    assert_eq!(made[2].feed, Some(10.0));
}

#[test]
fn section_3_5_16_2_second_example_g81_incremental_with_repeats() {
    let made = from("X1 Y2 Z3", "G91 G81 G98 X4 Y5 Z-0.6 R1.8 L3");
    let mut ends = vec![[1.0, 2.0, 4.8]];
    for (x, y) in [(5.0, 7.0), (9.0, 12.0), (13.0, 17.0)] {
        ends.extend([[x, y, 4.8], [x, y, 4.2], [x, y, 4.8]]);
    }
    assert_ends(&made, &ends);
    let hole = ["rapid", "line", "rapid"];
    assert_eq!(kinds(&made), [&["rapid"][..], &hole, &hole, &hole].concat());
}

#[test]
fn section_3_5_16_retract_modes() {
    // G99 retracts to R, and G98 to R as well where the axis began below R.
    let made = from("Z3", "G81 G99 X4 Z1 R2");
    assert_ends(
        &made,
        &[
            [4.0, 0.0, 3.0],
            [4.0, 0.0, 2.0],
            [4.0, 0.0, 1.0],
            [4.0, 0.0, 2.0],
        ],
    );
    let made = from("Z1", "G81 G98 X4 Z0 R2");
    assert_ends(
        &made,
        &[
            [0.0, 0.0, 2.0],
            [4.0, 0.0, 2.0],
            [4.0, 0.0, 0.0],
            [4.0, 0.0, 2.0],
        ],
    );
}

#[test]
fn section_3_5_16_sticky_numbers() {
    // R and Z stay; X and Y that are missing mean the place where the tool is.
    let made = from("Z5", "G99 G81 X1 Z-1 R2\nY3\nX4 Z-2\nG81 X5 R1");
    let bottoms: Vec<_> = made
        .iter()
        .filter(|made| made.kind == MoveKind::Line)
        .map(|made| made.to)
        .collect();
    assert_eq!(
        bottoms,
        [
            [1.0, 0.0, -1.0],
            [1.0, 3.0, -1.0],
            [4.0, 3.0, -2.0],
            [5.0, 3.0, -2.0]
        ]
    );
    assert_eq!(made.last().expect("moves").to, [5.0, 3.0, 1.0]);
    // L is not sticky.
    let made = from("Z2", "G99 G81 X1 Z1 R2 L2\nX2");
    let lines: Vec<_> = made
        .iter()
        .filter(|m| m.kind == MoveKind::Line)
        .map(|m| m.to[0])
        .collect();
    assert_eq!(lines, [1.0, 1.0, 2.0]);
}

#[test]
fn section_3_5_16_3_g82_dwells_at_the_bottom() {
    let items = read("F600\nG0 Z2\nG82 X1 Z-1 R2 P1.5 L2\nX3");
    assert_eq!(
        rests(&items),
        [
            (3, 1.5, RestReason::Dwell),
            (3, 1.5, RestReason::Dwell),
            (4, 1.5, RestReason::Dwell),
            (4, 0.0, RestReason::End)
        ]
    );
    // Across, down, dwell, out; down, dwell, out at the same place; across, down, dwell, out; end.
    assert_eq!(items.len(), 1 + 4 + 3 + 4 + 1);
}

#[test]
fn section_3_5_16_4_g83_pecks() {
    // Back to 0.010 in (0.254 mm) above the last bottom.
    let ends = |clear: f64| {
        vec![
            [1.0, 0.0, 5.0],
            [1.0, 0.0, 2.0],
            [1.0, 0.0, 0.0],
            [1.0, 0.0, clear],
            [1.0, 0.0, 0.254],
            [1.0, 0.0, -2.0],
            [1.0, 0.0, clear],
            [1.0, 0.0, -1.746],
            [1.0, 0.0, -3.0],
            [1.0, 0.0, clear],
        ]
    };
    assert_ends(&from("Z5", "G98 G83 X1 Z-3 R2 Q2"), &ends(5.0));
    assert_ends(&from("Z5", "G99 G83 X1 Z-3 R2 Q2"), &ends(2.0));
}

#[test]
fn section_3_5_16_4_g83_steps() {
    // Each step once, though 2 - 6 * 0.3 is 0.20000000000000018 in f64; each repeat begins at R.
    let made = from("Z2", "G91 G99 G83 X1 Z-1.8 R0 Q0.3 L2");
    let feeds: Vec<_> = made
        .iter()
        .filter(|made| made.kind == MoveKind::Line)
        .collect();
    assert_eq!(feeds.len(), 12);
    assert_eq!((feeds[6].from[2], feeds[6].to), (2.0, [2.0, 0.0, 1.7]));
    assert!(near(&feeds[11].to, &[2.0, 0.0, 0.2]));
    // A step shorter than the back-off does not lead above R.
    let made = from("Z2", "G99 G83 X1 Z1 R2 Q0.1");
    assert!(made.iter().all(|made| made.to[2] <= 2.0));
}

#[test]
fn section_3_5_16_other_planes() {
    // "The behaviour is always analogous": the axis that drills is square to the plane.
    let made = from("X1 Y3 Z2", "G18 G81 G98 X4 Z5 Y1.5 R2.8");
    assert_ends(
        &made,
        &[
            [4.0, 3.0, 5.0],
            [4.0, 2.8, 5.0],
            [4.0, 1.5, 5.0],
            [4.0, 3.0, 5.0],
        ],
    );
    let made = from("X3 Y1 Z2", "G19 G81 G98 Y4 Z5 X1.5 R2.8");
    assert_ends(
        &made,
        &[
            [3.0, 4.0, 5.0],
            [2.8, 4.0, 5.0],
            [1.5, 4.0, 5.0],
            [3.0, 4.0, 5.0],
        ],
    );
}

fn arc(program: &str) -> (Move, Arc) {
    let made = moves(program).pop().expect("a move");
    let arc = made.arc.expect("an arc");
    assert_eq!(made.kind, MoveKind::Arc);
    assert_eq!(arc.turns, 1);
    (made, arc)
}

#[test]
fn section_3_5_3_2_example_by_centre() {
    // From X7 Y7: the centre is at (10, 11), the radius 5; it is a helix where Z is not 9 before.
    for z in ["Z9", "Z0"] {
        let (made, arc) = arc(&format!("F600\nG0 X7 Y7 {z}\nG17 G2 X10 Y16 I3 J4 Z9"));
        assert_eq!(made.to, [10.0, 16.0, 9.0]);
        assert_eq!(
            (arc.centre, arc.plane, arc.clockwise),
            ([10.0, 11.0], (0, 1), true)
        );
    }
}

#[test]
fn section_3_5_3_1_example_by_radius() {
    let (made, arc) = arc("F600\nG17 G2 X10 Y12 R20 Z5");
    assert_eq!(made.to, [10.0, 12.0, 5.0]);
    let [x, y] = arc.centre;
    // Radius 20 at both ends, to the rounding of numbers up to 400: 1e-12.
    for (a, b) in [(x, y), (10.0 - x, 12.0 - y)] {
        assert!((a.hypot(b) - 20.0).abs() < 1e-12, "{:?}", arc.centre);
    }
    // Clockwise and at most a half circle: the centre is to the right of the chord.
    assert!(10.0 * y - 12.0 * x < 0.0, "{:?}", arc.centre);
}

#[test]
fn section_3_5_3_1_sign_of_the_radius() {
    // From (0, 0) to (10, 10) at radius 10 the centre is (10, 0) or (0, 10). Round (10, 0) it is a
    // quarter clockwise, or three quarters counter-clockwise. The planes list their axes so that a
    // turn from the first to the second is counter-clockwise, hence the same numbers in each.
    for (plane, words, axes) in [
        ("G17", "X10 Y10", (0, 1)),
        ("G18", "Z10 X10", (2, 0)),
        ("G19", "Y10 Z10", (1, 2)),
    ] {
        for (code, radius, centre) in [
            ("G2", "R10", [10.0, 0.0]),
            ("G2", "R-10", [0.0, 10.0]),
            ("G3", "R10", [0.0, 10.0]),
            ("G3", "R-10", [10.0, 0.0]),
        ] {
            let (_, arc) = arc(&format!("F600 {plane}\n{code} {words} {radius}"));
            assert_eq!(arc.plane, axes);
            assert_eq!(arc.clockwise, code == "G2");
            for (got, want) in arc.centre.iter().zip(centre) {
                assert!(
                    (got - want).abs() < 1e-12,
                    "{plane} {code} {radius}: {:?}",
                    arc.centre
                );
            }
        }
    }
}

#[test]
fn section_3_5_3_half_circles_by_radius() {
    for radius in ["R5", "R-5", "R4.9985", "R-4.9985"] {
        let (_, arc) = arc(&format!("F600\nG3 X10 {radius}"));
        assert_eq!(arc.centre, [5.0, 0.0], "{radius}");
    }
}

#[test]
fn section_3_5_3_2_centre_words_of_each_plane() {
    let (_, arc17) = arc("F600\nG0 X1 Y2 Z3\nG17 G3 X3 Y4 I2 J0");
    assert_eq!((arc17.plane, arc17.centre), ((0, 1), [3.0, 2.0]));
    let (_, arc18) = arc("F600\nG0 X1 Y2 Z3\nG18 G3 X3 Z5 I2 K0");
    assert_eq!((arc18.plane, arc18.centre), ((2, 0), [3.0, 3.0]));
    let (_, arc19) = arc("F600\nG0 X1 Y2 Z3\nG19 G3 Y4 Z5 J2 K0");
    assert_eq!((arc19.plane, arc19.centre), ((1, 2), [4.0, 3.0]));
    // The centre counts from the start of the arc in both distance modes.
    let (made, arc91) = arc("F600\nG0 X1 Y2\nG91 G3 X2 Y2 I2");
    assert_eq!((made.to, arc91.centre), ([3.0, 4.0, 0.0], [3.0, 2.0]));
}

#[test]
fn section_3_5_3_2_tolerance_of_radii() {
    // 0.002 mm, or 0.0002 in. Kept as written: the end is not moved onto the circle.
    let (made, arc) = arc("F600\nG2 X10.0019 I5");
    assert_eq!((made.to[0], arc.centre), (10.0019, [5.0, 0.0]));
    assert_eq!(moves("G20\nF10 G2 X0.40019 I0.2").len(), 1);
}

#[test]
fn full_circles_and_helices() {
    for program in [
        "G2 X0 Y0 I5",
        "G3 X0 I5",
        "G2 I5",
        "G91 G3 X0 Y0 I5 Z-2",
        "G20\nF9 G2 X0 J1",
    ] {
        let (made, arc) = arc(&format!("F600\n{program}"));
        assert_eq!(made.from[..2], made.to[..2], "{program}");
        assert_eq!(arc.clockwise, program.contains("G2 "), "{program}");
    }
    // After increments whose sum rounds (0.1 + 0.2 is not 0.3), X0.3 is still the same place.
    let (made, _) = arc("F600\nG91 G0 X0.1\nX0.2\nG90 G2 X0.3 Y0 I5");
    assert_eq!(made.from, made.to);
    assert!(near(&made.to, &[0.3, 0.0, 0.0]));
}
