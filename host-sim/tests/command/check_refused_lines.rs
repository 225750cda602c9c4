//! `check`: names of lines, tables and options that are refused.

use crate::captures::checked;
use crate::check_refused::{BODY, HEAD, Refused, TABLE, refused};
use crate::workshop::{Workshop, words};

#[test]
fn names_and_tables_are_refused_with_place_cause_and_remedy() {
    let dump = || format!("{HEAD}{BODY}");
    let head = |from: &str, to: &str| format!("{}{BODY}", HEAD.replacen(from, to, 1));
    let table = |from: &str, to: &str| TABLE.replacen(from, to, 1);
    refused([
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
        // Lines are counted with either end, with comments, and without an end to the last.
        Refused(
            "a.csv",
            table("0.000102,", "0.000099,").replace('\n', "\r\n"),
            &[],
            "a.csv:4:1",
            "the time goes back",
            "order of time",
        ),
        Refused(
            "a.csv",
            format!(
                "# by hand\n\n{}",
                table("0.000102,0,1\n", "0.000102,0,1\n# here\n0.0002,0")
            ),
            &[],
            "a.csv:8:1",
            "2 fields, but the table has 3 columns",
            "cut off",
        ),
        Refused(
            "a.csv",
            table("0.000102,0,1", "0.000102,0").replace('\n', "\r\n"),
            &[],
            "a.csv:4:1",
            "2 fields, but the table has 3 columns",
            "cut off",
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
        // A stretch without a change.
        Refused(
            "a.vcd",
            dump(),
            &["--from", "2 s"],
            "a.vcd:1:1",
            "the last change is at 0.000502 s, before the time of --from",
            "leave --from and --until out",
        ),
        Refused(
            "a.vcd",
            dump(),
            &["--until", "-2 s"],
            "a.vcd:1:1",
            "no change up to the time of --until",
            "leave --from and --until out",
        ),
    ]);
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
        ("--lateness", "10", "has no unit"),
        ("--lateness", "2 ms", "no time from 0 to 1 ms"),
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
