//! Rests, the end of a program, and words that are harmless.

use crate::support::{moves, read, rests, settings};
use spokeshave_sim::motion::RestReason::{Dwell, End, OperatorStop, Spindle, ToolChange};
use spokeshave_sim::program::Reader;

#[test]
fn every_stop_is_an_item() {
    let items = read("M3 S1000\nG4 P0.25\nM0\nM1\nT2 M6\nM4\nM5\ng4p0\nM30\n");
    assert_eq!(
        rests(&items),
        [
            (1, 0.0, Spindle),
            (2, 0.25, Dwell),
            (3, 0.0, OperatorStop),
            (4, 0.0, OperatorStop),
            (5, 0.0, ToolChange),
            (6, 0.0, Spindle),
            (7, 0.0, Spindle),
            (8, 0.0, Dwell),
            (9, 0.0, End),
        ]
    );
    assert_eq!(items.len(), 9);
}

#[test]
fn a_program_ends_once() {
    for (program, line, count) in [
        ("G0 X1\nM2\n", 2, 1),
        ("G0 X1\nM30\nG0 X2\n", 2, 1),
        ("G0 X1 M2\nthis is not read (nor this\n", 1, 1),
        ("G0 X1", 1, 1),
        ("G0 X1\n", 1, 1),
        ("G0 X1\n\n(tail)\n", 3, 1),
        ("%\nG0 X1\n%\nrubbish", 3, 1),
        ("\n  \n % \nG0 X1\nM2\n%\n", 5, 1),
        ("%\r\nG0 X1\r\n", 2, 1),
        ("", 1, 0),
        ("\n\n", 2, 0),
        ("M2", 1, 0),
    ] {
        let items = read(program);
        assert_eq!(rests(&items), [(line, 0.0, End)], "{program:?}");
        assert_eq!(items.len(), count + 1, "{program:?}");
    }
}

#[test]
fn the_iterator_stays_at_its_end() {
    let mut reader = Reader::new("test.nc", "G0 X1\nM2\nG0 X2".as_bytes(), settings());
    assert_eq!(reader.by_ref().count(), 2);
    assert!(reader.next().is_none());
    let mut reader = Reader::new("test.nc", "G0 X1\nG5\nG0 X2".as_bytes(), settings());
    assert!(reader.next().expect("a move").is_ok());
    assert!(reader.next().expect("an error").is_err());
    assert!(reader.next().is_none());
    assert!(reader.next().is_none());
}

#[test]
fn a_line_with_an_error_yields_nothing_before_it() {
    let mut reader = Reader::new("test.nc", "M3 G0 X1 P7".as_bytes(), settings());
    let error = reader.next().expect("an error").expect_err("refused");
    assert_eq!(error.column(), 10);
}

#[test]
fn harmless_words_are_named_once() {
    let program =
        "G17 G21 G40 G49 G90\nT1 M6\nS900 M3\nM8\nM7 M8\nG0 X1 S800 T2\nM9\nM48\nM9\nM49\n";
    let mut reader = Reader::new("test.nc", program.as_bytes(), settings());
    assert!(reader.by_ref().all(|item| item.is_ok()));
    let notes: Vec<_> = reader
        .notes()
        .iter()
        .map(|note| (note.word, note.line))
        .collect();
    assert_eq!(
        notes,
        [
            ("G40", 1),
            ("G49", 1),
            ("T", 2),
            ("M6", 2),
            ("S", 3),
            ("M8", 4),
            ("M7", 5),
            ("M9", 7),
            ("M48", 8),
            ("M49", 10),
            ("end", 10)
        ]
    );
    assert!(reader.notes().iter().all(|note| !note.meaning.is_empty()));
}

#[test]
fn numbers_in_every_form() {
    // NIST IR 6556 §3.3.2.1: sign, digits and point are each optional, but for one digit.
    let xs: Vec<_> =
        moves("G00. X1\nX2.\nX.5\nX+1\nX-0.5\nX-.25\nX+3.\nX007\nX1.250000000000000001")
            .iter()
            .map(|made| made.to[0])
            .collect();
    assert_eq!(xs, [1.0, 2.0, 0.5, 1.0, -0.5, -0.25, 3.0, 7.0, 1.25]);
    // The nearest f64, not an f32: 600.123 as f32 is 600.12298583984375.
    assert_eq!(moves("G0 X600.123")[0].to[0], 600.123);
}

#[test]
fn blanks_case_comments_and_line_numbers() {
    // NIST IR 6556 §3.3: `g0x +0. 12 34y 7` is `g0 x+0.1234 y7`.
    let made = moves("g0x +0. 12 34y 7");
    assert_eq!(made[0].to, [0.1234, 7.0, 0.0]);
    let plain = moves("G1 F60\nG1 X1 Y2\nG0 X5\n");
    let dressed = moves(
        "N10 (start) g 1\tF6 0 ; feed\r\nN20g1(a; b)x1(c)y 2()\r\nn 123456 G0 0 X+5.0;)(/%#\r\n",
    );
    assert_eq!(plain, dressed);
}

/// What is left out or taken for granted is said.
#[test]
fn what_is_taken_for_granted_is_noted() {
    for (program, expected) in [
        ("G1 X1 F100\nM2\n", vec![("unit", 1)]),
        ("G21 G1 X1 F100\n", vec![("end", 1)]),
        ("%\nG21\nG0 X1\n", vec![("end", 3)]),
        ("%\nG21\nG0 X1\n%\n\n", vec![]),
        ("G21\nM0\nM1\nM2\n%\n", vec![("M0", 2)]),
        ("G21\nM2\n\nG0 X5\nG0 X6\n", vec![("end", 4)]),
    ] {
        let mut reader = Reader::new("test.nc", program.as_bytes(), settings());
        assert!(reader.by_ref().all(|item| item.is_ok()), "{program}");
        let notes = reader.notes().iter().map(|note| (note.word, note.line));
        assert_eq!(notes.collect::<Vec<_>>(), expected, "{program}");
    }
}
