//! The tables of the report: summary, checks, axes.

use super::{AxisRow, CheckRow, EventRows};
use crate::plots::printable;
use crate::stall;
use crate::summary::Verdict;
use maud::{Markup, html};

/// What a value of the summary begins with where it fails.
pub const FAILS: &str = "✗ ";

pub(super) fn summary(rows: &[(String, String)]) -> Markup {
    let body = html! {
        tbody {
            @for (label, value) in rows {
                tr {
                    th scope="row" { (printable(label)) }
                    td.bad[value.starts_with(FAILS)] { (printable(value)) }
                }
            }
        }
    };
    table("Table of the summary", "summary", body)
}

pub(super) fn checks(rows: &[CheckRow]) -> Markup {
    let body = html! {
        thead {
            tr {
                th scope="col" { "Check" }
                th scope="col" { "Result" }
                th.number scope="col" { "Worst" }
                th.number scope="col" { "Limit" }
                th scope="col" { "Unit" }
                th.number scope="col" { "Line" }
                th.number scope="col" { "At, s" }
                th.number scope="col" { "Place (x, y, z), mm" }
            }
        }
        tbody {
            @for check in rows {
                tr {
                    th scope="row" { (printable(&check.name)) }
                    @match check.verdict {
                        Verdict::Pass => td.good { "✓ pass" },
                        Verdict::Fail => td.bad { strong { "✗ fail" } },
                        Verdict::NotMeasured => td { "not measured" },
                    }
                    td.number { (printable(&check.worst)) }
                    td.number { (printable(&check.limit)) }
                    td { (printable(&check.unit)) }
                    td.number { @if let Some(line) = check.line { (line) } @else { "–" } }
                    td.number { @if let Some(time) = check.time_s { (format!("{time:.3}")) } @else { "–" } }
                    td.number { @if let Some(place) = check.place_mm { (place.map(|mm| format!("{mm:.2}")).join(", ")) } @else { "–" } }
                }
            }
        }
    };
    html! {
        p.note {
            "Found from the step pulses alone"
            @if rows.iter().any(|check| check.name.starts_with(stall::MARGIN)) {
                ", but for what motors must give: from the plan and the parts in the machine file"
            }
            ". Line, time and place are where the worst value was found."
        }
        (table("Table of checks", "", body))
        @for (id, check) in failed(rows) { p id=(id) { strong { (printable(&check.name)) " fails: " } (printable(&check.what)) } }
    }
}

/// The checks that fail, each with the name of the paragraph that says why.
pub(super) fn failed(rows: &[CheckRow]) -> impl Iterator<Item = (String, &CheckRow)> {
    let failed = rows.iter().filter(|check| check.verdict == Verdict::Fail);
    failed
        .enumerate()
        .map(|(at, check)| (format!("fails-{}", at + 1), check))
}

pub(super) fn axes(rows: &[AxisRow]) -> Markup {
    let of = |most: f64, limit: f64| format!("{} of {}", figure(most), figure(limit));
    let body = html! {
        thead {
            tr {
                th scope="col" { "Axis" }
                th.number scope="col" { "Highest planned speed, mm/s" }
                th.number scope="col" { "Highest acceleration along moves, mm/s²" }
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

/// A table that scrolls by itself, also from the keyboard, where the page is narrow.
pub(super) fn table(name: &str, class: &str, body: Markup) -> Markup {
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

pub(super) fn events(tables: &[EventRows]) -> Markup {
    let body = |of: &EventRows| {
        html! {
            thead { tr { @for (column, head) in of.head.iter().enumerate() { th.number[column > 0] scope="col" { (printable(head)) } } } }
            tbody {
                @for row in &of.rows {
                    tr { @for (column, cell) in row.iter().enumerate() {
                        @if column == 0 { th scope="row" { (printable(cell)) } }
                        @else { td.number { (printable(cell)) } }
                    } }
                }
            }
        }
    };
    html! {
        @for of in tables {
            h3 { (printable(&of.title)) }
            (table(&format!("Table: {}", of.title), "", body(of)))
        }
    }
}
