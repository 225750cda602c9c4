//! `--json`, `--png`, `--start`, `--skip-slash`.

use crate::workshop::{SOME_OF_EVERYTHING, Workshop, number};
use resvg::tiny_skia::Pixmap;

#[test]
fn json_is_the_summary_file() {
    let shop = Workshop::new();
    let said = shop.pass(SOME_OF_EVERYTHING, &["--json"]);
    assert_eq!(said.out, shop.text("out/summary.json"));
    shop.write("part.nc", SOME_OF_EVERYTHING);
    let alone = shop.simulate(&["part.nc", "--machine", "machine.toml", "--json"]);
    assert_eq!(alone.out, said.out);
}

#[test]
fn pictures_decode_and_are_not_blank() {
    let shop = Workshop::new();
    shop.pass(SOME_OF_EVERYTHING, &["--png"]);
    for name in ["path", "speed", "axes"] {
        let bytes = std::fs::read(shop.path(&format!("out/{name}.png"))).unwrap();
        let picture = Pixmap::decode_png(&bytes).unwrap();
        assert!(picture.width() >= 400 && picture.height() >= 300, "{name}");
        let first = picture.pixels()[0];
        assert!(
            picture.pixels().iter().any(|pixel| *pixel != first),
            "{name}"
        );
    }
}

#[test]
fn a_start_moves_the_first_move_only() {
    let shop = Workshop::new();
    let program = "G21 G90\nG0 X10 Y20 Z30\nM2\n";
    let from = ["--start", "1 cm, -20 mm, 0 mm"];
    let summary = shop.summary(program, &from);
    // 50 mm in a straight line: 0, 40, 30. The end and the steps are exact.
    assert_eq!(number(&summary, "/steps/x"), 0.0);
    assert_eq!(number(&summary, "/steps/y"), 40.0 * 80.0);
    assert_eq!(number(&summary, "/steps/z"), 30.0 * 80.0);
    // Lengths are kept in single precision, and summed ramp by ramp: see `moves`.
    let length = number(&summary, "/path_length_mm");
    assert!(
        (length - 50.0).abs() <= 8.0 * f64::from(f32::EPSILON) * 50.0,
        "{length}"
    );
    assert_eq!(number(&summary, "/end_mm/y"), 20.0);
    assert_eq!(number(&shop.summary(program, &[]), "/steps/x"), 10.0 * 80.0);
}

#[test]
fn lines_with_a_slash_are_left_out_when_asked() {
    let shop = Workshop::new();
    let program = "G21 G90\nG1 X10 F600\n/G1 X20\nM2\n";
    assert_eq!(number(&shop.summary(program, &[]), "/end_mm/x"), 20.0);
    let skipped = shop.summary(program, &["--skip-slash"]);
    assert_eq!(number(&skipped, "/end_mm/x"), 10.0);
    // And it is said that something was left out.
    let notes = skipped["notes"].to_string();
    assert!(notes.contains("line 3"), "{notes}");
}
