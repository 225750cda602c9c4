//! The picture of `size`: torque against speed.

use crate::size::{demo, shop, size};
use std::fs;

#[test]
fn the_picture_shows_every_motor_and_marks_estimates() {
    let shop = shop(&demo("screw-router.toml", |line| Some(line.to_owned())));
    let said = size(&shop, &["--picture", "pictures/torque.svg", "--png"]);
    assert_eq!((said.status, said.err.as_str()), (0, ""));
    assert_eq!(shop.names("pictures"), ["torque.png", "torque.svg"]);
    let svg = shop.text("pictures/torque.svg");
    let document = roxmltree::Document::parse(&svg).unwrap();
    let words: Vec<&str> = document
        .descendants()
        .filter(|node| node.has_tag_name("text"))
        .filter_map(|node| node.text().map(str::trim))
        .collect();
    let shows = |part: &str| words.iter().any(|words| words.contains(part));
    for part in [
        "x: ball screw 16 × 5 mm",
        "y: ball screw 12 × 5 mm",
        "is an ESTIMATE from the ratings",
        "screw whip",
        "75 mm/s, 350 mm/s²",
        "there is, with a safety factor of 2",
        "speed of z, mm/s (motor: 0 to 1500 rpm)",
    ] {
        assert!(shows(part), "{part}: {words:?}");
    }
    let png = fs::read(shop.path("pictures/torque.png")).unwrap();
    let image = resvg::tiny_skia::Pixmap::decode_png(&png).unwrap();
    assert_eq!(image.width(), 2200);
}
