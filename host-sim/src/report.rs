//! The report: one page that holds a run's summary, checks, lost time and pictures, and asks the
//! network for nothing.

use crate::plots::printable;
use maud::{DOCTYPE, Markup, PreEscaped, html};

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
    /// The limit, in `unit`.
    pub limit: f64,
    /// The worst value found, in `unit`.
    pub worst: f64,
    /// Unit of both; empty for a bare number.
    pub unit: String,
    /// Line of the part program where it was found, from 1, where there is one.
    pub line: Option<u32>,
    /// The worst value is within the limit.
    pub pass: bool,
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
                    (verdict(&data.checks))
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

fn verdict(checks: &[CheckRow]) -> Markup {
    let failed = checks.iter().filter(|check| !check.pass).count();
    html! {
        @match (checks.len(), failed) {
            (0, _) => p.verdict { "Nothing was checked." },
            (all, 0) => p.verdict.good { "All " (all) " checks passed." },
            (all, failed) => p.verdict.bad { (failed) " of " (all) " checks failed." },
        }
    }
}

fn cautions(cautions: &[String]) -> Markup {
    html! {
        ul.cautions {
            @for caution in cautions { li { (printable(caution)) } }
        }
    }
}

fn summary(rows: &[(String, String)]) -> Markup {
    let body = html! {
        tbody {
            @for (label, value) in rows {
                tr { th scope="row" { (printable(label)) } td { (printable(value)) } }
            }
        }
    };
    table("Table of the summary", "summary", body)
}

fn checks(rows: &[CheckRow]) -> Markup {
    let body = html! {
        thead {
            tr {
                th scope="col" { "Check" }
                th scope="col" { "Result" }
                th.number scope="col" { "Worst" }
                th.number scope="col" { "Limit" }
                th scope="col" { "Unit" }
                th.number scope="col" { "Line" }
            }
        }
        tbody {
            @for check in rows {
                tr {
                    th scope="row" { (printable(&check.name)) }
                    @if check.pass { td.good { "✓ pass" } } @else { td.bad { strong { "✗ fail" } } }
                    td.number { (figure(check.worst)) }
                    td.number { (figure(check.limit)) }
                    td { (printable(&check.unit)) }
                    td.number { @if let Some(line) = check.line { (line) } @else { "–" } }
                }
            }
        }
    };
    html! {
        p.note { "Found from the step pulses alone. The line is where in the program the worst value was found." }
        (table("Table of checks", "", body))
    }
}

fn reasons(rows: &[ReasonRow]) -> Markup {
    let most = rows.iter().map(|row| row.seconds).fold(0.0, f64::max);
    let body = html! {
        thead {
            tr {
                th scope="col" { "Reason" }
                th.number scope="col" { "Time lost, s" }
                th.number scope="col" { "Of the job" }
                // The bar repeats the number, so it says nothing to a screen reader.
                td.bar aria-hidden="true" {}
            }
        }
        tbody {
            @for row in rows {
                @let bar = if most > 0.0 { 100.0 * row.seconds / most } else { 0.0 };
                tr {
                    th scope="row" { (printable(&row.name)) }
                    td.number { (format!("{:.2}", row.seconds)) }
                    td.number { (format!("{:.1} %", 100.0 * row.share)) }
                    td.bar aria-hidden="true" { div style=(format!("width: {bar:.1}%")) {} }
                }
            }
        }
    };
    html! {
        p.note { "Against the same moves at their programmed feeds, and rapids as fast as the axes go, with no slowing down." }
        (table("Table of lost time", "", body))
    }
}

fn axes(rows: &[AxisRow]) -> Markup {
    let of = |most: f64, limit: f64| format!("{} of {}", figure(most), figure(limit));
    let body = html! {
        thead {
            tr {
                th scope="col" { "Axis" }
                th.number scope="col" { "Highest speed, mm/s" }
                th.number scope="col" { "Highest acceleration, mm/s²" }
                th.number scope="col" { "Steps" }
                th.number scope="col" { "Ends at, mm" }
            }
        }
        tbody {
            @for row in rows {
                tr {
                    th scope="row" { (printable(&row.name)) }
                    td.number { (of(row.speed_mm_s, row.speed_limit_mm_s)) }
                    td.number { (of(row.acceleration_mm_s2, row.acceleration_limit_mm_s2)) }
                    td.number { (row.steps) }
                    td.number { (format!("{:.3}", row.end_mm)) }
                }
            }
        }
    };
    table("Table of the axes", "", body)
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

/// A table that scrolls by itself, also from the keyboard, where the page is narrow.
fn table(name: &str, class: &str, body: Markup) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label=(name) {
            table class=[(!class.is_empty()).then_some(class)] { (body) }
        }
    }
}

/// A number with four significant digits, and no exponent for the sizes that occur.
fn figure(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return value.to_string();
    }
    let before = value.abs().log10().floor() as i32 + 1;
    let digits = (4 - before).clamp(0, 12) as usize;
    let text = format!("{value:.digits$}");
    if !text.contains('.') {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
