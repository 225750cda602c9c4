//! The exit status: 0 all within limits, 2 the input was refused or the output cannot be written.
//! (1, a check failed, takes a fault in the planner; what is shown then is in `terminal`.)

use crate::workshop::{Workshop, spokeshave, words};

#[test]
fn a_good_program_passes() {
    let shop = Workshop::new();
    shop.write("part.nc", "G21 G90\nG1 X10 F600\nM2\n");
    let said = shop.simulate(&["part.nc", "--machine", "machine.toml"]);
    assert_eq!((said.status, said.err.as_str()), (0, ""));
    assert!(said.out.contains("part.nc on test bench"), "{}", said.out);
    assert_eq!(shop.names("."), ["machine.toml", "part.nc"]);
}

#[test]
fn files_that_are_missing_are_named() {
    let shop = Workshop::new();
    shop.write("part.nc", "M2\n");
    for (program, machine, missing) in [
        ("gone.nc", "machine.toml", "gone.nc"),
        ("part.nc", "gone.toml", "gone.toml"),
        (".", "machine.toml", "."),
        ("part.nc", ".", "."),
    ] {
        let said = shop.simulate(&[program, "--machine", machine, "--out", "out"]);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{missing}");
        assert!(said.err.contains(missing), "{}", said.err);
        assert!(said.err.contains("help: "), "{}", said.err);
        assert!(!shop.path("out").exists());
    }
}

/// Where nothing can be written, for any user: below a file, onto a file, where a folder has the
/// name of a file.
#[test]
fn output_that_cannot_be_written_is_an_error_with_a_remedy() {
    let shop = Workshop::new();
    shop.write("part.nc", "G21 G1 X1 F600\nM2\n");
    shop.write("taken", "mine");
    std::fs::create_dir_all(shop.path("full/report.html")).unwrap();
    let before = shop.names(".");
    for (out, cause) in [
        ("taken", "taken is a file"),
        ("taken/below", "cannot write to"),
        ("full", "report.html is a folder"),
    ] {
        let said = shop.simulate(&["part.nc", "--machine", "machine.toml", "--out", out]);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{out}");
        let text = words(&said.err);
        assert!(text.contains(cause), "{text}");
        assert!(text.contains("help: "), "{text}");
        assert_eq!(shop.names("."), before, "{out}");
    }
    assert_eq!(shop.text("taken"), "mine");
    assert_eq!(shop.names("full"), ["report.html"]);
}

#[test]
fn arguments_that_are_wrong_are_refused_by_the_parser() {
    let shop = Workshop::new();
    shop.write("part.nc", "M2\n");
    for (more, cause) in [
        (&["--pulses", "csv"][..], "--out <DIR>"),
        (&["--png"], "--out <DIR>"),
        (
            &["--out", "out", "--pulses", "xls"],
            "possible values: csv, vcd",
        ),
        (&["--start", "1, 2, 3"], "x: "),
        (&["--start", "1 mm, 2 mm"], "this has 2"),
    ] {
        let start = ["part.nc", "--machine", "machine.toml"];
        let said = shop.simulate(&[&start, more].concat());
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{more:?}");
        assert!(said.err.contains(cause), "{}", said.err);
        assert!(!shop.path("out").exists());
    }
    spokeshave().arg("simulate").assert().code(2);
    spokeshave().assert().code(2);
    spokeshave().args(["simulate", "--help"]).assert().code(0);
}
