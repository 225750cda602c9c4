//! A comparison on the terminal: the times in one table, then each program's losses and peaks with
//! the machines side by side.

use super::{Change, Comparison, Row};
use crate::layout::{prose, side_by_side, table};
use crate::motion::AXIS_NAMES;
use crate::stall::Stall;
use crate::summary::{Check, Summary, Verdict, duration};
use crate::terminal::{MOTORS_IN_PART, check_name, figure, not_checked, stall_margin};
use std::collections::BTreeMap;

/// What the totals are called.
const ALL: &str = "all programs";

/// The comparison as text.
pub fn text(comparison: &Comparison) -> String {
    let mut text = machines(comparison) + "\n" + &times(comparison);
    for rows in comparison.programs() {
        text += "\n";
        text += &losses(comparison, &rows[0].program, rows);
        text += "\n";
        text += &peaks(rows);
    }
    if comparison.rows.len() > comparison.totals.len() {
        text += "\n";
        text += &losses(comparison, ALL, &comparison.rows);
    }
    text + "\n" + &closing(comparison)
}

fn machines(comparison: &Comparison) -> String {
    let mut text = String::new();
    for each in &comparison.machines {
        let role = if comparison.baseline.as_ref() == Some(&each.machine) {
            ", the baseline"
        } else {
            ""
        };
        let machine = format!("{}: {} ({}){role}", each.machine, each.name, each.file);
        text += &prose(&machine, "  ");
    }
    text
}

fn times(comparison: &Comparison) -> String {
    let changes = comparison.baseline.is_some();
    let mut header = vec!["program", "machine", "job time"];
    header.extend(changes.then_some("change"));
    header.push("checks");
    let numbers: Vec<usize> = (2..header.len() - 1).collect();
    let mut table = table(&header, &numbers);
    let mut add = |program: &str, machine: &str, job, change: Option<&Change>, checks: String| {
        let mut cells = vec![program.to_owned(), machine.to_owned(), duration(job)];
        if changes {
            cells.push(change.map_or("–".into(), |change| change.job_time.to_string()));
        }
        cells.push(checks);
        table.add_row(cells);
    };
    for row in &comparison.rows {
        add(
            &row.program,
            &row.machine,
            row.summary.job_time_s,
            row.change.as_ref(),
            checks([&row.summary]),
        );
    }
    if comparison.rows.len() > comparison.totals.len() {
        for total in &comparison.totals {
            let rows = comparison.rows.iter();
            let of_it = rows.filter(|row| row.machine == total.machine);
            add(
                ALL,
                &total.machine,
                total.times.job_time_s,
                total.change.as_ref(),
                checks(of_it.map(|row| &row.summary)),
            );
        }
    }
    table.lines()
}

/// How the checks came out, counted as `simulate` counts them: those that had nothing to measure do not pass.
fn checks<'a>(summaries: impl IntoIterator<Item = &'a Summary>) -> String {
    let all = summaries.into_iter().flat_map(|summary| &summary.checks);
    let verdicts: Vec<Verdict> = all.map(Check::verdict).collect();
    let count = |verdict| verdicts.iter().filter(|found| **found == verdict).count();
    match count(Verdict::Fail) {
        0 => format!("{} pass", count(Verdict::Pass)),
        failed => format!("{failed} of {} FAIL", verdicts.len()),
    }
}

/// Time lost by reason, in the words of a reader, over the programs of `rows`: s, with what that is
/// more than the baseline's.
fn losses(comparison: &Comparison, name: &str, rows: &[Row]) -> String {
    let title = format!("{name}: time lost to, s");
    let machines = &comparison.machines;
    let mut header = vec![title];
    header.extend(machines.iter().map(|each| each.machine.clone()));
    let mut lines = vec![header];
    let baseline = machines
        .iter()
        .position(|each| comparison.baseline.as_ref() == Some(&each.machine));
    let mut add = |words: &str, seconds: &dyn Fn(&Summary) -> f64| {
        let of = |at: usize| -> f64 {
            let rows = rows.iter().skip(at).step_by(machines.len());
            rows.map(|row| seconds(&row.summary)).sum()
        };
        let mut cells = vec![words.to_owned()];
        cells.extend((0..machines.len()).map(|at| match baseline {
            Some(baseline) if baseline != at => {
                format!("{:.2} ({})", of(at), signed(of(at) - of(baseline)))
            }
            _ => format!("{:.2}", of(at)),
        }));
        lines.push(cells);
    };
    for words in reasons(rows) {
        add(words, &|summary| lost(summary, words));
    }
    add("all", &|summary| summary.job_time_s - summary.feed_time_s);
    add("job time without it", &|summary| summary.feed_time_s);
    side_by_side(&lines)
}

