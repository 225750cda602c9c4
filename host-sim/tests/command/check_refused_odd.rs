//! `check`: captures that no analyser writes. Each of them once named a line that the file has not, or took
//! memory without bounds.

use crate::check_refused::{BODY, HEAD, Refused, refused};

#[test]
fn a_carriage_return_alone_ends_no_line() {
    // Heads and first row end with both signs, the second row with one, and the file with none.
    let table = "Time [s],x_step,x_direction\r\n0.000000,0,1\r0.000100,1,1\n0.000200,0";
    refused([
        Refused(
            "a.csv",
            table.into(),
            &[],
            "a.csv:2:1",
            "this row has 5 fields, but the table has 3 columns",
            "cut off",
        ),
        Refused(
            "a.csv",
            table.replace(",0,1\r0", ",0,1\r\n0"),
            &[],
            "a.csv:4:1",
            "this row has 2 fields, but the table has 3 columns",
            "cut off",
        ),
    ]);
}

#[test]
fn a_quoted_field_ends_with_its_line() {
    refused([Refused(
        "a.csv",
        "Time [s],x_step,x_direction\n0,0,1\n0.000100,\"1\n\n,1\n0.000200,0,1\"\n".into(),
        &[],
        "a.csv:3:1",
        "goes on over the end of the line",
        "close the quotation mark",
    )]);
}

#[test]
fn a_dump_of_long_names_deep_down_is_none() {
    // 60 000 lines inside of 200 scopes, each with a name of 1 000 signs: 0.9 MB that would become 12 GB.
    let scope = format!("$scope module {} $end\n", "s".repeat(1_000));
    let lines = (0..60_000).map(|_| "$var wire 1 ! a $end\n");
    let head = format!(
        "$timescale 1 us $end\n{}{}$enddefinitions $end\n",
        scope.repeat(200),
        lines.collect::<String>()
    );
    refused([Refused(
        "a.vcd",
        head + BODY,
        &[],
        // 16 MiB of names of 200 kB each.
        "a.vcd:285:",
        "more lines or scopes than any capture of a controller has",
        "export the step and direction lines alone",
    )]);
}

#[test]
fn changes_without_end_at_one_time_are_no_steps() {
    let body = BODY.replace("#100\n", &format!("#100\n{}", "1!\n0!\n".repeat(40_000)));
    refused([Refused(
        "a.vcd",
        format!("{HEAD}{body}"),
        &[],
        "a.vcd:",
        "more than 65536 changes of the motors' lines at one time",
        "finer unit of time",
    )]);
}
