//! `check`: captures of a controller that does all right, in every format.

use crate::captures::{Found, Trace, US, checked};
use crate::workshop::{SOME_OF_EVERYTHING, Workshop, flat, top};
use std::fs;

const NS: (&str, i64) = ("1 ns", 1000);

/// Real programs on the demo machine, one of them of arcs.
#[test]
fn what_simulate_writes_passes_as_dump_and_tables() {
    for program in [
        "tests/programs/lettering.nc",
        "tests/programs/coastline.nc",
        "docs/demo/tray.nc",
    ] {
        let shop = Workshop::new();
        let machine = top().join("docs/demo/belt-router.toml");
        shop.write("machine.toml", fs::read(machine).unwrap());
        let program = fs::read_to_string(top().join(program)).unwrap();
        let trace = Trace::of(&shop, &program);
        shop.write("other.vcd", trace.vcd(("10 ns", 10_000)));
        // Analysers count from a trigger: most of this capture is before it.
        let mut early = trace.clone();
        early.clock(|time| time - 100_000_000 * US);
        shop.write("capture.csv", early.csv(6));
        for capture in ["out/pulses.vcd", "other.vcd", "capture.csv"] {
            let found = Found::of(&shop, capture, &[]);
            assert_eq!(found.failed(), [""; 0], "{capture}");
            assert_eq!(found.0["steps"], found.0["planned_steps"], "{capture}");
            assert!(found.check("pulse width")["worst"] == 2e-6, "{capture}");
        }
    }
}

/// Ticks are the controller's own, so every figure is that of `simulate`, to the last digit.
#[test]
fn a_table_of_ticks_is_judged_as_simulate_judges() {
    let shop = Workshop::new();
    shop.pass(SOME_OF_EVERYTHING, &["--pulses", "csv"]);
    let found = Found::of(&shop, "out/pulses.csv", &[]);
    assert_eq!(found.0["checks"], shop.json("out/summary.json")["checks"]);
    let option = checked(&shop, "out/pulses.csv", &["--step", "x=x_step"]);
    assert_eq!(option.status, 2);
    assert!(flat(&option.err).contains("--step is for captures of lines"));
}

#[test]
fn lines_with_other_names_and_levels() {
    let shop = Workshop::new();
    let mut trace = Trace::of(&shop, SOME_OF_EVERYTHING);
    for (line, name) in ["CH0", "CH1", "CH2", "CH3", "CH4", "CH5"]
        .iter()
        .enumerate()
    {
        trace.names[line] = (*name).into();
    }
    // The step line of x and the direction line of y are inverted.
    for line in [0, 3] {
        trace.initial[line] = !trace.initial[line];
        let mine = trace.edges.iter_mut().filter(|edge| edge.1 == line);
        mine.for_each(|edge| edge.2 = !edge.2);
    }
    shop.write("capture.vcd", trace.vcd(NS));
    let lines = "--step x=CH0 --direction x=CH1 --step y=bench.CH2 --direction y=CH3 --step z=CH4 \
                 --direction z=CH5";
    let lines: Vec<&str> = lines.split(' ').collect();
    let inverted = ["--inverted", "CH0", "--inverted", "CH3"];
    let found = Found::of(&shop, "capture.vcd", &[&lines[..], &inverted].concat());
    assert_eq!(found.failed(), [""; 0]);
    // Said without the inversion of the step line, the tool guesses it.
    let found = Found::of(&shop, "capture.vcd", &[&lines[..], &inverted[2..]].concat());
    assert!(!found.failed().is_empty());
    assert!(
        found.notes().contains("say --inverted bench.CH0"),
        "{}",
        found.notes()
    );
}

