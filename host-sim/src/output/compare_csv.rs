//! `compare.csv`: a row for each program and machine, then a total for each machine.

use super::table::Table;
use crate::compare::{Change, Comparison, Difference};
use crate::motion::AXIS_NAMES;
use std::collections::BTreeMap;
use std::io::{self, Write};

/// Writes the whole table. `row` is `job` or `total`; a total has no program, and no moves and peaks
/// of its own. Each reason has a column, `lost_corner_s` say. With a baseline, columns of changes
/// follow, in seconds and in percent of the baseline's job time; they are empty in its own rows. Where a
/// machine file describes motors, the least stall margin of each axis comes last.
///
/// # Errors
/// Those of `out`.
pub fn write(out: impl Write, comparison: &Comparison) -> io::Result<()> {
    let reasons = comparison.reasons();
    let motors = comparison
        .rows
        .iter()
        .any(|row| row.summary.stall.is_some());
    let mut header = header(comparison, &reasons);
    if motors {
        header.extend(AXIS_NAMES.map(|axis| format!("{axis}_stall_margin")));
    }
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let mut table = Table::new(out, &header)?;
    let name_in_file = |label: &str| {
        let named = comparison
            .machines
            .iter()
            .find(|each| each.machine == label);
        named.map_or("", |each| each.name.as_str())
    };
    let changes = |table: &mut Table<_>, change: Option<&Change>| match &comparison.baseline {
        Some(_) => write_change(table, change, &reasons),
        None => Ok(()),
    };
    for row in &comparison.rows {
        let summary = &row.summary;
        let names = [
            "job",
            &row.program,
            &row.machine,
            name_in_file(&row.machine),
        ];
        names.iter().try_for_each(|name| table.field(name))?;
        table.numbers([summary.job_time_s, summary.feed_time_s, summary.rest_s])?;
        table.numbers(lost(&summary.time_lost_s, &reasons))?;
        table.numbers([summary.path_length_mm, summary.cutting_length_mm])?;
        table.field(summary.moves)?;
        for peak in summary.peaks.each() {
            table.numbers([
                peak.speed_mm_s,
                peak.speed_limit_mm_s,
                peak.acceleration_mm_s2,
                peak.acceleration_limit_mm_s2,
            ])?;
        }
        table.field(row.failed_checks.join("; "))?;
        changes(&mut table, row.change.as_ref())?;
        if motors {
            let margin = |axis| Some(row.summary.stall.as_ref()?.of(axis)?.margin);
            (AXIS_NAMES.into_iter()).try_for_each(|axis| table.optional(margin(axis)))?;
        }
        table.end_row()?;
    }
    for total in &comparison.totals {
        let names = ["total", "", &total.machine, name_in_file(&total.machine)];
        names.iter().try_for_each(|name| table.field(name))?;
        let times = &total.times;
        table.numbers([times.job_time_s, times.feed_time_s, times.rest_s])?;
        table.numbers(lost(&times.time_lost_s, &reasons))?;
        table.numbers([total.path_length_mm, total.cutting_length_mm])?;
        (0..1 + PEAKS.len() * AXIS_NAMES.len()).try_for_each(|_| table.field(""))?;
        table.field(total.failed_checks.join("; "))?;
        changes(&mut table, total.change.as_ref())?;
        if motors {
            AXIS_NAMES.iter().try_for_each(|_| table.field(""))?;
        }
        table.end_row()?;
    }
    table.finish()?.flush()
}

/// Columns of each axis.
const PEAKS: [&str; 4] = [
    "speed_mm_s",
    "speed_limit_mm_s",
    "acceleration_mm_s2",
    "acceleration_limit_mm_s2",
];

fn header(comparison: &Comparison, reasons: &[&str]) -> Vec<String> {
    let columns = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect();
    let mut header: Vec<String> = columns(&["row", "program", "machine", "machine_name"]);
    header.extend(["job_time_s", "feed_time_s", "rest_s"].map(String::from));
    let lost: Vec<String> = reasons
        .iter()
        .map(|reason| format!("lost_{}", reason.replace(' ', "_")))
        .collect();
    header.extend(lost.iter().map(|name| format!("{name}_s")));
    header.extend(["path_length_mm", "cutting_length_mm", "moves"].map(String::from));
    for axis in AXIS_NAMES {
        header.extend(PEAKS.map(|name| format!("{axis}_{name}")));
    }
    header.push("failed_checks".into());
    if comparison.baseline.is_some() {
        let named = ["job_time", "feed_time"].into_iter();
        for name in named.chain(lost.iter().map(String::as_str)) {
            header.extend(["s", "percent"].map(|unit| format!("{name}_change_{unit}")));
        }
    }
    header
}

fn lost(times: &BTreeMap<String, f64>, reasons: &[&str]) -> Vec<f64> {
    let of = |reason: &&str| times.get(*reason).copied().unwrap_or(0.0);
    reasons.iter().map(of).collect()
}

fn write_change<W: Write>(
    table: &mut Table<W>,
    change: Option<&Change>,
    reasons: &[&str],
) -> io::Result<()> {
    // A reason that neither run knows differs by nothing.
    let none = |change: &Change| Difference {
        s: 0.0,
        percent: change.job_time.percent.map(|_| 0.0),
    };
    let mut put = |difference: Option<Difference>| {
        table.optional(difference.map(|difference| difference.s))?;
        table.optional(difference.and_then(|difference| difference.percent))
    };
    put(change.map(|change| change.job_time))?;
    put(change.map(|change| change.feed_time))?;
    for reason in reasons {
        let of = |change: &Change| change.time_lost.get(*reason).copied();
        put(change.map(|change| of(change).unwrap_or_else(|| none(change))))?;
    }
    Ok(())
}
