//! What the job time is made of, and to what it is lost.

use super::tables::table;
use super::{ReasonRow, ReportData};
use crate::job_time::PartTime;
use crate::plots::printable;
use maud::{Markup, html};

/// The parts of the job time, which add up to it.
pub(super) fn job(data: &ReportData) -> Markup {
    let sum = |value: fn(&PartTime) -> f64| data.job.iter().map(value).sum::<f64>();
    let (all_s, all_lost_s) = (sum(|part| part.time_s), sum(|part| part.lost_s));
    let share = |seconds: f64| {
        let share = if all_s > 0.0 { seconds / all_s } else { 0.0 };
        format!("{:.1} %", 100.0 * share)
    };
    let body = html! {
        thead {
            tr {
                th scope="col" { "Part of the job" }
                th.number scope="col" { "Number" }
                th.number scope="col" { "Path, mm" }
                th.number scope="col" { "Time, s" }
                th.number scope="col" { "Share" }
                th.number scope="col" { "Of it lost, s" }
            }
        }
        tbody {
            @for part in &data.job {
                @let moves = part.length_mm > 0.0;
                tr {
                    th scope="row" { (part.part.name()) }
                    td.number { (part.count) }
                    td.number { @if moves { (format!("{:.1}", part.length_mm)) } @else { "–" } }
                    td.number { (format!("{:.3}", part.time_s)) }
                    td.number { (share(part.time_s)) }
                    td.number { @if moves || part.lost_s != 0.0 { (signed(part.lost_s, 3)) } @else { "–" } }
                }
            }
        }
        tfoot {
            tr {
                th scope="row" { "all" }
                td {} td {}
                td.number { (format!("{all_s:.3}")) }
                td.number { (share(all_s)) }
                td.number { (signed(all_lost_s, 3)) }
            }
        }
    };
    html! {
        h3 { "Job time, by its parts" }
        (table("Table of the parts of the job", "", body))
        @for note in &data.job_notes { p.note { (printable(note)) } }
    }
}

/// Time lost, by reason: what overrides gain is below 0. Rows add up to the last.
pub(super) fn reasons(rows: &[ReasonRow]) -> Markup {
    let sum = |value: fn(&ReasonRow) -> f64| rows.iter().map(value).sum::<f64>();
    let gains = rows.iter().any(|row| row.seconds < 0.0);
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
                @let bar = if most > 0.0 { 100.0 * row.seconds.max(0.0) / most } else { 0.0 };
                tr {
                    th scope="row" { (printable(&row.name)) }
                    td.number { (signed(row.seconds, 2)) }
                    td.number { (signed(100.0 * row.share, 1)) " %" }
                    td.bar aria-hidden="true" { div style=(format!("width: {bar:.1}%")) {} }
                }
            }
        }
        tfoot {
            tr {
                th scope="row" { "all" }
                td.number { (signed(sum(|row| row.seconds), 2)) }
                td.number { (signed(100.0 * sum(|row| row.share), 1)) " %" }
                td.bar aria-hidden="true" {}
            }
        }
    };
    html! {
        h3 { "Time lost, by reason" }
        p.note {
            "Against the same moves at their programmed feeds, and rapids as fast as the axes go, with no slowing down."
            @if gains { " What overrides gain is below 0." }
        }
        (table("Table of lost time", "", body))
    }
}

/// With a minus sign, not a hyphen, and none before a zero.
fn signed(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    match text.strip_prefix('-') {
        Some(size) if size.chars().all(|c| matches!(c, '0' | '.')) => size.to_owned(),
        Some(size) => format!("−{size}"),
        None => text,
    }
}
