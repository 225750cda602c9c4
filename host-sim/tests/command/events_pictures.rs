//! The pictures of `simulate --events`.

use crate::events::STRAIGHT;
use crate::events_told::Told;

/// Where words stand in a picture, to the right.
fn x_of(picture: &str, words: &str) -> f64 {
    let document = roxmltree::Document::parse(picture).unwrap();
    let text = document.descendants().find(|node| {
        node.has_tag_name("text") && node.text().is_some_and(|text| text.trim() == words)
    });
    let text = text.unwrap_or_else(|| panic!("{words}"));
    text.attribute("x").unwrap().parse().unwrap()
}

/// Braking takes 0.1 s of about 0.13: it fills a good part of the panel, 448 of the units of the drawing, of which
/// the file has four in each.
#[test]
fn the_picture_of_a_stop_is_as_wide_as_the_stop() {
    let told = Told::of(STRAIGHT, "queue 20 ms\nat 1 s: hold\nat 9 s: resume\n");
    let picture = told.shop.text("out/events.svg");
    let width = x_of(&picture, "at rest") - x_of(&picture, "acts");
    assert!(
        (0.4 * 4.0 * 448.0..0.8 * 4.0 * 448.0).contains(&width),
        "{width}"
    );
    assert!(!told.shop.text("out/events.svg").contains("contact"));
}

#[test]
fn the_speed_has_a_mark_for_each_event() {
    let events =
        "queue 20 ms\nat 0.5 s: feed 60 %\nat 1 s: hold\nat 1.1 s: resume\nat 2 s: contact\n";
    let told = Told::of(STRAIGHT, events);
    let picture = told.shop.text("out/speed.svg");
    for words in [
        "feed 60 %",
        "hold",
        "resume",
        "contact",
        "event of the script",
        "override",
    ] {
        assert!(picture.contains(words), "{words}");
    }
    assert!(x_of(&picture, "feed 60 %") < x_of(&picture, "hold"));
    let plain = Told::of(STRAIGHT, "# nothing\n");
    assert!(!plain.shop.text("out/speed.svg").contains("event"));
}
