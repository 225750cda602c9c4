//! The drawings are well formed and hold what a reader needs, and no words are cut off or cover
//! each other: measured by an SVG library that had no part in drawing them.

use crate::jobs::{jobs, labels};
use crate::synthetic::{plate, recording};
use resvg::tiny_skia::Pixmap;
use resvg::usvg::{Group, Node, Options, Rect, Tree, fontdb};
use spokeshave_sim::plots::{Picture, png, svg};
use spokeshave_sim::recording::{Cause, MAX_STRETCHES};
use std::sync::Arc;

/// The words of a drawing, in order.
fn words(drawing: &str) -> Vec<String> {
    let document = roxmltree::Document::parse(drawing).expect("well-formed XML");
    let texts = document
        .descendants()
        .filter(|node| node.has_tag_name("text"));
    texts
        .map(|node| node.text().unwrap_or_default().trim().to_owned())
        .collect()
}

/// The drawing as another library sees it, measured with a font that is wider than most.
pub fn seen(drawing: &str) -> Tree {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_source(fontdb::Source::Binary(Arc::new(dejavu::sans::regular())));
    fonts.set_sans_serif_family("DejaVu Sans");
    let options = Options {
        fontdb: Arc::new(fonts),
        ..Options::default()
    };
    Tree::from_str(drawing, &options).expect("an SVG")
}

/// Where the words of a drawing stand, in its shown units.
pub fn word_boxes(group: &Group, found: &mut Vec<(String, Rect)>) {
    for node in group.children() {
        match node {
            Node::Group(inner) => word_boxes(inner, found),
            Node::Text(text) => {
                let words = text.chunks().iter().map(|chunk| chunk.text()).collect();
                found.push((words, node.abs_bounding_box()));
            }
            _ => {}
        }
    }
}

pub fn meet(a: &Rect, b: &Rect) -> bool {
    a.left() < b.right() && b.left() < a.right() && a.top() < b.bottom() && b.top() < a.bottom()
}

#[test]
fn every_drawing_is_whole_and_readable() {
    let long = "a very long name ".repeat(40);
    let names = ["<b onload=\"x\">&amp;\u{1}\u{0}'", &long];
    let named = names.map(|name| (name, recording(&plate())));
    for (name, recording) in jobs().iter().chain(&named) {
        for picture in Picture::ALL {
            let drawing = svg(picture, recording, &labels(name)).expect("drawn");
            let which = format!("{picture:?} of {name:.20}");
            let document = roxmltree::Document::parse(&drawing).expect(&which);
            for node in document.descendants() {
                for attribute in node.attributes() {
                    let bad = ["id", "href", "class", "onload"].contains(&attribute.name());
                    assert!(!bad, "{which}: {}", attribute.name());
                }
                assert!(!["script", "image", "style"].contains(&node.tag_name().name()));
            }

            no_words_are_cut_off_or_covered(&drawing, &which);
        }
    }
}

/// No words of the drawing stick out of it, or cover each other.
pub fn no_words_are_cut_off_or_covered(drawing: &str, which: &str) {
    let tree = seen(drawing);
    let mut boxes = Vec::new();
    word_boxes(tree.root(), &mut boxes);
    assert!(!boxes.is_empty(), "{which}");
    for (index, (text, place)) in boxes.iter().enumerate() {
        let inside = place.left() >= 0.0
            && place.top() >= 0.0
            && place.right() <= tree.size().width()
            && place.bottom() <= tree.size().height();
        assert!(inside, "{which}: “{text}” at {place:?} sticks out");
        for (other, other_place) in &boxes[..index] {
            assert!(
                !meet(place, other_place),
                "{which}: “{text}” covers “{other}”"
            );
        }
    }
}

#[test]
fn the_path_shows_scales_marks_and_the_worst_corners() {
    for (name, recording) in jobs().iter().take(4) {
        let words = words(&svg(Picture::Path, recording, &labels(name)).expect("drawn"));
        let title = format!("Path from above: {name} on belt bench router");
        for expected in [
            &title,
            "x, mm",
            "y, mm",
            "speed, mm/s",
            "rapid",
            "start and end",
        ] {
            assert!(
                words.iter().any(|text| text == expected),
                "{name}: {expected} in {words:?}"
            );
        }
        let corners: Vec<&String> = words
            .iter()
            .filter(|text| text.starts_with("line "))
            .collect();
        assert!(corners.len() <= 12, "{corners:?}");
        let worst = format!(
            "line {}: ",
            recording.places().turns().next().expect("a corner").line
        );
        assert!(
            corners.iter().any(|text| text.starts_with(&worst)),
            "{worst} in {corners:?}"
        );
    }
    let flat = svg(Picture::Path, &jobs()[0].1, &labels("any")).expect("drawn");
    assert!(words(&flat).join(" ").contains("z runs from -1 to 5 mm"));
}