/// IEEE 1364-2005 clause 18: what may stand in a dump beside the lines of one bit.
#[test]
fn what_is_not_ours_is_passed_over() {
    let shop = Workshop::new();
    let trace = Trace::of(&shop, SOME_OF_EVERYTHING);
    let text = trace.vcd(("100 ps", 100));
    let text = text
        .replace(
            "$upscope $end\n",
            "$var wire 8 byte port [7:0] $end\n$scope begin deeper $end\n$var real 64 volt supply $end\n\
             $upscope $end\n$upscope $end\n$comment lines\n of two $end\n",
        )
        .replace("$dumpvars\n", "$dumpvars\nbx byte\nr0.0 volt\nx!\n")
        .replacen("\n#", "\nb1010z1 byte\n$comment here too $end\nr3.3e0 volt\n#", 3);
    // No line end at the end, and a bit that is written as a vector.
    let last = text.trim_end().rsplit_once('\n').unwrap();
    let text = format!("{}\nb{} {}", last.0, &last.1[..1], &last.1[1..]);
    shop.write("capture.vcd", text);
    assert_eq!(Found::of(&shop, "capture.vcd", &[]).failed(), [""; 0]);
}

#[test]
fn a_job_is_cut_out_of_a_longer_capture() {
    let shop = Workshop::new();
    let mut trace = Trace::of(&shop, SOME_OF_EVERYTHING);
    trace.clock(|time| time + 2_000_000 * US);
    // The machine is moved by hand before.
    for step in 0..300 {
        trace.add_pulse(0, step * 1000 * US, 2 * US);
    }
    shop.write("capture.vcd", trace.vcd(NS));
    let found = Found::of(&shop, "capture.vcd", &[]);
    assert!(
        found.failed().contains(&"steps, x".into()),
        "{:?}",
        found.failed()
    );
    assert!(
        found.notes().contains("--from and --until cut it out"),
        "{}",
        found.notes()
    );
    let found = Found::of(&shop, "capture.vcd", &["--from", "1.5 s"]);
    assert_eq!(found.failed(), [""; 0]);
}

/// Tables come in rows at each sample too, with comments, other separators and units.
#[test]
fn tables_as_other_programs_write_them() {
    let shop = Workshop::new();
    let trace = Trace::of(&shop, "G21 G90 G1 X0.5 Y0.2 F600\nM2\n");
    let end = trace.edges.last().unwrap().0 / US + 10;
    let mut text = String::from("; two lines\r\n; of comments\r\n");
    text += &format!("Time;{}\r\n", LINES_QUOTED);
    let (mut levels, mut next) = (trace.initial.clone(), trace.edges.iter().peekable());
    for us in 0..end {
        while let Some(edge) = next.next_if(|edge| edge.0 <= us * US) {
            levels[edge.1] = edge.2;
        }
        let shown: Vec<&str> = levels
            .iter()
            .map(|on| if *on { "1" } else { "0" })
            .collect();
        text += &format!("{us}.0;{}\r\n", shown.join("; "));
    }
    shop.write("capture.txt", text);
    let more = ["--time-unit", "us", "--sampling", "1 MHz"];
    assert_eq!(Found::of(&shop, "capture.txt", &more).failed(), [""; 0]);
}

const LINES_QUOTED: &str =
    "\"x_step\";\"x_direction\";\"y_step\";\"y_direction\";\"z_step\";\"z_direction\"";

#[test]
fn axes_without_lines_are_taken_not_to_move() {
    let shop = Workshop::new();
    let flat_program = "G21 G90 G1 X10 Y5 F600\nX0 Y0\nM2\n";
    let mut trace = Trace::of(&shop, flat_program);
    trace.names[4] = "other".into();
    trace.names[5] = "another".into();
    shop.write("capture.vcd", trace.vcd(NS));
    let said = checked(&shop, "capture.vcd", &[]);
    assert_eq!(said.status, 0, "{}", said.out);
    for part in [
        "z has no lines in the capture: it is taken not to move",
        "x: bench.x_step, bench.x_direction",
        "Compared: the steps of capture.vcd with the path of part.nc and the limits of test bench",
    ] {
        assert!(
            flat(&said.out).contains(part),
            "{part} missing in\n{}",
            said.out
        );
    }
    // A program that moves it does not pass.
    shop.write("part.nc", "G21 G90 G1 X10 Y5 F600\nX0 Y0\nZ1\nM2\n");
    let found = Found::of(&shop, "capture.vcd", &[]);
    assert!(
        found.failed().contains(&"steps, z".into()),
        "{:?}",
        found.failed()
    );
}
