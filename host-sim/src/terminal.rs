//! The summary on the terminal.

pub(crate) mod events;

use crate::layout::{prose, table};
use crate::motion::AXIS_NAMES;
use crate::script::What;
use crate::stall::Stall;
use crate::summary::{Check, Event, Summary, Verdict, duration};

/// The summary as text, tables as wide as the terminal allows.
pub fn text(summary: &Summary) -> String {
    [
        overview(summary),
        axes(summary),
        check_table(&summary.checks),
        reasons(summary),
        events::text(summary),
        closing(summary),
    ]
    .into_iter()
    .filter(|part| !part.is_empty())
    .collect::<Vec<_>>()
    .join("\n")
}

/// The facts of the run, label and value.
pub fn overview_rows(summary: &Summary) -> Vec<(String, String)> {
    let mut rows = vec![
        ("job time", duration(summary.job_time_s)),
        ("without slowing down", as_programmed(summary)),
    ];
    rows.extend(events::ended_early(summary).map(|said| ("ended early", said)));
    if summary.rest_s > 0.0 {
        rows.push(("in both, at rest", duration(summary.rest_s)));
    }
    rows.push((
        "path",
        format!(
            "{:.1} mm, {:.1} mm of it at a feed, in {} move{}",
            summary.path_length_mm,
            summary.cutting_length_mm,
            summary.moves,
            if summary.moves == 1 { "" } else { "s" }
        ),
    ));
    let [x, y, z] = summary.end_mm.each();
    rows.push(("ends at", format!("x {x:.3}, y {y:.3}, z {z:.3} mm")));
    for event in &summary.events {
        if let Some(contact) = &event.contact_mm {
            let [x, y, z] = contact.each();
            let at = format!("x {x:.4}, y {y:.4}, z {z:.4} mm, to the step");
            rows.push(("contact at", at));
        }
    }
    if summary.late_steps > 0 {
        rows.push((
            "late steps",
            format!(
                "{}, by {:.1} µs at most: the drivers' minimum times hold them back",
                summary.late_steps,
                summary.worst_late_s * 1e6
            ),
        ));
    }
    rows.extend(summary.notes.iter().map(|note| ("note", note.clone())));
    rows.into_iter()
        .map(|(label, value)| (label.to_owned(), value))
        .collect()
}

/// The time of the programmed feeds; with overrides a job may take less.
fn as_programmed(summary: &Summary) -> String {
    let time = duration(summary.feed_time_s);
    let overrides = |event: &Event| matches!(event.kind, What::Feed(_) | What::Rapid(_));
    if summary.events.iter().any(overrides) {
        format!("{time}, at the feeds of the program, without overrides")
    } else {
        time
    }
}

fn overview(summary: &Summary) -> String {
    let mut text = format!("{} on {}\n\n", summary.program, summary.machine);
    for (label, value) in overview_rows(summary) {
        text += &prose(&format!("  {label:<22} {value}"), &" ".repeat(25));
    }
    text
}

fn axes(summary: &Summary) -> String {
    let mut header = vec!["axis", "steps", "peak mm/s", "limit", "peak mm/s²", "limit"];
    header.extend(summary.stall.as_ref().map(|_| "stall margin"));
    let mut table = table(&header, &[1, 2, 3, 4, 5]);
    for (i, peak) in summary.peaks.each().into_iter().enumerate() {
        let mut row = vec![
            AXIS_NAMES[i].to_string(),
            summary.steps.each()[i].to_string(),
            format!("{:.2}", peak.speed_mm_s),
            format!("{:.2}", peak.speed_limit_mm_s),
            format!("{:.1}", peak.acceleration_mm_s2),
            format!("{:.1}", peak.acceleration_limit_mm_s2),
        ];
        row.extend(
            summary
                .stall
                .as_ref()
                .map(|stall| stall_margin(stall, AXIS_NAMES[i])),
        );
        table.add_row(row);
    }
    table.lines()
}

/// The least stall margin of an axis, and whether it rests on an estimate; a dash where there is none.
pub(crate) fn stall_margin(stall: &Stall, axis: char) -> String {
    match stall.of(axis) {
        Some(found) if found.estimate => format!("{} (estimate)", figure(found.margin)),
        Some(found) => figure(found.margin),
        None => "–".into(),
    }
}

/// Four digits that count, without an exponent.
pub fn figure(value: f64) -> String {
    let size = value.abs();
    let decimals = match size {
        _ if size >= 1000.0 || size == 0.0 => 0,
        _ if size >= 100.0 => 1,
        _ if size >= 10.0 => 2,
        _ if size >= 1.0 => 3,
        _ => 4,
    };
    format!("{value:.decimals$}")
}

