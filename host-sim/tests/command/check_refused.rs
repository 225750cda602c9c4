//! `check`: captures that are refused, each with file, line, cause and remedy.

use crate::captures::checked;
use crate::workshop::{Workshop, words};

/// A dump of x alone, in which each of these parts may be spoiled.
const HEAD: &str = "$timescale 1 us $end\n$scope module bench $end\n$var wire 1 ! x_step $end\n\
                    $var wire 1 \" x_direction $end\n$var wire 8 # port [7:0] $end\n$upscope $end\n\
                    $enddefinitions $end\n";
const BODY: &str = "#0\n$dumpvars\n0!\n1\"\n$end\n#100\n1!\n#102\n0!\n#500\n1!\n#502\n0!\n";
const TABLE: &str = "Time [s],x_step,x_direction\n0.0,0,1\n0.0001,1,1\n0.000102,0,1\n";

/// Name and contents of the capture, options, the place, a part of the cause, a part of the remedy.
struct Refused(
    &'static str,
    String,
    &'static [&'static str],
    &'static str,
    &'static str,
    &'static str,
);

#[test]
fn captures_are_refused_with_place_cause_and_remedy() {
    let dump = || format!("{HEAD}{BODY}");
    let head = |from: &str, to: &str| format!("{}{BODY}", HEAD.replacen(from, to, 1));
    let body = |from: &str, to: &str| format!("{HEAD}{}", BODY.replacen(from, to, 1));
    let table = |from: &str, to: &str| TABLE.replacen(from, to, 1);
    let cases = [
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
        // Names.
        Refused(
            "a.vcd",
            dump(),
            &["--step", "y=x_stop"],
            "a.vcd:1:1",
            "--step names `x_stop`",
            "did you mean `x_step`? The capture has x_step, x_direction, port[7:0]",
        ),
        Refused(
            "a.vcd",
            dump(),
            &["--step", "x=port[7:0]"],
            "a.vcd:1:1",
            "`bench.port[7:0]` has 8 bits",
            "one bit",
        ),
        Refused(
            "a.vcd",
            dump(),
            &["--step", "y=x_step", "--direction", "y=x_direction"],
            "a.vcd:1:1",
            "`bench.x_step` is named for two things",
            "a step line of its own",
        ),
        Refused(
            "a.vcd",
            dump(),
            &["--inverted", "x_dir"],
            "a.vcd:1:1",
            "--inverted names `x_dir`",
            "did you mean `x_direction`",
        ),
        Refused(
            "a.vcd",
            dump(),
            &["--inverted", "port[7:0]"],
            "a.vcd:1:1",
            "which is no line of a motor",
            "leave it out",
        ),
        Refused(
            "a.vcd",
            head("x_step", "CH0"),
            &[],
            "a.vcd:1:1",
            "x has 0 step lines and 1 direction lines",
            "--step x=NAME",
        ),
        Refused(
            "a.vcd",
            head("x_step", "CH0").replace("x_direction", "CH1"),
            &[],
            "a.vcd:1:1",
            "no line of the capture is called x_step",
            "the capture has CH0, CH1",
        ),
        Refused(
            "a.vcd",
            head("x_direction", "CH1"),
            &[],
            "a.vcd:1:1",
            "no line is called x_direction",
            "--direction x=NAME",
        ),
        Refused(
            "a.vcd",
            head(
                "$upscope",
                "$upscope $end $scope module other $end $var wire 1 $ x_step $end $upscope",
            ),
            &[],
            "a.vcd:1:1",
            "more than one line of the capture is called `x_step`: bench.x_step, other.x_step",
            "with its scopes",
        ),
        Refused(
            "a.vcd",
            dump(),
            &["--from", "2 s", "--until", "1 s"],
            "--until:1:1",
            "ends before it begins",
            "later",
        ),
        // Tables.
        Refused(
            "a.csv",
            table("Time [s]", "Time"),
            &[],
            "a.csv:1:1",
            "have no unit",
            "--time-unit s",
        ),
        Refused(
            "a.csv",
            TABLE.into(),
            &["--time-unit", "ms"],
            "a.csv:1:1",
            "another unit",
            "leave out --time-unit",
        ),
        Refused(
            "a.csv",
            table("x_direction", "time_us"),
            &[],
            "a.csv:1:17",
            "more than one column of times",
            "leave one of them",
        ),
        Refused(
            "a.csv",
            table("x_direction", "x_step"),
            &[],
            "a.csv:1:1",
            "more than one line of the capture is called `x_step`",
            "a head of its own",
        ),
        Refused(
            "a.csv",
            table("0.0001,1,1", "0.0001,2,1"),
            &[],
            "a.csv:3:8",
            "`2` is neither 0 nor 1",
            "as 0 and 1",
        ),
        Refused(
            "a.csv",
            table("0.0001,1,1", "0.0001,,1"),
            &[],
            "a.csv:3:8",
            "`` is neither 0 nor 1",
            "as 0 and 1",
        ),
        Refused(
            "a.csv",
            table("0.0001,", "0.00o1,"),
            &[],
            "a.csv:3:1",
            "`0.00o1` is not a time",
            "with a point",
        ),
        Refused(
            "a.csv",
            table("0.0001,", "inf,"),
            &[],
            "a.csv:3:1",
            "`inf` is not a time",
            "with a point",
        ),
        Refused(
            "a.csv",
            table("0.0001,", "1e300,"),
            &[],
            "a.csv:3:1",
            "more than 26 days",
            "check the unit",
        ),
        Refused(
            "a.csv",
            table("0.000102,", "0.000099,"),
            &[],
            "a.csv:4:1",
            "the time goes back",
            "order of time",
        ),
        Refused(
            "a.csv",
            table("0.000102,0,1", "0.000102,0"),
            &[],
            "a.csv:4:1",
            "2 fields, but the table has 3 columns",
            "cut off",
        ),
        Refused(
            "a.csv",
            "Time [s],x_step,x_direction".to_owned() + &"0".repeat(1 << 17),
            &[],
            "a.csv:1:1",
            "longer than any row",
            "one row a line",
        ),
        Refused(
            "a.csv",
            "tick,x,y,z\n5,1,0,0\n4,0,1,0\n".into(),
            &[],
            "a.csv:3:1",
            "from tick 5 to 4",
            "order of time",
        ),
        Refused(
            "a.csv",
            "tick,x,y,z\n5,1,0,0\n6,0,-2,0\n".into(),
            &[],
            "a.csv:3:5",
            "`-2` is no step",
            "--pulses csv",
        ),
        Refused(
            "a.csv",
            "tick,x,y,z\n-5,1,0,0\n".into(),
            &[],
            "a.csv:2:1",
            "`-5` is not a tick",
            "whole numbers",
        ),
        Refused(
            "a.csv",
            "tick,x,y,z\n5,1,0,0\n".into(),
            &["--sampling", "1 MHz"],
            "a.csv:1:1",
            "--sampling is for captures of lines",
            "leave it out",
        ),
    ];
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
fn options_are_refused_by_the_command_line() {
    let shop = Workshop::new();
    shop.write("part.nc", "M2\n");
    for (option, value, cause) in [
        ("--step", "x", "it has no `=`"),
        ("--step", "a=CH0", "`a` is none of the axes"),
        ("--direction", "x=", "the name of the line is missing"),
        ("--clock-tolerance", "200", "write it as in \"200 ppm\""),
        ("--clock-tolerance", "6 %", "from 0 to 5 %"),
        ("--clock-error", "60 %", "from -50 % to 50 %"),
        ("--sampling", "24", "has no unit"),
        ("--sampling", "1 Hz", "no rate from 1 kHz"),
        ("--from", "1", "has no unit"),
        ("--time-unit", "min", "invalid value"),
    ] {
        let said = checked(&shop, "a.vcd", &[option, value]);
        assert_eq!(said.status, 2, "{option} {value}");
        assert!(
            words(&said.err).contains(cause),
            "{cause} missing in\n{}",
            said.err
        );
    }
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
