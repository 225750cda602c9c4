//! Pictures of runs with events: their words are whole and cover nothing, and no line crosses a mark's words,
//! however close events are.

use crate::drawings::{meet, no_words_are_cut_off_or_covered, seen, word_boxes};
use crate::jobs::labels;
use crate::synthetic::{machine, plate, run};
use resvg::usvg::{Group, Node, Rect};
use spokeshave_sim::plots::{Picture, events_svg, svg};
use spokeshave_sim::recording::Recording;
use spokeshave_sim::run::{Happened, Stand};
use spokeshave_sim::script::What;
use spokeshave_sim::summary::Event;

/// Which event comes how many ms after the one before, and how long it takes to act and to rest, ms.
const EVENTS: [(What, f64, f64, Option<f64>); 12] = [
    (What::Feed(0.5), 0.0, 50.0, None),
    (What::Hold, 500.0, 50.0, Some(2.0)),
    (What::Resume, 100.0, 0.0, None),
    (What::Stall(0.3), 1.0, 60.0, None),
    (What::Stall(2.0), 1.0, 60.0, Some(900.0)),
    (What::Feed(1.3), 3000.0, 60.0, None),
    (What::Rapid(0.25), 20.0, 60.0, None),
    (What::Hold, 20.0, 500.0, Some(3.0)),
    (What::Resume, 700.0, 0.0, None),
    (What::Feed(1.0), 10.0, 20.0, None),
    (What::Feed(2.0), 2000.0, 20.0, None),
    (What::Contact, 2900.0, 50.0, Some(0.5)),
];

/// The plate, with events that are only said to have happened.
fn with_events() -> Recording {
    let mut at_s = 0.1;
    let happened = EVENTS.map(|(what, after_ms, acts_ms, rests_ms)| {
        at_s += 1e-3 * after_ms;
        let acts_s = at_s + 1e-3 * acts_ms;
        let stand = |rests_ms: f64| Stand {
            from_s: acts_s + 1e-3 * rests_ms,
            until_s: Some(acts_s + 1e-3 * rests_ms + 0.2),
            line: 7,
            at: [1.0, 2.0, 3.0],
        };
        Happened {
            what,
            at_s,
            acts_s,
            line: 7,
            speed_mm_s: 30.0,
            stand: rests_ms.map(stand),
            promised_s: rests_ms.map(|_| 1.0),
            contact_mm: None,
        }
    });
    let mut recording = Recording::new(&machine("belt bench router"));
    let mut coming = happened.iter().peekable();
    run(&plate(), &mut |slice| {
        while let Some(one) = coming.next_if(|one| one.acts_s <= slice.start_s) {
            recording.happens(one);
        }
        recording.slice(slice);
    });
    coming.for_each(|one| recording.happens(one));
    recording.mark(&happened.map(Event::from));
    recording
}

/// The boxes of lines that stand.
fn standing(group: &Group, found: &mut Vec<Rect>) {
    for node in group.children() {
        match node {
            Node::Group(inner) => standing(inner, found),
            Node::Path(path) => {
                let place = path.abs_stroke_bounding_box();
                if place.width() < 3.0 && place.height() > 3.0 {
                    found.push(place);
                }
            }
            _ => {}
        }
    }
}

#[test]
fn words_and_marks_of_events_cross_nowhere() {
    let recording = with_events();
    let close_up = events_svg(&recording, &labels("plate.nc"))
        .unwrap()
        .unwrap();
    let speed = svg(Picture::Speed, &recording, &labels("plate.nc")).unwrap();
    let mut marks = vec![
        "asked",
        "asked, acts",
        "acts",
        "at rest",
        "contact",
        "no moves come",
        "moves come",
    ];
    let events: Vec<String> = EVENTS.map(|(what, ..)| what.to_string()).into();
    marks.extend(events.iter().map(String::as_str));
    for (which, drawing) in [("events", &close_up), ("speed", &speed)] {
        no_words_are_cut_off_or_covered(drawing, which);
        let tree = seen(drawing);
        let (mut words, mut lines) = (Vec::new(), Vec::new());
        word_boxes(tree.root(), &mut words);
        standing(tree.root(), &mut lines);
        assert!(lines.len() > EVENTS.len());
        let marked: Vec<_> = words
            .iter()
            .filter(|(text, _)| marks.contains(&text.trim()))
            .collect();
        assert!(marked.len() >= EVENTS.len(), "{which}: {words:?}");
        for (text, place) in marked {
            let crossed = lines.iter().find(|line| meet(line, place));
            assert!(
                crossed.is_none(),
                "{which}: “{text}” at {place:?} is crossed: {crossed:?}"
            );
        }
    }
    for mark in &events {
        assert!(speed.contains(mark.as_str()), "{mark}");
    }
}