/// Seconds with their sign, to a hundredth; what rounds to nothing has none.
fn signed(seconds: f64) -> String {
    match format!("{seconds:+.2}").as_str() {
        "+0.00" | "-0.00" => "0.00".into(),
        text => text.into(),
    }
}

fn lost(summary: &Summary, words: &str) -> f64 {
    let is = |(known, _): &&(&str, f64)| *known == words;
    let found = summary.time_lost_to.iter().find(is);
    found.map_or(0.0, |(_, seconds)| *seconds)
}

/// Every reason that shows in any of the rows, the dearest of all first.
fn reasons(rows: &[Row]) -> Vec<&'static str> {
    let mut most = BTreeMap::<&str, f64>::new();
    for (words, seconds) in rows.iter().flat_map(|row| row.summary.reasons()) {
        let known = most.entry(words).or_default();
        *known = known.max(seconds);
    }
    let mut reasons: Vec<(&str, f64)> = most.into_iter().collect();
    reasons.sort_by(|a, b| b.1.total_cmp(&a.1));
    reasons.into_iter().map(|(words, _)| words).collect()
}

/// The peaks of each axis that moves, with the limits.
fn peaks(rows: &[Row]) -> String {
    let title = format!("{}: peak of limit", rows[0].program);
    let mut header = vec![title];
    header.extend(rows.iter().map(|row| row.machine.clone()));
    let mut lines = vec![header];
    for (axis, letter) in AXIS_NAMES.iter().enumerate() {
        let peaks: Vec<_> = rows
            .iter()
            .map(|row| row.summary.peaks.each()[axis])
            .collect();
        if peaks.iter().all(|peak| peak.speed_mm_s == 0.0) {
            continue;
        }
        let mut add = |what: &str, values: Vec<(f64, f64)>| {
            let mut cells = vec![format!("{letter} {what}")];
            let each = values.iter();
            cells.extend(each.map(|(peak, of)| format!("{} of {}", figure(*peak), figure(*of))));
            lines.push(cells);
        };
        let speeds = peaks.iter().map(|p| (p.speed_mm_s, p.speed_limit_mm_s));
        add("speed, mm/s", speeds.collect());
        let accelerations = peaks
            .iter()
            .map(|p| (p.acceleration_mm_s2, p.acceleration_limit_mm_s2));
        add("acceleration, mm/s²", accelerations.collect());
        if rows.iter().any(|row| row.summary.stall.is_some()) {
            let mut cells = vec![format!("{letter} stall margin")];
            cells.extend(rows.iter().map(|row| match &row.summary.stall {
                Some(stall) => stall_margin(stall, *letter),
                None => "–".into(),
            }));
            lines.push(cells);
        }
    }
    side_by_side(&lines)
}

fn closing(comparison: &Comparison) -> String {
    let mut text = String::new();
    for row in &comparison.rows {
        for check in row.summary.checks.iter().filter(|check| !check.pass) {
            let on = format!("FAIL, {} on {}", row.program, row.machine);
            text += &prose(
                &format!("{on}: {}: {}", check_name(check), check.what),
                "  ",
            );
        }
    }
    let mut estimates: Vec<String> = Vec::new();
    for row in &comparison.rows {
        if let Some(said) = row.summary.stall.as_ref().and_then(Stall::estimate) {
            let said = format!("{}: {said}", row.machine);
            if !estimates.contains(&said) {
                estimates.push(said);
            }
        }
    }
    for estimate in estimates {
        text += &prose(&estimate, "  ");
    }
    if comparison.pass() {
        text += "All checks that had something to measure pass.\n";
    }
    let mut left: Vec<String> = (comparison.rows.iter())
        .map(|row| not_checked(&row.summary))
        .collect();
    left.dedup();
    text += &match &left[..] {
        [one] => prose(one, "  "),
        // Motors are known on some machines only, or of some axes.
        _ => prose(MOTORS_IN_PART, "  "),
    };
    for note in &comparison.notes {
        text += &prose(&format!("Note: {note}."), "  ");
    }
    text
}
