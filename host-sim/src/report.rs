//! The report: one page that holds a run's summary, checks, lost time and pictures, and asks the
//! network for nothing.

mod tables;

use crate::plots::printable;
use crate::summary::Verdict;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use tables::{axes, checks, reasons, summary};

/// All that the page shows. Texts may come straight from files: they are escaped here.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReportData {
    /// Name of the part program.
    pub program: String,
    /// Name of the machine.
    pub machine: String,
    /// Facts of the run, in the order shown.
    pub summary: Vec<(String, String)>,
    /// What the axes did.
    pub axes: Vec<AxisRow>,
    /// How the checks came out, in a sentence, and whether that is good.
    pub verdict: (String, bool),
    /// What the checks do not cover.
    pub not_checked: String,
    /// The checks, in the order shown.
    pub checks: Vec<CheckRow>,
    /// Lost time by reason, in the order shown.
    pub reasons: Vec<ReasonRow>,
    /// The pictures, in the order shown.
    pub figures: Vec<Figure>,
    /// What to mind before cutting, a sentence or two each.
    pub cautions: Vec<String>,
}

/// What one axis did, against its limits.
#[derive(Clone, Debug, PartialEq)]
pub struct AxisRow {
    /// Letter of the axis.
    pub name: String,
    /// Steps made, either way.
    pub steps: u64,
    /// Where it ends, mm.
    pub end_mm: f64,
    /// Its highest speed, mm/s.
    pub speed_mm_s: f64,
    /// Its speed limit, mm/s.
    pub speed_limit_mm_s: f64,
    /// Its highest acceleration, mm/s².
    pub acceleration_mm_s2: f64,
    /// Its acceleration limit, mm/s².
    pub acceleration_limit_mm_s2: f64,
}

/// One check, as `summary.json` has it.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckRow {
    /// What is checked.
    pub name: String,
    /// The limit, in `unit`, with the side of it that is allowed.
    pub limit: String,
    /// The worst value found, in `unit`.
    pub worst: String,
    /// Unit of both; empty for a bare number.
    pub unit: String,
    /// Line of the part program where it was found, from 1, where there is one.
    pub line: Option<u32>,
    /// When it was found, s, where there is such a time.
    pub time_s: Option<f64>,
    /// How it came out.
    pub verdict: Verdict,
}

/// Time lost to one reason.
#[derive(Clone, Debug, PartialEq)]
pub struct ReasonRow {
    /// The reason.
    pub name: String,
    /// Time lost to it, s.
    pub seconds: f64,
    /// Its share of the job's time, 0 to 1.
    pub share: f64,
}

/// A picture in the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Heading above it.
    pub title: String,
    /// An SVG of [`crate::plots::svg`]; it is taken in as it is.
    pub svg: String,
}

const STYLE: &str = include_str!("report/style.css");

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
                    content="default-src 'none'; style-src 'unsafe-inline'";
                title { (program) " on " (machine) ": simulated run" }
                style { (PreEscaped(STYLE)) }
            }
            body {
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
                main {
                    @for (id, title, content) in &sections {
                        section aria-labelledby=(id) {
                            h2 id=(id) { (title) }
                            (content)
                        }
                    }
                }
            }
        }
    }
    .into_string()
}

/// Identifier, heading and content of each section that has something to show.
fn sections(data: &ReportData) -> Vec<(&'static str, &'static str, Markup)> {
    let all = [
        (
            data.cautions.is_empty(),
            "cautions",
            "Before you cut",
            cautions(&data.cautions),
        ),
        (
            data.summary.is_empty(),
            "summary",
            "Summary",
            summary(&data.summary),
        ),
        (
            data.checks.is_empty(),
            "checks",
            "Checks",
            checks(&data.checks),
        ),
        (
            data.reasons.is_empty(),
            "time-lost",
            "Time lost",
            reasons(&data.reasons),
        ),
        (data.axes.is_empty(), "axes", "Axes", axes(&data.axes)),
        (
            data.figures.is_empty(),
            "pictures",
            "Pictures",
            figures(&data.figures),
        ),
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
            p class=(class) { (printable(sentence)) }
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
