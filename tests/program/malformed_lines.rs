//! Lines that cannot be read as words: every one refused at its exact place.

use crate::support::{Malformed, assert_refused, read_with, settings};
use spokeshave_sim::program::{Reader, open};

#[test]
fn text_that_is_no_word() {
    let table: &[Malformed] = &[
        ("G0 X", (1, 4), "X has no number"),
        ("G0 X Y1", (1, 4), "X has no number"),
        ("G0 X-", (1, 4), "X has no number"),
        ("G0 X.", (1, 4), "X has no number"),
        ("G0 X+.", (1, 4), "X has no number"),
        ("G", (1, 1), "G has no number"),
        ("G0 X1\nG1 F\n", (2, 4), "F has no number"),
        ("G0 X1.2.3", (1, 8), "second decimal point"),
        ("G0 X1..3", (1, 7), "second decimal point"),
        ("G0 X--1", (1, 6), "a sign inside"),
        ("G0 X+-1", (1, 6), "a sign inside"),
        ("G0 X1-2", (1, 6), "a sign inside"),
        ("G0 X1 -2", (1, 7), "a sign inside"),
        ("G0 X.-2", (1, 6), "a sign inside"),
        ("G0 X1e5", (1, 6), "an exponent is not part of a number"),
        ("G0 X1E-5", (1, 6), "an exponent is not part of a number"),
        ("G0 X1,5", (1, 6), "`,` belongs to no word"),
        ("12 G0 X1", (1, 1), "a number without a letter"),
        ("-5", (1, 1), "a number without a letter"),
        (".5 X1", (1, 1), "a number without a letter"),
        ("G0 X(half)5", (1, 4), "X has no number"),
        ("G0 X1000000000", (1, 4), "too large"),
        ("G0 X-99999999999999999999", (1, 4), "too large"),
        ("N12345678901 G0", (1, 1), "too large"),
        ("G0 X1 ?", (1, 7), "the character `?`"),
        ("G0 X1 & Y2", (1, 7), "the character `&`"),
        ("G0 X1\u{a0}Y2", (1, 6), "belongs to no word"),
        ("G0 X1\u{0}", (1, 6), "the character `\\0`"),
        ("G0 X1\rY2", (1, 6), "the character `\\r`"),
        ("G0 Ä1", (1, 4), "the character `Ä`"),
        ("(größe) G0 X1 ß", (1, 15), "the character `ß`"),
        ("G0 X\u{ff11}", (1, 4), "X has no number"),
        ("\u{feff}G0 X1", (1, 1), "byte order mark"),
        ("G0 X1*71", (1, 6), "the character `*`"),
        ("G0 \"X1\"", (1, 4), "the character `\""),
    ];
    assert_refused(table);
}

#[test]
fn comments_slashes_percents_and_expressions() {
    let table: &[Malformed] = &[
        ("G0 X1 (to the edge", (1, 7), "does not end on its line"),
        ("(first\nsecond)", (1, 1), "does not end on its line"),
        ("G0 X1 )", (1, 7), "closes no comment"),
        ("G0 (a (b) c) X1", (1, 7), "a `(` inside a comment"),
        ("(a ( b", (1, 4), "a `(` inside a comment"),
        ("G0 /X1", (1, 4), "`/` after the start"),
        ("N10 /G0 X1", (1, 5), "`/` after the start"),
        ("//G0 X1", (1, 2), "`/` after the start"),
        ("G0 X1/2", (1, 6), "`/` after the start"),
        ("G0 X1 %", (1, 7), "`%` on a line with words"),
        ("%\nG0 X1 %", (2, 7), "`%` on a line with words"),
        ("% G0 X1", (1, 3), "holds nothing else"),
        ("%%", (1, 2), "holds nothing else"),
        ("%\n% X1", (2, 3), "holds nothing else"),
        ("G0 X1\n%\n", (2, 1), "did not begin with one"),
        ("(title)\n%\nG0 X1\n%", (2, 1), "did not begin with one"),
        ("#1=5", (1, 1), "parameters"),
        ("G0 X#1", (1, 5), "parameters"),
        ("G0 X1 #2=3", (1, 7), "parameters"),
        ("G0 X1=2", (1, 6), "parameters"),
        ("G0 X[1+2]", (1, 5), "expressions"),
        ("G0 X-[1+2]", (1, 4), "X has no number"),
        ("G0 [1+2]", (1, 4), "expressions"),
        ("G0 X1 ]", (1, 7), "expressions"),
        ("O100", (1, 1), "numbers a program"),
        ("O<bore> sub", (1, 1), "O has no number"),
    ];
    assert_refused(table);
}

