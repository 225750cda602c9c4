//! The summary on the terminal.

use crate::motion::AXIS_NAMES;
use crate::summary::{Check, Summary, duration};
use comfy_table::presets::UTF8_HORIZONTAL_ONLY;
use comfy_table::{CellAlignment, ContentArrangement, Table};

/// The summary as text, tables as wide as the terminal allows.
pub fn text(summary: &Summary) -> String {
    [
        overview(summary),
        axes(summary),
        checks(summary),
        reasons(summary),
        closing(summary),
    ]
    .join("\n")
}

fn table(header: &[&str], numbers: &[usize]) -> Table {
    let mut table = Table::new();
    table
        .load_style(UTF8_HORIZONTAL_ONLY)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_header(header.iter().copied());
    for column in numbers {
        if let Some(column) = table.column_mut(*column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table
}

/// The facts of the run, label and value.
pub fn overview_rows(summary: &Summary) -> Vec<(String, String)> {
    let mut rows = vec![
        ("job time", duration(summary.job_time_s)),
        ("programmed feed alone", duration(summary.feed_time_s)),
    ];
    if summary.rest_s > 0.0 {
        rows.push(("of both, at rest", duration(summary.rest_s)));
    }
    rows.push((
        "path",
        format!(
            "{:.1} mm, {:.1} mm of it at a feed, in {} moves",
            summary.path_length_mm, summary.cutting_length_mm, summary.moves
        ),
    ));
    let [x, y, z] = summary.end_mm.each();
    rows.push(("ends at", format!("x {x:.3}, y {y:.3}, z {z:.3} mm")));
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

fn overview(summary: &Summary) -> String {
    let mut text = format!("{} on {}\n\n", summary.program, summary.machine);
    for (label, value) in overview_rows(summary) {
        text.push_str(&format!("  {label:<22} {value}\n"));
    }
    text
}

fn axes(summary: &Summary) -> String {
    let header = [
        "axis",
        "steps",
        "peak speed, mm/s",
        "limit",
        "peak acceleration, mm/s²",
        "limit",
    ];
    let mut table = table(&header, &[1, 2, 3, 4, 5]);
    for (i, peak) in summary.peaks.each().into_iter().enumerate() {
        table.add_row([
            AXIS_NAMES[i].to_string(),
            summary.steps.each()[i].to_string(),
            format!("{:.2}", peak.speed_mm_s),
            format!("{:.2}", peak.speed_limit_mm_s),
            format!("{:.1}", peak.acceleration_mm_s2),
            format!("{:.1}", peak.acceleration_limit_mm_s2),
        ]);
    }
    format!("{table}\n")
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

/// Where the worst value of a check was found.
pub fn place(check: &Check) -> String {
    let line = check.line.map(|line| format!("line {line}"));
    let time = check.time_s.map(|time| format!("{time:.3} s"));
    let position = check.position_mm.as_ref().map(|position| {
        let [x, y, z] = position.each();
        format!("x {x:.2} y {y:.2} z {z:.2}")
    });
    let parts: Vec<String> = [line, time, position].into_iter().flatten().collect();
    parts.join(", ")
}

fn checks(summary: &Summary) -> String {
    let header = [
        "check", "axis", "worst", "limit", "unit", "where", "verdict",
    ];
    let mut table = table(&header, &[2, 3]);
    for check in &summary.checks {
        table.add_row([
            check.name.to_string(),
            check.axis.map(String::from).unwrap_or_default(),
            check.worst.map_or("nothing to measure".into(), figure),
            figure(check.limit),
            check.unit.to_string(),
            place(check),
            if check.pass { "pass" } else { "FAIL" }.to_string(),
        ]);
    }
    format!("{table}\n")
}

fn reasons(summary: &Summary) -> String {
    let lost = summary.job_time_s - summary.feed_time_s;
    let mut table = table(&["time lost to", "s", "share"], &[1, 2]);
    for (name, seconds, share) in summary.reasons() {
        table.add_row([
            name.to_string(),
            format!("{seconds:.2}"),
            format!("{:.1} %", 100.0 * share),
        ]);
    }
    table.add_row(["all", &format!("{lost:.2}"), ""]);
    format!("{table}\n")
}

fn closing(summary: &Summary) -> String {
    let failed = summary.checks.iter().filter(|check| !check.pass).count();
    if failed == 0 {
        format!("All {} checks pass.\n", summary.checks.len())
    } else {
        let mut text = format!("{failed} of {} checks FAIL:\n", summary.checks.len());
        for check in summary.checks.iter().filter(|check| !check.pass) {
            text.push_str(&format!("  {}: {}\n", check.name, check.what));
        }
        text
    }
}
