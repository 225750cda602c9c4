//! `corners.csv`: one row a place, the dearest first; then one row for the other places of each
//! reason, and one for what rounding leaves. So `lost_s` adds up to the whole time lost.

use super::table::Table;
use crate::corners::Answer;
use crate::places::Row;
use std::io::{self, Write};

const HEADER: [&str; 22] = [
    "number",
    "line",
    "first_line",
    "last_line",
    "kind",
    "x_mm",
    "y_mm",
    "z_mm",
    "time_s",
    "turn_degrees",
    "turn_within_mm",
    "reached_mm_s",
    "asked_mm_s",
    "lost_s",
    "share",
    "reason",
    "axis",
    "axis_limit",
    "axis_limit_unit",
    "full_speed_beside",
    "places",
    "why",
];

/// Writes the whole table. Rows for several places have their number in `places`, and nothing where
/// a single place has its own numbers.
///
/// # Errors
/// Those of `out`.
pub fn write(out: impl Write, answer: &Answer) -> io::Result<()> {
    let mut table = Table::new(out, &HEADER)?;
    for row in &answer.places {
        place(&mut table, row)?;
    }
    for other in &answer.other_places {
        let words = format!("other places: {}", other.words);
        let times = (other.lost_s, answer.job_time_s);
        rest(&mut table, other.reason, other.places, times, &words)?;
    }
    let words = "moves at the speed asked for: single precision";
    let times = (answer.rounding_s, answer.job_time_s);
    rest(&mut table, "rounding", 0, times, words)?;
    table.finish()?.flush()
}

fn place<W: Write>(table: &mut Table<W>, row: &Row) -> io::Result<()> {
    table.field(row.number)?;
    table.field(row.line)?;
    table.field(row.first_line)?;
    table.field(row.last_line)?;
    table.field(row.kind)?;
    table.numbers(row.position_mm.each().map(|mm| *mm))?;
    table.number(row.time_s)?;
    table.optional(row.turn_degrees)?;
    table.optional(row.turn_within_mm)?;
    table.numbers([row.reached_mm_s, row.asked_mm_s, row.lost_s, row.share])?;
    table.field(row.reason)?;
    table.field(row.limit.axis.map_or(String::new(), String::from))?;
    table.optional(row.limit.axis_limit)?;
    table.field(row.limit.axis_limit_unit.unwrap_or_default())?;
    table.field(row.full_speed_beside)?;
    table.field(1)?;
    table.field(&row.why)?;
    table.end_row()
}

fn rest<W: Write>(
    table: &mut Table<W>,
    reason: &str,
    places: u64,
    (lost_s, job_time_s): (f64, f64),
    words: &str,
) -> io::Result<()> {
    for head in HEADER {
        match head {
            "lost_s" => table.number(lost_s)?,
            "share" if job_time_s > 0.0 => table.number(lost_s / job_time_s)?,
            "share" => table.number(0.0)?,
            "reason" => table.field(reason)?,
            "places" => table.field(places)?,
            "why" => table.field(words)?,
            _ => table.field("")?,
        }
    }
    table.end_row()
}
