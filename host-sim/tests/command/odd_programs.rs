//! Programs that are odd but right: rests, nothing to do, other line ends, names and ends.

use crate::workshop::{Workshop, number};

#[test]
fn rests_count_and_lose_no_time() {
    let shop = Workshop::new();
    let moves = |stop: &str| format!("G21 G90\nG1 X10 F600\n{stop}\nX20\nM2\n");
    let through = number(&shop.summary(moves(""), &[]), "/job_time_s");
    for (stop, rest) in [
        ("G4 P1.5", 1.5),
        ("M0", 0.0),
        ("M3 S1000", 0.0),
        ("M5", 0.0),
    ] {
        let summary = shop.summary(moves(stop), &[]);
        assert_eq!(number(&summary, "/rest_s"), rest, "{stop}");
        // Braking from v and speeding up again takes v/a longer than going on at v: v = 10 mm/s,
        // a = 500 mm/s². Ends of moves are within a tick; 4 of them, and single precision.
        let job = number(&summary, "/job_time_s");
        let expected = through + 10.0 / 500.0 + rest;
        assert!((job - expected).abs() <= 4e-6, "{stop}: {job}, {expected}");
        let lost = summary["time_lost_s"].as_object().unwrap();
        assert!(!lost.contains_key("rest"), "{lost:?}");
    }
}

#[test]
fn rests_show_in_the_profile_and_not_among_the_moves() {
    let shop = Workshop::new();
    shop.pass("G21\nG4 P0.5\nG1 X10 F600\nG4 P1\nG4 P2\nM2\n", &[]);
    let profile = shop.table("out/profile.csv");
    let rests: Vec<f64> = std::iter::zip(profile.texts("kind"), profile.all("duration_s"))
        .filter_map(|(kind, seconds)| (kind == "rest").then_some(seconds))
        .collect();
    // One row each, however long. Printed to 1e-9 s, of times of which sums are taken in double precision.
    assert_eq!(rests, [0.5, 1.0, 2.0]);
    assert_eq!(shop.table("out/moves.csv").rows.len(), 1);
    // Ramps and rests follow each other without a gap. Each time is printed to 1e-9 s.
    let starts = profile.all("time_s");
    let lengths = profile.all("duration_s");
    for i in 1..starts.len() {
        let gap = starts[i] - starts[i - 1] - lengths[i - 1];
        assert!(gap.abs() <= 1.5e-9, "row {i}: {gap}");
    }
}

#[test]
fn jobs_without_moves_have_all_files_and_no_steps() {
    for (program, rest) in [
        ("", 0.0),
        ("\n\n", 0.0),
        ("%\n%\n", 0.0),
        ("(nothing)", 0.0),
        ("M2\n", 0.0),
        ("M0\n", 0.0),
        ("G21 G90 F600\nM3 S100\nM5\nM30\n", 0.0),
        ("G4 P2.5\n", 2.5),
        ("G21 G1 X0 Y0 Z0 F100\n", 0.0),
    ] {
        let shop = Workshop::new();
        let said = shop.pass(program, &["--pulses", "csv", "--png"]);
        assert!(!said.out.contains("NaN"), "{}", said.out);
        let summary = shop.json("out/summary.json");
        for (key, value) in [
            ("/job_time_s", rest),
            ("/rest_s", rest),
            ("/feed_time_s", rest),
            ("/moves", 0.0),
            ("/steps/x", 0.0),
            ("/path_length_mm", 0.0),
        ] {
            assert_eq!(number(&summary, key), value, "{program:?} {key}");
        }
        // There is no line to blame.
        let lines = summary["checks"].as_array().unwrap().iter();
        assert!(lines.filter(|check| check["line"] == 0).count() == 0);
        assert_eq!(shop.text("out/pulses.csv"), "tick,x,y,z\n");
        assert_eq!(shop.names("out").len(), 11);
    }
}

#[test]
fn line_ends_and_a_missing_end_change_nothing() {
    let shop = Workshop::new();
    let program = "G21 G90\nG1 X10 F600\nY10\nM2\n";
    let expected = shop.summary(program, &[]);
    for other in [
        program.replace('\n', "\r\n"),
        program.replace("M2\n", ""),
        program.replace("\nM2\n", ""),
        program.replace("M2", "M30"),
        // Nothing is read after the end, so nothing there can be wrong.
        program.replace("M2", "M2\nG1 X5000\n(no end"),
    ] {
        let mut summary = shop.summary(&other, &[]);
        for key in ["checks", "notes"] {
            summary[key] = expected[key].clone();
        }
        assert_eq!(summary, expected, "{other:?}");
    }
}

#[test]
fn a_byte_order_mark_is_read_or_refused_but_never_a_panic() {
    let shop = Workshop::new();
    shop.write("part.nc", "\u{feff}G21\r\nG1 X10 F600\r\n");
    let said = shop.simulate(&["part.nc", "--machine", "machine.toml"]);
    assert!([0, 2].contains(&said.status), "{}", said.err);
    assert!(!said.err.contains("panicked"), "{}", said.err);
    assert_eq!(
        said.status == 2,
        said.err.contains("help: "),
        "{}",
        said.err
    );
}

#[test]
fn paths_may_have_blanks_and_any_letters() {
    let shop = Workshop::new();
    let folder = "Entwürfe für Ørsted 机";
    std::fs::create_dir(shop.path(folder)).unwrap();
    let program = format!("{folder}/päis ley 2.nc");
    let machine = format!("{folder}/fräse.toml");
    let out = format!("{folder}/neu und älter/erg ébnis");
    shop.write(&program, "G21 G1 X10 F600\nM2\n");
    shop.write(&machine, crate::workshop::MACHINE);
    let said = shop.simulate(&[&program, "--machine", &machine, "--out", &out]);
    assert_eq!((said.status, said.err.as_str()), (0, ""));
    assert!(
        said.out.starts_with("päis ley 2.nc on test bench"),
        "{}",
        said.out
    );
    assert_eq!(shop.names(&out).len(), 7);
    assert_eq!(
        shop.json(&format!("{out}/summary.json"))["program"],
        "päis ley 2.nc"
    );
}

#[test]
fn the_longest_look_ahead_runs() {
    let shop = Workshop::new();
    let deep = crate::workshop::MACHINE.replace("look_ahead = 32", "look_ahead = 16384");
    shop.write("machine.toml", deep);
    let summary = shop.summary("G21 G90\nG1 X10 F600\nM2\n", &[]);
    assert_eq!(number(&summary, "/end_mm/x"), 10.0);
}
