//! `check`: captures that are refused, each with file, line, cause and remedy.

use crate::captures::checked;
use crate::workshop::{Workshop, words};

/// A dump of x alone, in which each of these parts may be spoiled.
pub const HEAD: &str = "$timescale 1 us $end\n$scope module bench $end\n$var wire 1 ! x_step $end\n\
                    $var wire 1 \" x_direction $end\n$var wire 8 # port [7:0] $end\n$upscope $end\n\
                    $enddefinitions $end\n";
pub const BODY: &str = "#0\n$dumpvars\n0!\n1\"\n$end\n#100\n1!\n#102\n0!\n#500\n1!\n#502\n0!\n";
pub const TABLE: &str = "Time [s],x_step,x_direction\n0.0,0,1\n0.0001,1,1\n0.000102,0,1\n";

/// Name and contents of the capture, options, the place, a part of the cause, a part of the remedy.
pub struct Refused(
    pub &'static str,
    pub String,
    pub &'static [&'static str],
    pub &'static str,
    pub &'static str,
    pub &'static str,
);

#[track_caller]
pub fn refused(cases: impl IntoIterator<Item = Refused>) {
    let mut wrong = String::new();
    for Refused(name, content, more, place, cause, remedy) in cases {
        let shop = Workshop::new();
        shop.write("part.nc", "G21 G90 G1 X0.025 F600\nM2\n");
        if !name.starts_with("missing") {
            shop.write(name, &content);
        }
        let said = checked(&shop, name, more);
        let shown: String = content.chars().take(400).collect();
        assert_eq!(
            (said.status, said.out.as_str()),
            (2, ""),
            "{shown} {more:?}\n{}",
            said.err
        );
        let said = words(&said.err);
        for part in [place, cause, remedy, "help: "] {
            if !said.contains(part) {
                wrong += &format!("{part} missing in\n{said}\n{shown} {more:?}\n");
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn dumps_are_refused_with_place_cause_and_remedy() {
    let dump = || format!("{HEAD}{BODY}");
    let head = |from: &str, to: &str| format!("{}{BODY}", HEAD.replacen(from, to, 1));
    let body = |from: &str, to: &str| format!("{HEAD}{}", BODY.replacen(from, to, 1));
    refused([
        // What is no capture at all.
        Refused(
            "a.vcd",
            String::new(),
            &[],
            "a.vcd:1:1",
            "the capture is empty",
            "capture again",
        ),
        Refused(
            "a.csv",
            " \n\n".into(),
            &[],
            "a.csv:1:1",
            "the capture is empty",
            "capture again",
        ),
        Refused(
            "a.bin",
            "PK\u{3}\u{4}\0\0".into(),
            &[],
            "a.bin:1:1",
            "binary file",
            "export it as a value change dump",
        ),
        Refused(
            "a.vcd",
            TABLE.into(),
            &[],
            "a.vcd:1:1",
            "named .vcd",
            "name it .csv",
        ),
        Refused(
            "a.csv",
            dump(),
            &[],
            "a.csv:1:1",
            "named .csv",
            "name it .vcd",
        ),
        Refused(
            "a.nc",
            "G21\nG1 X1 F600\n".into(),
            &[],
            "a.nc:1:1",
            "not a capture",
            "Time",
        ),
        Refused(
            "missing.vcd",
            String::from("-"),
            &[],
            "missing.vcd:1:1",
            "cannot be read",
            "check the path",
        ),
        // Declarations.
        Refused(
            "a.vcd",
            head("$timescale 1 us $end\n", ""),
            &[],
            "a.vcd:6:",
            "no $timescale",
            "$timescale 1 ns $end",
        ),
        Refused(
            "a.vcd",
            head("1 us", "5 us"),
            &[],
            "a.vcd:1:",
            "the time scale is 5 us",
            "correct the line $timescale",
        ),
        Refused(
            "a.vcd",
            head("1 us", "1 min"),
            &[],
            "a.vcd:1:",
            "none of s, ms, us",
            "export the capture again",
        ),
        Refused(
            "a.vcd",
            HEAD[..60].into(),
            &[],
            "a.vcd:3:",
            "it is cut off",
            "let the program that writes the file finish",
        ),
        Refused(
            "a.vcd",
            "$timescale 1 us $end\n".into(),
            &[],
            "a.vcd:2:",
            "it is cut off",
            "capture or export again",
        ),
        Refused(
            "a.vcd",
            head("$enddefinitions $end\n", ""),
            &[],
            "a.vcd:7:",
            "belongs after $enddefinitions",
            "damaged",
        ),
        Refused(
            "a.vcd",
            head("$scope", "$scoop"),
            &[],
            "a.vcd:2:",
            "no such command",
            "export the capture again",
        ),
        Refused(
            "a.vcd",
            "$comment ".to_owned() + &"word\n".repeat(300_000),
            &[],
            "a.vcd:",
            "goes on for too long",
            "export",
        ),
        Refused(
            "a.vcd",
            "$scope module a $end\n".repeat(1000),
            &[],
            "a.vcd:257:",
            "more lines or scopes",
            "alone",
        ),
        // Changes.
        Refused(
            "a.vcd",
            body("#102", "#92"),
            &[],
            "a.vcd:15:1",
            "the time goes back here, from 100 to 92",
            "only grow",
        ),
        Refused(
            "a.vcd",
            body("#500\n1!", "#500\n1Q"),
            &[],
            "a.vcd:18:1",
            "`Q` stands for no line",
            "damaged",
        ),
        Refused(
            "a.vcd",
            body("#102", "#1o2"),
            &[],
            "a.vcd:15:1",
            "not a whole number",
            "export the capture again",
        ),
        Refused(
            "a.vcd",
            body("#500", "hello"),
            &[],
            "a.vcd:17:1",
            "no value or command begins so",
            "export",
        ),
        Refused(
            "a.vcd",
            body("$end\n", ""),
            &[],
            "a.vcd:20:",
            "$dumpvars is still open",
            "capture or export again",
        ),
        Refused(
            "a.vcd",
            format!("{HEAD}{}", &BODY[..BODY.len() - 2]),
            &[],
            "a.vcd:20:",
            "it is cut off",
            "capture or export again",
        ),
        Refused(
            "a.vcd",
            body("#102\n0!", "#102\nx!"),
            &[],
            "a.vcd:1:1",
            "`bench.x_step` is x or z",
            "--from",
        ),
        Refused(
            "a.vcd",
            body("1\"", "x\""),
            &[],
            "a.vcd:1:1",
            "`bench.x_direction` has no level yet when x steps, at 0.000100 s",
            "begin the capture before the job",
        ),
        Refused(
            "a.vcd",
            body("#0\n", "")
                .replace('#', "$comment ")
                .replace("00\n", "00 $end\n")
                .replace("02\n", "02 $end\n"),
            &[],
            "a.vcd:",
            "has values but no time",
            "capture or export again",
        ),
        Refused(
            "a.vcd",
            body("#502\n0!", "#502\n0!\n#18446744073709551615\n1!"),
            &[],
            "a.vcd:",
            "more than 26 days",
            "check the time scale",
        ),
        Refused(
            "a.vcd",
            head("1 us", "100 us"),
            &[],
            "a.vcd:1:1",
            "times are known to 100.000 µs",
            "higher rate",
        ),
    ]);
}

/// A good capture, cut off at every byte: refused or judged, never a panic.
#[test]
fn a_capture_that_is_cut_off_anywhere_does_not_panic() {
    for (name, whole) in [("a.vcd", format!("{HEAD}{BODY}")), ("a.csv", TABLE.into())] {
        let shop = Workshop::new();
        shop.write("part.nc", "G21 G90 G1 X0.025 F600\nM2\n");
        for end in 0..whole.len() {
            shop.write(name, &whole[..end]);
            let said = checked(&shop, name, &[]);
            assert!([0, 1, 2].contains(&said.status), "{end}: {}", said.err);
            assert_eq!(said.status == 2, said.out.is_empty(), "{end}");
        }
    }
}