#[test]
fn the_path_is_drawn_in_equal_scale_with_y_up() {
    let drawing = svg(Picture::Path, &jobs()[0].1, &labels("any")).expect("drawn");
    let document = roxmltree::Document::parse(&drawing).expect("well-formed XML");
    // All strokes of the path's width: 1.75 units of 4 steps.
    let paths = document
        .descendants()
        .filter(|node| node.attribute("stroke-width") == Some("7"));
    let points: Vec<(f64, f64)> = paths
        .flat_map(|node| node.attribute("d").expect("points").split(['M', ' ']))
        .filter(|pair| !pair.is_empty())
        .map(|pair| pair.split_once(',').expect("a pair"))
        .map(|(x, y)| (x.parse().expect("x"), y.parse().expect("y")))
        .collect();
    let span = |value: fn(&(f64, f64)) -> f64| {
        let values = points.iter().map(value);
        values.clone().fold(f64::NEG_INFINITY, f64::max) - values.fold(f64::INFINITY, f64::min)
    };
    // The plate is cut from 20 to 146 mm in x and from 20 to 90 mm in y. Both spans are some
    // 1 500 steps and more, and each end is off by half a step at most: 1/1500 each.
    let (across, up) = (span(|point| point.0), span(|point| point.1));
    assert!(up > 1500.0, "{up}");
    assert!(
        (across / up / (126.0 / 70.0) - 1.0).abs() < 2.0 / 1500.0,
        "{across} {up}"
    );
    // The point that is furthest left and right of the top edge is (146, 90): y up means that
    // it is drawn higher than the round corner at (146, 26).
    let right = points.iter().map(|point| point.0).fold(0.0, f64::max);
    let top = points
        .iter()
        .map(|point| point.1)
        .fold(f64::INFINITY, f64::min);
    assert!(
        points.contains(&(right, top)),
        "the upper right corner is a point of the path"
    );
}

#[test]
fn the_speed_chart_names_what_binds_and_nothing_else() {
    for (name, recording) in jobs() {
        let drawing = svg(Picture::Speed, recording, &labels(name)).expect("drawn");
        let words = words(&drawing);
        let unit = if recording.total_s() > 300.0 {
            "time, min"
        } else {
            "time, s"
        };
        for expected in ["speed, mm/s", "time, %", unit] {
            assert!(
                words.iter().any(|text| text == expected),
                "{name}: {expected} in {words:?}"
            );
        }
        let whole = recording.whole();
        for cause in Cause::ALL {
            let start = format!("{} ", cause.name());
            let is_named = words
                .iter()
                .any(|text| text.starts_with(&start) && text.ends_with('%'));
            let binds = whole.cause_s[cause.index()] > 0.0;
            assert_eq!(is_named, binds, "{name}: {} in {words:?}", cause.name());
        }
    }
    // The plate: 60 mm/s along most of 10.7 s; its shares add up to the whole.
    let drawing = svg(Picture::Speed, &jobs()[0].1, &labels("any")).expect("drawn");
    let percents = words(&drawing).into_iter().filter_map(|text| {
        text.strip_suffix(" %")?
            .rsplit_once(' ')?
            .1
            .parse::<f64>()
            .ok()
    });
    // Four shares, each rounded to 0.1.
    assert!((percents.sum::<f64>() - 100.0).abs() <= 4.0 * 0.05 + 1e-9);
}

#[test]
fn the_axes_chart_shows_each_moving_axis_with_its_limits() {
    let drawing = svg(Picture::Axes, &jobs()[0].1, &labels("any")).expect("drawn");
    let all = words(&drawing).join("\n");
    for (axis, speed, acceleration) in
        [("x", "133", "500"), ("y", "133", "500"), ("z", "20", "200")]
    {
        assert!(all.contains(&format!("{axis} speed: at most ")), "{all}");
        assert!(all.contains(&format!(" mm/s of {speed} (")), "{all}");
        assert!(
            all.contains(&format!(" mm/s² of {acceleration} (")),
            "{all}"
        );
    }
    assert!(all.contains("limit of the axis"), "{all}");
    let drilled = svg(Picture::Axes, &jobs()[6].1, &labels("any")).expect("drawn");
    let all = words(&drilled).join(" ");
    assert!(
        all.contains("z speed: at most 5 mm/s of 20 (25 %)"),
        "{all}"
    );
    assert!(all.contains("Axes x, y do not move."), "{all}");
    assert!(!all.contains("x speed"), "{all}");
}

#[test]
fn the_largest_drawing_is_small_enough_to_mail() {
    let recording = &jobs()[4].1;
    assert_eq!(recording.stretches().len(), MAX_STRETCHES);
    for picture in Picture::ALL {
        let drawing = svg(picture, recording, &labels("worst.nc")).expect("drawn");
        // A stretch that shares no end with the next of its colour takes two points of at most
        // 10 characters each, as in `M1234,1234 1234,1234`; half as much again for the rest.
        let most = MAX_STRETCHES * 21 * 3 / 2;
        assert!(
            drawing.len() < most,
            "{picture:?} takes {} bytes",
            drawing.len()
        );
    }
}

#[test]
fn a_png_is_the_drawing_at_twice_its_size() {
    for (name, recording) in [&jobs()[0], &jobs()[5]] {
        for picture in Picture::ALL {
            let drawing = svg(picture, recording, &labels(name)).expect("drawn");
            let size = seen(&drawing).size();
            let image = png(picture, recording, &labels(name)).expect("rendered");
            let image = Pixmap::decode_png(&image).expect("a PNG");
            assert_eq!(image.width() as f32, 2.0 * size.width());
            assert_eq!(image.height() as f32, 2.0 * size.height());
            let pixels = image.pixels();
            assert!(
                pixels.iter().all(|pixel| pixel.alpha() == 255),
                "paper everywhere"
            );
            let is_ink = |pixel: &&_| {
                let pixel: &resvg::tiny_skia::PremultipliedColorU8 = pixel;
                pixel.red() < 0x60 && pixel.green() < 0x60 && pixel.blue() < 0x60
            };
            // The title alone is some 40 letters of about 15 by 20 pixels, a quarter of it ink.
            let ink = pixels.iter().filter(is_ink).count();
            assert!(
                ink > 40 * 15 * 20 / 4,
                "{picture:?} of {name} has {ink} dark pixels"
            );
            assert!(
                ink < pixels.len() / 4,
                "{picture:?} of {name} has {ink} dark pixels"
            );
        }
    }
}
