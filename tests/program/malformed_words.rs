//! Lines of good words that must not stand together, belong to nothing, or are not read: refused.

use crate::support::{Malformed, assert_refused};

#[test]
fn codes_that_are_not_read() {
    let table: &[Malformed] = &[
        ("G5 X1", (1, 1), "G5 is not a code"),
        ("G0 X1\nG10 L2 P1 X0", (2, 1), "G10 sets a work offset"),
        ("G28", (1, 1), "G28 goes to a reference position"),
        ("G91 G30 Z0", (1, 5), "G30 goes to a reference position"),
        ("G38.2 Z-5 F10", (1, 1), "G38.2 probes"),
        ("G90 G41 D1", (1, 5), "G41 asks for cutter radius"),
        ("G42 D2", (1, 1), "G42 asks for cutter radius"),
        ("G43 H1 Z5", (1, 1), "G43 asks for a tool length"),
        ("G59.1", (1, 1), "G59.1 is a work offset beyond"),
        ("G0 G59.3 X1", (1, 4), "G59.3 is a work offset beyond"),
        ("G73 Z-1 R1 Q1", (1, 1), "G73 is not a code"),
        ("G84 Z-1 R1", (1, 1), "G84 is a canned cycle"),
        ("G0 X1\nG86 Z-1 R1 P1", (2, 1), "G86 is a canned cycle"),
        ("G89 Z-1 R1 P1", (1, 1), "G89 is a canned cycle"),
        ("G95 F0.1", (1, 1), "G95 is not a code"),
        ("G1.05 X1", (1, 1), "G1.05 is not a code"),
        ("G-1 X1", (1, 1), "G-1 is not a code"),
        ("G61.2", (1, 1), "G61.2 is not a code"),
        ("G999", (1, 1), "G999 is not a code"),
        ("G500000000", (1, 1), "is not a code"),
        ("M10", (1, 1), "M10 is not a code"),
        ("M3 S1000 M60", (1, 10), "M60 changes a pallet"),
        ("M98 P100", (1, 1), "M98 calls or ends a subprogram"),
        ("M0.5", (1, 1), "M0.5 is not a code"),
        ("M-2", (1, 1), "M-2 is not a code"),
        ("G0 A90", (1, 4), "A is a rotary axis"),
        ("G0 X1 B5", (1, 7), "B is a rotary axis"),
        ("C10", (1, 1), "C is a rotary axis"),
        ("G0 X1 D1", (1, 7), "cutter radius compensation"),
        ("T1 M6 H1", (1, 7), "tool length offset"),
        ("G0 U5", (1, 4), "U begins no word"),
        ("G0 X5 W2", (1, 7), "W begins no word"),
    ];
    assert_refused(table);
}

#[test]
fn two_of_a_kind() {
    let table: &[Malformed] = &[
        ("G0 G1 X1", (1, 4), "a second motion mode"),
        ("G1 X1 F100 G80", (1, 12), "a second motion mode"),
        ("G2 G81 X1", (1, 4), "a second motion mode"),
        ("G0 G0 X1", (1, 4), "a second motion mode"),
        ("G17 G18", (1, 5), "a second plane"),
        ("G20 G21", (1, 5), "a second unit"),
        ("G90 G0 X1 G91", (1, 11), "a second distance mode"),
        ("G93 G94", (1, 5), "a second feed mode"),
        ("G54 G55", (1, 5), "a second work offset"),
        ("G61 G64", (1, 5), "a second path control"),
        ("G98 G99", (1, 5), "a second retract mode"),
        ("G4 P1 G53 G0 X1", (1, 7), "a second one-line"),
        ("G92 X0 G92.1", (1, 8), "a second one-line"),
        ("G40 G40", (1, 5), "a second group"),
        ("M3 M5", (1, 4), "a second spindle"),
        ("M0 M2", (1, 4), "a second stop"),
        ("M6 M6", (1, 4), "a second tool change"),
        ("M7 M9", (1, 4), "a second group"),
        ("M8 M7 M8", (1, 7), "a second group"),
        ("M48 M49", (1, 5), "a second group"),
        ("G0 X1 X2", (1, 7), "a second X"),
        ("G0 X1 x1", (1, 7), "a second X"),
        ("G1 F100 X1 F200", (1, 12), "a second F"),
        ("S1 S2", (1, 4), "a second S"),
        ("N1 N2 G0", (1, 4), "a line number after other words"),
        ("G0 N1 X1", (1, 4), "a line number after other words"),
        ("N1.5 G0", (1, 1), "the line number"),
        ("N-1 G0", (1, 1), "the line number"),
        ("G0 X1\nG92 X0 G1", (2, 8), "would both take its axis words"),
        ("G0 G92 X0", (1, 4), "would both take its axis words"),
    ];
    assert_refused(table);
}

#[test]
fn words_that_nothing_uses() {
    let table: &[Malformed] = &[
        ("G0 X1 P5", (1, 7), "P is used by nothing"),
        ("P5", (1, 1), "P is used by nothing"),
        ("G64 P0.01", (1, 5), "never leaves the programmed path"),
        ("G0 X1 R2", (1, 7), "R is used by nothing"),
        ("R2", (1, 1), "R is used by nothing"),
        ("G0 X1\nX2 I1", (2, 4), "an arc's centre is used by nothing"),
        ("G1 X1 J1 F10", (1, 7), "an arc's centre is used by nothing"),
        (
            "G2 X10 I5 K5 F100",
            (1, 11),
            "an arc's centre is used by nothing",
        ),
        (
            "G18 G3 X10 I5 J5 F100",
            (1, 15),
            "an arc's centre is used by nothing",
        ),
        ("G0 X1 L3", (1, 7), "L is used by nothing"),
        ("G0 X1 Q1", (1, 7), "Q is used by nothing"),
        ("F100 G81 X1 Z-1 R1 P1", (1, 20), "P is used by nothing"),
        ("F100 G81 X1 Z-1 R1 Q1", (1, 20), "Q is used by nothing"),
        ("F100 G81 X1 Z-1 R1\nR2", (2, 1), "R is used by nothing"),
        ("G93 F10", (1, 5), "F belongs to one feed move"),
        ("G93 G0 X5 F10", (1, 11), "F belongs to one feed move"),
        ("G80 X1", (1, 5), "an axis word with G80"),
        ("G0 X1 P1 R1", (1, 7), "P is used by nothing"),
        ("G0 X1 R1 P1", (1, 7), "R is used by nothing"),
        ("M2 P1", (1, 4), "P is used by nothing"),
    ];
    assert_refused(table);
}
