//! Input that is refused: file, line, column, the line, the cause and the remedy are shown, and
//! nothing is written.

use crate::workshop::{MACHINE, Workshop};

/// Program, its file and place, the line shown, a part of the cause, a part of the remedy.
const PROGRAMS: [(&str, &str, &str, &str, &str); 5] = [
    (
        "G21\nG1 X1o F600\n",
        "part.nc:2:6",
        "G1 X1o F600",
        "O has no number",
        "help: ",
    ),
    (
        "G21 G90\nG1 X10 F600\nG1 X250 Y5\n",
        "part.nc:3:4",
        "G1 X250 Y5",
        "x = 250 mm",
        "travel",
    ),
    ("G21\nG1 X1\n", "part.nc:2:", "G1 X1", "F", "help: "),
    // Refused by the planner and not by the reader.
    (
        "G21\n\nG1 X1 F1000000\n",
        "part.nc:3:1",
        "G1 X1 F1000000",
        "feed",
        "give another F",
    ),
    (
        "G21\nG4 P200000\n",
        "part.nc:2:1",
        "G4 P200000",
        "rest",
        "give another P",
    ),
];

#[test]
fn programs_are_refused_with_place_cause_and_remedy_and_nothing_is_written() {
    for (program, place, line, cause, remedy) in PROGRAMS {
        let shop = Workshop::new();
        shop.write("part.nc", program);
        let before = shop.names(".");
        let arguments = ["part.nc", "--machine", "machine.toml", "--out", "out"];
        let said = shop.simulate(&[&arguments[..], &["--pulses", "csv"]].concat());
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{program}");
        for part in [place, line, cause, remedy] {
            assert!(said.err.contains(part), "{part} missing in\n{}", said.err);
        }
        assert_eq!(shop.names("."), before, "{program}");
    }
}

#[test]
fn an_older_output_folder_stays_as_it_was() {
    let shop = Workshop::new();
    shop.pass("G21 G1 X1 F600\nM2\n", &[]);
    shop.write("out/own notes.txt", "kept");
    let before: Vec<(String, String)> = shop
        .names("out")
        .into_iter()
        .map(|name| (name.clone(), shop.text(&format!("out/{name}"))))
        .collect();
    // The fault stands on the last line, after thousands of good ones.
    let long = "G1 X1 F600\nX0\n".repeat(3000) + "X5000\n";
    shop.write("part.nc", "G21\n".to_owned() + &long);
    let said = shop.simulate(&["part.nc", "--machine", "machine.toml", "--out", "out"]);
    assert_eq!(said.status, 2);
    assert!(said.err.contains("part.nc:6002:1"), "{}", said.err);
    for (name, text) in &before {
        assert!(shop.text(&format!("out/{name}")) == *text, "{name}");
    }
    assert_eq!(shop.names("out").len(), before.len());
    assert_eq!(shop.names("."), ["machine.toml", "out", "part.nc"]);
}

#[test]
fn machines_are_refused_the_same_way() {
    for (from, to, place, cause) in [
        ("\"0.02 mm\"", "\"0.02\"", "machine.toml:3:", "unit"),
        ("look_ahead", "lookahead", "machine.toml:4:1", "lookahead"),
        ("\"100 mm/s\"", "\"9000 mm/s\"", "machine.toml:", "9000"),
        ("[axis.x]", "[axis.x", "machine.toml:", "axis.x"),
    ] {
        let shop = Workshop::new();
        shop.write("machine.toml", MACHINE.replacen(from, to, 1));
        shop.write("part.nc", "G21 G1 X1 F600\nM2\n");
        let said = shop.simulate(&["part.nc", "--machine", "machine.toml", "--out", "out"]);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{to}");
        for part in [place, cause, "help: "] {
            assert!(said.err.contains(part), "{part} missing in\n{}", said.err);
        }
        assert_eq!(shop.names("."), ["machine.toml", "part.nc"]);
    }
}

#[test]
fn a_start_outside_the_travel_is_refused() {
    let shop = Workshop::new();
    shop.write("part.nc", "M2\n");
    let start = ["--start", "0 mm, -101 mm, 0 mm"];
    let said = shop.simulate(&[&["part.nc", "--machine", "machine.toml"], &start[..]].concat());
    assert_eq!((said.status, said.out.as_str()), (2, ""));
    for part in ["--start:1:1", "y = -101 mm", "-100 to 200 mm"] {
        assert!(said.err.contains(part), "{part} missing in\n{}", said.err);
    }
}

/// A pipe could be read once only: the second reading would find an empty program that passes.
#[cfg(unix)]
#[test]
fn a_program_that_is_no_file_is_refused() {
    let shop = Workshop::new();
    for program in ["/dev/null", "."] {
        let said = shop.simulate(&[program, "--machine", "machine.toml"]);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{program}");
        assert!(said.err.contains("must be a file"), "{}", said.err);
    }
}
