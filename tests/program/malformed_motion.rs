//! Motions, feeds, arcs and canned cycles that cannot be carried out: refused.

use crate::support::{Malformed, assert_refused};

#[test]
fn feeds_and_modes() {
    let table: &[Malformed] = &[
        ("G1 X1", (1, 1), "no feed has been set"),
        ("G0 X1\nG1\nX2", (3, 1), "no feed has been set"),
        ("G1 F0 X1", (1, 4), "a feed of 0 is not more than 0"),
        ("G1 X1 F-100", (1, 7), "a feed of -100 is not more than 0"),
        ("F0.0", (1, 1), "is not more than 0"),
        ("F1000000000 G1 X1", (1, 1), "too large"),
        ("G20 F10", (1, 5), "the line that changes the unit to inch"),
        (
            "F100 G20 G1 X1",
            (1, 1),
            "the line that changes the unit to inch",
        ),
        (
            "F100\nG20 G1 X1",
            (2, 5),
            "no feed since the unit changed on line 2",
        ),
        (
            "F100\nG20\nG21\nG1 X1",
            (4, 1),
            "no feed since the unit changed on line 2",
        ),
        ("G93 G1 X1", (1, 5), "without F in inverse time mode"),
        ("G93 G1 X1 F2\nX2", (2, 1), "without F in inverse time mode"),
        ("G93 G1 X1 F-2", (1, 11), "an inverse time of -2"),
        ("G93 G1 X0 F0", (1, 11), "an inverse time of 0"),
        (
            "G93 G1 X1 F2\nG94\nX2",
            (3, 1),
            "no feed since inverse time mode ended on line 2",
        ),
        ("X1", (1, 1), "no motion mode is in force"),
        ("G90 Y5", (1, 5), "no motion mode is in force"),
        ("G0 X1\nG80\nY5", (3, 1), "no motion mode is in force"),
        ("G53 X1", (1, 5), "no motion mode is in force"),
        ("G53", (1, 1), "G53 without a straight move"),
        ("G0 X1\nG53", (2, 1), "G53 without a straight move"),
        ("G53 G2 X1 I1 F100", (1, 1), "G53 without a straight move"),
        ("G4", (1, 1), "G4 without P"),
        ("G4 X1", (1, 1), "G4 without P"),
        ("G4 P-1", (1, 4), "the dwell, is not 0 or more"),
        ("G92", (1, 1), "G92 without an axis word"),
        ("S-100 M3", (1, 1), "the spindle speed, is not 0 or more"),
        ("T1.5", (1, 1), "the tool number, is not a whole number"),
        ("T-1 M6", (1, 1), "the tool number, is not a whole number"),
        (
            "G0 X10001",
            (1, 4),
            "beyond the upper end of the range of ±10 m",
        ),
        (
            "G0 Y-10000.5",
            (1, 4),
            "0.5 mm beyond the lower end of the range",
        ),
        ("G20 G0 X400", (1, 8), "10160 mm in machine coordinates"),
    ];
    assert_refused(table);
}

#[test]
fn arcs() {
    let table: &[Malformed] = &[
        ("G2 X10 I5", (1, 1), "no feed has been set"),
        (
            "F100 G2 X10",
            (1, 6),
            "an arc without centre or radius in G17",
        ),
        ("F100 G2", (1, 6), "an arc without centre or radius in G17"),
        (
            "F100 G2 X10 I5\nX20",
            (2, 1),
            "an arc without centre or radius in G17",
        ),
        (
            "F100 G19 G2 Y10 I5",
            (1, 10),
            "an arc without centre or radius in G19",
        ),
        ("F100 G2 X10 R5 I5", (1, 13), "both a radius and a centre"),
        (
            "F100 G2 X10 R4.9",
            (1, 13),
            "a radius of 4.9 mm does not reach",
        ),
        (
            "F100 G2 X10 R-4.9",
            (1, 13),
            "a radius of 4.9 mm does not reach",
        ),
        ("F100 G2 X10 R4.9979", (1, 13), "does not reach"),
        ("F100 G2 X10 R0", (1, 13), "a radius of 0 mm does not reach"),
        ("F100 G2 X0 R5", (1, 12), "ends where it starts"),
        ("F100 G2 R5", (1, 9), "ends where it starts"),
        // The tolerance is 0.002 mm: a radius of 5 at the start, 5.0021 and 4.9979 at the end.
        (
            "F100 G2 X10.0021 I5",
            (1, 18),
            "5.0021 mm, is not the one at its start, 5 mm",
        ),
        (
            "F100 G3 X9.9979 I5",
            (1, 17),
            "4.9979 mm, is not the one at its start, 5 mm",
        ),
        (
            "F100 G2 X10 J5",
            (1, 13),
            "11.1803 mm, is not the one at its start, 5 mm",
        ),
        ("F100 G2 X0 I0", (1, 12), "an arc of radius 0"),
        ("F100 G2 X0.001 I5", (1, 16), "a full circle or none"),
        // The tolerance is 0.0002 in, 0.00508 mm: a radius of 0.2 in at the start, 0.20021 in at the end.
        (
            "G20\nF10 G2 X0.40021 I0.2",
            (2, 17),
            "differ by more than 0.00508 mm",
        ),
    ];
    assert_refused(table);
}