/// The checks in a table.
pub(crate) fn check_table(checks: &[Check]) -> String {
    let header = ["check", "worst", "limit", "unit", "line", "at s", ""];
    let mut table = table(&header, &[1, 2, 4, 5]);
    for check in checks {
        table.add_row([
            check_name(check),
            check_worst(check),
            check_limit(check),
            check.shown(0.0).1.to_string(),
            check.line.map_or(String::new(), |line| line.to_string()),
            check
                .time_s
                .map_or(String::new(), |time| format!("{time:.2}")),
            match check.verdict() {
                Verdict::Pass => "pass",
                Verdict::Fail => "FAIL",
                Verdict::NotMeasured => "–",
            }
            .to_string(),
        ]);
    }
    table.lines()
}

/// The name of a check with its axis.
pub fn check_name(check: &Check) -> String {
    match check.axis {
        Some(axis) => format!("{}, {axis}", check.name),
        None => check.name.to_string(),
    }
}

/// The worst value of a check, in the unit that [`Check::shown`] gives.
pub fn check_worst(check: &Check) -> String {
    check
        .worst
        .map_or("none".into(), |worst| figure(check.shown(worst).0))
}

/// The limit of a check with the side of it that is allowed.
pub fn check_limit(check: &Check) -> String {
    let side = if check.is_least() { '≥' } else { '≤' };
    check.limit.map_or(String::new(), |limit| {
        format!("{side} {}", figure(check.shown(limit).0))
    })
}

fn reasons(summary: &Summary) -> String {
    if summary.reasons().next().is_none() {
        return "No time is lost.\n".into();
    }
    let lost = summary.job_time_s - summary.feed_time_s;
    let mut table = table(&["time lost to", "s", "share of the job"], &[1, 2]);
    for (name, seconds) in summary.reasons().chain([("all", lost)]) {
        table.add_row([
            name.to_string(),
            unsigned_zero(format!("{seconds:.2}")),
            unsigned_zero(format!("{:.1} %", 100.0 * seconds / summary.job_time_s)),
        ]);
    }
    table.lines()
}

/// `-0.00` is `0.00`.
fn unsigned_zero(text: String) -> String {
    match text.strip_prefix('-') {
        Some(size) if !size.contains(|c: char| matches!(c, '1'..='9')) => size.to_owned(),
        _ => text,
    }
}

/// What the checks do not cover, for terminal and report, in a line that fits a terminal.
pub const NOT_CHECKED: &str =
    "Not checked: whether motors and frame can give this much (docs/safety.md).";

/// The same for several machines, where motors are known on some, or of some axes.
pub(crate) const MOTORS_IN_PART: &str = "Not checked: the frames (docs/safety.md), and motors that the machine \
    files say too little of; simulate says which.";

/// What the checks of a run do not cover: less than [`NOT_CHECKED`] where motors are known.
pub fn not_checked(summary: &Summary) -> String {
    let Some(stall) = &summary.stall else {
        return NOT_CHECKED.into();
    };
    let list = |axes: &[char]| {
        axes.iter()
            .map(char::to_string)
            .collect::<Vec<_>>()
            .join(", ")
    };
    let motors = match &stall.without_motor[..] {
        [] => String::new(),
        axes => format!(" and the motor of {}", list(axes)),
    };
    let corners = match &stall.without_start_stop_rate[..] {
        [] => String::new(),
        axes => format!("; corners of {}: no start_stop_rate", list(axes)),
    };
    format!("Not checked: the frame{motors} (docs/safety.md){corners}.")
}

/// How the checks came out, in a sentence; and whether that is good.
pub fn verdict(checks: &[Check]) -> (String, bool) {
    let count = |verdict| checks.iter().filter(|c| c.verdict() == verdict).count();
    let (all, failed) = (checks.len(), count(Verdict::Fail));
    if failed > 0 {
        return (format!("{failed} of {all} checks FAIL."), false);
    }
    match count(Verdict::NotMeasured) {
        0 => (format!("All {all} checks pass."), true),
        none => (
            format!("{} checks pass, {none} had nothing to measure.", all - none),
            true,
        ),
    }
}

fn closing(summary: &Summary) -> String {
    let mut left = String::new();
    if let Some(estimate) = summary.stall.as_ref().and_then(Stall::estimate) {
        left += &prose(&estimate, "  ");
    }
    left += &prose(&not_checked(summary), "  ");
    verdict(&summary.checks).0 + "\n" + &failures(&summary.checks) + &left
}

/// What the checks that fail look at, in prose.
pub(crate) fn failures(checks: &[Check]) -> String {
    let failed = checks.iter().filter(|check| !check.pass);
    let said = failed.map(|check| format!("  {}: {}", check_name(check), check.what));
    said.map(|said| prose(&said, "    ")).collect()
}
