//! The report holds all it was given, escaped, and asks for nothing from outside.

use crate::synthetic::{machine, plate, recording};
use spokeshave_sim::job_time::{Part, PartTime};
use spokeshave_sim::places::rows;
use spokeshave_sim::plots::{self, Labels, Picture};
use spokeshave_sim::report::{
    AxisRow, CheckRow, Figure, PlacesData, ReasonRow, ReportData, page, pictures as views,
};
use spokeshave_sim::summary::Verdict;

/// A name that would break out of text, attributes and comments if it were not escaped.
const HOSTILE: &str = "x\"'><script>alert(1)</script><!-- &amp; \u{1}\u{0}.nc";

pub fn sample(figures: Vec<Figure>) -> ReportData {
    let check =
        |name: &str, worst: f64, limit: f64, unit: &str, line: Option<u32>, pass| CheckRow {
            name: name.to_owned(),
            limit: format!("≤ {limit}"),
            worst: f64::to_string(&worst),
            unit: unit.to_owned(),
            line,
            time_s: line.map(f64::from),
            place_mm: line.map(|_| [1.0, 2.0, 3.0]),
            what: format!("what {name} means"),
            verdict: if pass { Verdict::Pass } else { Verdict::Fail },
        };
    let axis = |name: &str, steps, speed_mm_s| AxisRow {
        name: name.to_owned(),
        steps,
        end_mm: 0.0,
        speed_mm_s,
        speed_limit_mm_s: 133.0,
        acceleration_mm_s2: 500.0,
        acceleration_limit_mm_s2: 500.0,
    };
    let reason = |name: &str, seconds, share| ReasonRow {
        name: name.to_owned(),
        seconds,
        share,
    };
    ReportData {
        program: "plate.nc".to_owned(),
        machine: "belt bench router".to_owned(),
        summary: vec![
            ("Job time".to_owned(), "10.73 s".to_owned()),
            ("Moves".to_owned(), "70".to_owned()),
        ],
        axes: vec![axis("x", 23_361, 75.2), axis("y", 14_402, 75.2), axis("z", 961, 18.7)],
        verdict: ("1 of 3 checks FAIL.".to_owned(), false),
        not_checked: "Not checked: what the pulses cannot tell.".to_owned(),
        checks: vec![
            check("end position", 0.0, 0.0, "steps", None, true),
            check("distance from the path", 0.0041, 0.00703, "mm", Some(17), true),
            check("acceleration of y over 17.9 ms", 1.163, 1.1, "of the limit", Some(68), false),
        ],
        reasons: vec![reason("corners", 1.214, 0.1131), reason("stops", 0.402, 0.0375)],
        figures,
        events: Vec::new(),
        cautions: vec![
            "A simulation knows nothing of clamps, tool and stock: try the program above the work first."
                .to_owned(),
            "Keep within reach of the emergency stop, and follow local codes.".to_owned(),
        ],
        job: vec![PartTime {
            part: Part::Cutting,
            count: 69,
            length_mm: 412.5,
            time_s: 10.73,
            lost_s: 1.616,
        }],
        job_notes: vec!["A note on the job.".to_owned()],
        places: places(None),
        worth: None,
        worth_left_out: Some("Left out.".to_owned()),
    }
}

/// Places, the first for the reason `why`.
fn places(why: Option<&str>) -> PlacesData {
    let recording = recording(&plate());
    let found = recording.places();
    let mut rows = rows(&found, 5, &machine("router"), recording.total_s());
    if let Some(why) = why {
        rows[0].why = why.to_owned();
    }
    PlacesData {
        others: found.beyond(rows.len()),
        rounding_s: found.rounding_s,
        lost_s: found.lost_s(),
        job_time_s: recording.total_s(),
        pictures: views(&recording, &rows),
        rows,
    }
}

fn pictures() -> Vec<Figure> {
    let recording = recording(&plate());
    let labels = Labels {
        program: HOSTILE.to_owned(),
        machine: "router".to_owned(),
    };
    let figure = |picture: Picture| Figure {
        title: picture.name().to_owned(),
        svg: plots::svg(picture, &recording, &labels).expect("drawn"),
    };
    Picture::ALL.map(figure).to_vec()
}

/// The page as a tree. It is written so that it is well-formed XML too, but for its first line,
/// the elements that HTML leaves open, and its script, which is left out.
fn tree(page: &str) -> String {
    let page = page.strip_prefix("<!DOCTYPE html>").expect("a doctype");
    let (before, rest) = page.split_once("<script>").expect("a script");
    let (_, after) = rest.split_once("</script>").expect("its end");
    let page = [before, after].concat();
    let mut xml = String::new();
    for part in page.split_inclusive('>') {
        if part.starts_with("<meta ") {
            xml += &part.replace('>', "/>")
        } else {
            xml += part
        }
    }
    xml
}

#[test]
fn the_page_asks_for_nothing_from_outside() {
    let page = page(&sample(pictures()));
    let xml = tree(&page);
    let document = roxmltree::Document::parse(&xml).expect("well formed");
    for node in document.descendants().filter(|node| node.is_element()) {
        let name = node.tag_name().name();
        assert!(
            ![
                "script", "link", "img", "iframe", "object", "embed", "image", "use"
            ]
            .contains(&name)
        );
        for attribute in node.attributes() {
            assert_ne!(attribute.name(), "src");
            if attribute.name() == "href" {
                assert!(attribute.value().starts_with('#'), "{}", attribute.value());
            }
        }
    }
    assert!(!page.contains("https:") && !page.contains("url(") && !page.contains("@import"));
    // The name space of SVG is a name, not an address that is fetched.
    assert_eq!(
        page.matches("http:").count(),
        page.matches("http://www.w3.org/2000/svg").count()
    );
}