#[test]
fn canned_cycles() {
    let table: &[Malformed] = &[
        ("G81 X1 Z-1 R1", (1, 1), "no feed has been set"),
        ("F100 G81 X1 Z-1", (1, 6), "G81 without R"),
        ("F100 G81 X1 R1", (1, 6), "G81 without Z"),
        ("F100 G81", (1, 6), "G81 without an axis word"),
        ("F100 G81 R1 L2", (1, 6), "G81 without an axis word"),
        ("F100 G18 G81 X1 Z-1 R1", (1, 10), "G81 without Y"),
        ("F100 G19 G81 Y1 Z-1 R1", (1, 10), "G81 without X"),
        ("F100 G81 X1 Z2 R1", (1, 16), "R below the bottom"),
        ("F100 G91 G81 X1 Z2 R1", (1, 20), "R below the bottom"),
        ("F100 G81 X1 Z-1 R1\nX2 Z3", (2, 4), "R below the bottom"),
        ("F100 G82 X1 Z-1 R1", (1, 6), "G82 without P"),
        (
            "F100 G82 X1 Z-1 R1 P-1",
            (1, 20),
            "the dwell, is not 0 or more",
        ),
        ("F100 G83 X1 Z-1 R1", (1, 6), "G83 without Q"),
        (
            "F100 G83 X1 Z-1 R1 Q0",
            (1, 20),
            "the step, is not more than 0",
        ),
        (
            "F100 G83 X1 Z-1 R1 Q-1",
            (1, 20),
            "the step, is not more than 0",
        ),
        (
            "F100 G83 X1 Z-1 R1 Q0.00001",
            (1, 20),
            "more than 100000 steps",
        ),
        ("F100 G81 X1 Z-1 R1 L0", (1, 20), "a whole number from 1"),
        ("F100 G81 X1 Z-1 R1 L-2", (1, 20), "a whole number from 1"),
        ("F100 G81 X1 Z-1 R1 L1.5", (1, 20), "a whole number from 1"),
        (
            "F100 G81 X1 Z-1 R1 L1000000",
            (1, 20),
            "a whole number from 1",
        ),
        ("G93 G81 X1 Z-1 R1 F1", (1, 5), "in inverse time mode"),
        (
            "F100 G82 X1 Z-1 R1 P1\nG4 P1 X2",
            (2, 1),
            "would both take its P",
        ),
        // Numbers stay only while the same cycle does, in the same plane and distance mode.
        ("F100 G81 X1 Z-1 R1\nG0 X0\nG81 X2", (3, 1), "G81 without R"),
        ("F100 G81 X1 Z-1 R1\nG82 X2 P1", (2, 1), "G82 without R"),
        ("F100 G81 X1 Z-1 R1\nG80\nG81 X2", (3, 1), "G81 without R"),
        ("F100 G81 X1 Z-1 R1\nG91 X2", (2, 5), "G81 without R"),
        ("F100 G81 X1 Z-1 R1\nG18 X2", (2, 5), "G81 without R"),
    ];
    assert_refused(table);
}