#[test]
fn an_error_shows_its_place_cause_and_remedy() {
    let program = "G0 X1\nG1 Y2 (größe) Q5 F100\n";
    let error = read_with(settings(), program).expect_err("refused");
    let mut shown = String::new();
    miette::GraphicalReportHandler::new_themed(miette::GraphicalTheme::none())
        .render_report(&mut shown, &error)
        .expect("renders");
    for part in [
        "test.nc:2:15",
        "2 | G1 Y2 (größe) Q5 F100",
        "Q is used by nothing on this line",
        "Q is the step of G83",
    ] {
        assert!(shown.contains(part), "{part} missing in\n{shown}");
    }
}

#[test]
fn a_line_that_is_too_long() {
    let long = format!("G0 X1\nG0 X{}\n", "1".repeat(5000));
    let error = Reader::new("test.nc", long.as_bytes(), settings())
        .find_map(Result::err)
        .expect("refused");
    assert_eq!((error.line(), error.column()), (2, 1));
    assert!(error.cause().contains("longer than 4096 bytes"));

    // 4096 bytes are read, with either line end.
    for end in ["\n", "\r\n"] {
        let comment = format!("({}){end}G0 X1{end}", "x".repeat(4094));
        let items = Reader::new("test.nc", comment.as_bytes(), settings()).collect::<Vec<_>>();
        assert_eq!(items.len(), 2);
        assert!(items.iter().all(Result::is_ok));
    }
    let comment = format!("({})\n", "x".repeat(4095));
    let mut reader = Reader::new("test.nc", comment.as_bytes(), settings());
    assert!(reader.next().expect("one item").is_err());
    assert!(reader.next().is_none(), "goes on after an error");
}

#[test]
fn bytes_that_are_not_utf_8() {
    for (bytes, place) in [
        (&b"G0 X1\nG0 (caf\xe9) X2\n"[..], (2, 8)),
        (b"\xff\xfeG\x000\x00", (1, 1)),
        ("G0 (größe) X1".as_bytes(), (0, 0)),
        (b"(gr\xc3\xb6\xc3\x9fe \xc3", (1, 8)),
    ] {
        let found = Reader::new("test.nc", bytes, settings()).find_map(Result::err);
        match found {
            Some(error) => {
                assert_eq!((error.line(), error.column()), place, "{bytes:?}");
                assert!(error.cause().contains("not UTF-8"), "{}", error.cause());
            }
            None => assert_eq!(place, (0, 0), "{bytes:?} is read"),
        }
    }
}

#[test]
fn files_that_cannot_be_read() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let missing = folder.path().join("missing.nc");
    let error = open(&missing, settings()).expect_err("no such file");
    assert!(error.cause().contains("missing.nc"));
    assert!(error.remedy().contains("check the path"));
    // A folder opens on some systems and fails on the first read, on others it does not open.
    let error = open(folder.path(), settings())
        .and_then(|mut reader| reader.next().expect("one item"))
        .expect_err("a folder is no program");
    assert!(!error.cause().is_empty() && !error.remedy().is_empty());
}

/// Slips of the keyboard get the remedy that fits.
#[test]
fn letters_and_dashes_that_look_like_digits_and_signs_are_named() {
    for (program, remedy) in [
        ("GO X10\n", "the letter O? write the digit: G0"),
        (
            "G0 X\u{2212}10\n",
            "is not the minus of a keyboard: write X-1",
        ),
        ("G0 X,5\n", "write a number after X"),
    ] {
        let mut reader = Reader::new("test.nc", program.as_bytes(), settings());
        let error = reader.next().expect("an item").expect_err("refused");
        assert!(
            error.remedy().contains(remedy),
            "{program}: {}",
            error.remedy()
        );
    }
}
