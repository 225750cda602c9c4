//! The slow places: pictures with marks, and the table whose rows they lead to.

use super::PlacesData;
use crate::places::{Row, angle, length};
use crate::plots::printable;
use crate::terminal::figure;
use maud::{Markup, PreEscaped, html};

pub(super) fn places(data: &PlacesData) -> Markup {
    html! {
        p { "The places that cost the most time, 1 the dearest; braking and pulling away belong to what caused "
            "them. " span.with-script hidden="" { "Point at a row, or step to its number with Tab, and both pictures show "
            "the place; a click or Enter zooms the path to it. The marks lead back to the rows." } }
        @if let Some(pictures) = &data.pictures {
            div.legends { (PreEscaped(&pictures.legends)) }
            // The marks are many stops for a reader with a keyboard.
            p { a.skip href="#places-table" { "Skip the marks, to the table of places" } }
        }
        div.places {
            @if let Some(pictures) = &data.pictures {
                div.pictures {
                    (PreEscaped(&pictures.path))
                    (buttons())
                    (PreEscaped(&pictures.speed))
                    p.told aria-hidden="true" {}
                }
            }
            (table(data))
        }
    }
}

/// Shown by the script: without it they would do nothing.
fn buttons() -> Markup {
    let all = [
        ("in", "+", "Zoom in"),
        ("out", "−", "Zoom out"),
        ("left", "←", "Move left"),
        ("up", "↑", "Move up"),
        ("down", "↓", "Move down"),
        ("right", "→", "Move right"),
    ];
    html! {
        div.buttons role="group" aria-label="View of the path" hidden="" {
            @for (act, sign, name) in all {
                button type="button" data-act=(act) aria-label=(name) title=(name) aria-controls="path" { (sign) }
            }
            button type="button" data-act="all" title="Show the whole path" aria-controls="path" { "whole" }
            output aria-live="polite" {}
        }
    }
}

fn table(data: &PlacesData) -> Markup {
    let share = |seconds: f64| {
        let whole = data.job_time_s;
        format!(
            "{:.2} %",
            100.0 * if whole > 0.0 { seconds / whole } else { 0.0 }
        )
    };
    let sum = |name: &str, seconds: f64| {
        html! {
            tr { td colspan="2" {}
                td.number { (format!("{seconds:.3}")) span.sub { (share(seconds)) } }
                th scope="row" { (name) } }
        }
    };
    let shown: f64 = data.rows.iter().map(|row| row.lost_s).sum();
    html! {
        div.scroll.list tabindex="0" role="region" aria-label="Table of slow places" id="places-table" {
            table.slow {
                thead { tr {
                    th scope="col" { "No." }
                    th.number scope="col" { "Line" }
                    th.number scope="col" { "Lost, s" span.sub { "of the job" } }
                    th scope="col" { "Why, and where" }
                } }
                tbody { @for row in &data.rows { (line(row, &share(row.lost_s))) } }
                tfoot {
                    (sum(&format!("the {} above", data.rows.len()), shown))
                    @for other in &data.others {
                        @let others = if other.places == 1 { "other" } else { "others" };
                        (sum(&format!("{} {others}: {}", other.places, other.words), other.lost_s))
                    }
                    @if data.rounding_s.abs() >= 0.0005 { (sum("rounding", data.rounding_s)) }
                    (sum("all time lost", data.lost_s))
                }
            }
        }
    }
}

fn line(row: &Row, share: &str) -> Markup {
    let number = row.number;
    let [x, y, z] = row.position_mm.each().map(|mm| format!("{mm:.2}"));
    html! {
        tr id=(format!("place-{number}")) data-place=(number) {
            th scope="row" { a href=(format!("#mark-{number}")) aria-label=(format!("Place {number}: show it on the path")) { (number) } }
            td.number { (row.line) }
            td.number { (format!("{:.3}", row.lost_s)) span.sub { (share) } }
            td {
                span.why { (printable(&row.why)) "." }
                span.facts {
                    "slows to " (figure(row.reached_mm_s)) " of " (figure(row.asked_mm_s)) " mm/s; "
                    @if let Some(turn) = turn(row) { "turns " (turn) "; " }
                    "at x " (x) ", y " (y) ", z " (z) " mm, " (format!("{:.2}", row.time_s)) " s; "
                    @if row.first_line != row.last_line { "slows lines " (row.first_line) " to " (row.last_line) }
                    @else { "slows line " (row.first_line) }
                }
            }
        }
    }
}

/// Degrees, and over what length.
fn turn(row: &Row) -> Option<String> {
    let degrees = angle(row.turn_degrees?);
    match row.turn_within_mm {
        Some(mm) if mm > 0.0 => Some(format!("{degrees} in {} mm", length(mm))),
        _ => Some(degrees),
    }
}
