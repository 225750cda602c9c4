//! What sets the speed has one colour, in the file and on the page, and each has one of its own.

use crate::jobs::labels;
use crate::synthetic::machine;
use spokeshave::{Limit, LowPoint};
use spokeshave_sim::motion::{AXES, MoveKind};
use spokeshave_sim::plots::{Picture, svg};
use spokeshave_sim::recording::{Cause, Recording};
use spokeshave_sim::report::{PlacesData, ReportData, page, pictures};
use spokeshave_sim::trace::{Override, Slice};
use std::collections::HashSet;

/// A slice of a second for each cause, along x.
fn of_every_cause() -> Recording {
    let accelerates = Limit::AxisAcceleration(0);
    let mut kinds = vec![
        (Limit::Feed, LowPoint::Feed),
        (Limit::Rest, LowPoint::Stop),
        (Limit::Rest, LowPoint::Hold),
    ];
    kinds.extend((0..AXES as u8).map(|axis| (Limit::AxisSpeed(axis), LowPoint::Stop)));
    let low = [
        LowPoint::Corner,
        LowPoint::Bend,
        LowPoint::Stop,
        LowPoint::QueueEnd,
        LowPoint::Feed,
    ];
    kinds.extend(low.map(|low| (accelerates, low)));
    let mut recording = Recording::new(&machine("belt bench router"));
    let mut slice = Slice {
        line: 1,
        kind: Some(MoveKind::Line),
        start_s: 0.0,
        duration_s: 1.0,
        from: [0.0; AXES],
        to: [20.0, 0.0, 0.0],
        direction: [1.0, 0.0, 0.0],
        length_mm: 20.0,
        entry_mm_s: 20.0,
        exit_mm_s: 20.0,
        asked_mm_s: 40.0,
        cap_mm_s: 40.0,
        in_cycle: false,
        stop: None,
        spindle_rpm: None,
        limit: Limit::Feed,
        low_point: LowPoint::Feed,
        pace: 0.5,
        overridden: Some(Override::Feed(0.5)),
    };
    recording.slice(&slice);
    // The dashes follow the override.
    assert_eq!(recording.whole().asked_mm_s, 20.0);
    (slice.pace, slice.overridden) = (1.0, None);
    for (limit, low_point) in kinds {
        slice.start_s += 1.0;
        slice.from = slice.to;
        slice.to[0] += 20.0;
        slice.kind = (limit != Limit::Rest).then_some(MoveKind::Line);
        (slice.limit, slice.low_point) = (limit, low_point);
        recording.slice(&slice);
    }
    let whole = recording.whole();
    let missing = Cause::ALL
        .iter()
        .find(|cause| whole.cause_s[cause.index()] == 0.0);
    assert_eq!(missing, None);
    recording
}

/// The classes of colours that a page uses: `c4`, `v12`.
fn colour_classes(page: &str) -> HashSet<&str> {
    let attributes = page.split("class=\"").skip(1);
    let names = attributes.flat_map(|rest| rest.split('"').next().unwrap_or_default().split(' '));
    let numbered = |name: &&str| {
        let number = name.strip_prefix('c').or(name.strip_prefix('v'));
        number.is_some_and(|number| number.parse::<u8>().is_ok())
    };
    names.filter(numbered).collect()
}

#[test]
fn each_cause_has_a_colour_of_its_own_and_the_same_everywhere() {
    let recording = of_every_cause();
    let page = page(&ReportData {
        places: PlacesData {
            pictures: pictures(&recording, &[]),
            ..PlacesData::default()
        },
        ..ReportData::default()
    });
    let classes = colour_classes(&page);
    for cause in Cause::ALL {
        assert!(
            classes.contains(&*format!("c{}", cause.index())),
            "{}",
            cause.name()
        );
    }
    let (_, style) = page.split_once("<style>").unwrap();
    let (style, _) = style.split_once("</style>").unwrap();
    for class in &classes {
        let rule = format!(".{class}{{--at:var(--{class})}}");
        assert!(style.contains(&rule), "no style for {class}");
    }
    // On light paper, then on dark.
    let (light, dark) = style.split_once("@media").unwrap();
    let colour = |properties: &str, cause: Cause| {
        let name = format!("--c{}:#", cause.index());
        let (_, after) = properties
            .split_once(&name)
            .unwrap_or_else(|| panic!("{name}"));
        after[..6].to_uppercase()
    };
    let drawing = svg(Picture::Speed, &recording, &labels("all.nc")).unwrap();
    for paper in [light, dark] {
        let all: HashSet<String> = Cause::ALL.map(|cause| colour(paper, cause)).into();
        assert_eq!(all.len(), Cause::ALL.len());
    }
    for cause in Cause::ALL {
        let colour = colour(light, cause);
        assert!(
            drawing.contains(&format!("#{colour}")),
            "{}: {colour}",
            cause.name()
        );
    }
}