#[test]
fn the_page_escapes_what_comes_from_files() {
    let mut data = sample(pictures());
    data.program = HOSTILE.to_owned();
    data.machine = HOSTILE.to_owned();
    data.summary[0] = (HOSTILE.to_owned(), HOSTILE.to_owned());
    data.checks[0].name = HOSTILE.to_owned();
    data.checks[0].unit = HOSTILE.to_owned();
    data.reasons[0].name = HOSTILE.to_owned();
    data.axes[0].name = HOSTILE.to_owned();
    data.figures[0].title = HOSTILE.to_owned();
    data.cautions[0] = HOSTILE.to_owned();
    data.checks[2].what = HOSTILE.to_owned();
    data.places = places(Some(HOSTILE));
    data.job_notes[0] = HOSTILE.to_owned();
    data.worth_left_out = Some(HOSTILE.to_owned());
    let page = page(&data);
    // Its own script is the only one.
    assert!(
        page.matches("<script").count() == 1 && !page.contains("<!--"),
        "markup from a file"
    );
    assert!(
        !page.contains(['\u{0}', '\u{1}']),
        "control characters from a file"
    );
    // Why a place is slow (row, and both its marks); what a failed check means, note on the job, why worth is left out;
    // title, heading, summary (2), check (2), reason, axis, caution; figure (heading and label);
    // the pictures' names and titles (2 each).
    let shown = roxmltree_text(&page)
        .matches("<script>alert(1)</script><!-- &amp;")
        .count();
    assert_eq!(shown, 2 * 2 + 2 + 2 + 1 + 1 + 1 + 1 + 3 + 3 + 3);
}

/// All text nodes of the page, as a reader sees them.
fn roxmltree_text(page: &str) -> String {
    let xml = tree(page);
    let document = roxmltree::Document::parse(&xml).expect("well formed");
    document
        .descendants()
        .filter(|node| node.is_text())
        .filter_map(|node| node.text())
        .collect()
}

#[test]
fn the_page_holds_every_row_and_says_pass_or_fail_in_words() {
    let data = sample(pictures());
    let page = page(&data);
    let xml = tree(&page);
    let document = roxmltree::Document::parse(&xml).expect("well formed");
    let rows: Vec<Vec<String>> = document
        .descendants()
        .filter(|node| node.has_tag_name("tr"))
        .map(|row| {
            row.children()
                .map(|cell| {
                    cell.descendants()
                        .filter_map(|n| n.text().filter(|_| n.is_text()))
                        .collect()
                })
                .collect()
        })
        .collect();
    let holds = |cells: &[&str]| {
        rows.iter()
            .any(|row| row.iter().take(cells.len()).eq(cells))
    };
    assert!(
        holds(&["end position", "✓ pass", "0", "≤ 0", "steps", "–"]),
        "{rows:?}"
    );
    assert!(
        holds(&[
            "distance from the path",
            "✓ pass",
            "0.0041",
            "≤ 0.00703",
            "mm",
            "17"
        ]),
        "{rows:?}"
    );
    assert!(holds(&[
        "acceleration of y over 17.9 ms",
        "✗ fail",
        "1.163",
        "≤ 1.1",
        "of the limit",
        "68"
    ]));
    assert!(
        holds(&["corners", "1.21", "11.3 %"]) && holds(&["stops", "0.40", "3.8 %"]),
        "{rows:?}"
    );
    assert!(
        holds(&["x", "75.2 of 133", "500 of 500", "23361", "0.000"]),
        "{rows:?}"
    );
    assert!(holds(&["Job time", "10.73 s"]));
    assert!(holds(&[
        "cutting", "69", "412.5", "10.730", "100.0 %", "1.616"
    ]));
    assert!(page.contains("what acceleration of y over 17.9 ms means"));
    assert!(!page.contains("what end position means"), "it passes");
    assert!(page.contains("1 of 3 checks FAIL."));
    assert_eq!(
        document
            .descendants()
            .filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "svg")))
            .filter(|node| node.ancestors().any(|outer| outer.has_tag_name("figure")))
            .count(),
        3
    );
}

#[test]
fn the_page_can_be_read_aloud_and_by_keyboard() {
    let page = page(&sample(pictures()));
    let xml = tree(&page);
    let document = roxmltree::Document::parse(&xml).expect("well formed");
    let root = document.root_element();
    assert_eq!(root.attribute("lang"), Some("en"));
    let headings: Vec<u32> = document
        .descendants()
        .filter_map(|node| node.tag_name().name().strip_prefix('h')?.parse().ok())
        .collect();
    assert_eq!(headings.iter().filter(|&&level| level == 1).count(), 1);
    assert_eq!(headings[0], 1);
    assert!(
        headings.windows(2).all(|pair| pair[1] <= pair[0] + 1),
        "{headings:?}"
    );
    // Identifiers are unique, and every reference has its target.
    let mut ids: Vec<&str> = document
        .descendants()
        .filter_map(|node| node.attribute("id"))
        .collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count);
    for node in document.descendants() {
        let target = node
            .attribute("href")
            .map(|href| &href[1..])
            .or(node.attribute("aria-labelledby"));
        assert!(
            target.is_none_or(|target| ids.contains(&target)),
            "{target:?}"
        );
        // What scrolls can be reached by keyboard and has a name.
        if node.attribute("class") == Some("scroll") {
            assert_eq!(node.attribute("tabindex"), Some("0"));
            assert!(node.attribute("aria-label").is_some());
        }
    }
}

#[test]
fn an_empty_report_is_still_a_page() {
    let page = page(&ReportData {
        program: "a.nc".to_owned(),
        ..ReportData::default()
    });
    assert!(page.contains("Nothing was checked.") && page.contains("a.nc"));
}
