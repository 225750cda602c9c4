//! The report: one page that holds a run's summary, checks, slow places, settings' worth and
//! pictures, and asks the network for nothing.
//!
//! ```
//! use spokeshave_sim::report::{ReportData, page};
//! let html = page(&ReportData {
//!     program: "a < b.nc".into(),
//!     machine: "bench router".into(),
//!     cautions: vec!["Run a new program in the air first.".into()],
//!     ..ReportData::default()
//! });
//! assert!(html.contains("<h1>a &lt; b.nc on bench router</h1>"));
//! assert!(html.contains("Before you cut") && !html.contains("Checks"));
//! ```

mod data;
mod pictures;
mod place_table;
mod style;
mod tables;
mod time_tables;
mod worth_table;

use crate::plots::printable;
pub use data::{AxisRow, CheckRow, EventRows, Figure, PlacesData, ReasonRow, ReportData};
use maud::{DOCTYPE, Markup, PreEscaped, html};
pub use pictures::{Pictures, pictures};
use place_table::places;
pub use tables::FAILS;
use tables::{axes, checks, events, failed, summary};
use time_tables::{job, reasons};
use worth_table::worth;

/// Zooms the path, ties the pictures to the table, and says where there is more at the side. Without it the page still shows all.
const SCRIPTS: [&str; 3] = [
    include_str!("report/path_view.js"),
    include_str!("report/places.js"),
    include_str!("report/scroll.js"),
];

/// The page.
pub fn page(data: &ReportData) -> String {
    let program = printable(&data.program);
    let machine = printable(&data.machine);
    let sections = sections(data);
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                // The page needs nothing but itself, and browsers hold it to that.
                meta http-equiv="Content-Security-Policy"
                    content="default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'";
                title { (program) " on " (machine) ": simulated run" }
                style { (PreEscaped(style::sheet())) }
            }
            body {
                a.skip href="#main" { "Skip to the figures" }
                header {
                    h1 { (program) " on " (machine) }
                    p.note { "What the machine would do, simulated pulse by pulse." }
                    (verdict(data))
                    nav aria-label="Contents" {
                        ul {
                            @for (id, title, _) in &sections {
                                li { a href={ "#" (id) } { (title) } }
                            }
                        }
                    }
                }
                main id="main" tabindex="-1" {
                    @for (id, title, content) in &sections {
                        section aria-labelledby=(id) {
                            h2 id=(id) { (title) }
                            (content)
                        }
                    }
                }
                script { (PreEscaped(SCRIPTS.concat())) }
            }
        }
    }
    .into_string()
}

/// Identifier, heading and content of each section that has something to show.
fn sections(data: &ReportData) -> Vec<(&'static str, &'static str, Markup)> {
    let no_figures = data.summary.is_empty() && data.job.is_empty() && data.reasons.is_empty();
    let no_places = data.places.rows.is_empty() && data.places.pictures.is_none();
    let no_worth = data.worth.is_none() && data.worth_left_out.is_none();
    let no_axes = data.axes.is_empty() && data.figures.is_empty();
    let overview = html! {
        (summary(&data.summary))
        @if !data.job.is_empty() { (job(data)) }
        @if !data.reasons.is_empty() { (reasons(&data.reasons)) }
    };
    let of_axes = html! {
        @if !data.axes.is_empty() { (axes(&data.axes)) }
        (figures(&data.figures))
    };
    let all = [
        (
            data.cautions.is_empty(),
            "cautions",
            "Before you cut",
            cautions(&data.cautions),
        ),
        (no_figures, "summary", "Summary", overview),
        (
            data.checks.is_empty(),
            "checks",
            "Checks",
            checks(&data.checks),
        ),
        (no_places, "places", "Where it slows", places(&data.places)),
        (
            data.events.is_empty(),
            "events",
            "Events",
            events(&data.events),
        ),
        (
            no_worth,
            "worth",
            "What the settings are worth",
            worth(data),
        ),
        (no_axes, "axes", "Axes", of_axes),
    ];
    let shown = all.into_iter().filter(|(is_empty, ..)| !is_empty);
    shown
        .map(|(_, id, title, content)| (id, title, content))
        .collect()
}

fn verdict(data: &ReportData) -> Markup {
    let (sentence, good) = &data.verdict;
    let class = if *good { "verdict good" } else { "verdict bad" };
    html! {
        @if data.checks.is_empty() {
            p.verdict { "Nothing was checked." }
        } @else {
            p class=(class) {
                (printable(sentence))
                @for (at, (id, check)) in failed(&data.checks).enumerate() {
                    @if at == 0 { " What fails: " } @else { ", " }
                    a href={ "#" (id) } { (printable(&check.name)) }
                }
            }
        }
        @if !data.not_checked.is_empty() { p.note { (printable(&data.not_checked)) } }
    }
}

fn cautions(cautions: &[String]) -> Markup {
    html! {
        ul.cautions {
            @for caution in cautions { li { (printable(caution)) } }
        }
    }
}

fn figures(figures: &[Figure]) -> Markup {
    html! {
        @for figure in figures {
            h3 { (printable(&figure.title)) }
            figure {
                div.scroll tabindex="0" role="region" aria-label=(printable(&figure.title)) {
                    (PreEscaped(&figure.svg))
                }
            }
        }
    }
}
