//! `sweep.csv`: one row a point, row by row of the grid.

use super::table::Table;
use crate::sweep::Grid;
use std::io::{self, Write};

/// Writes the whole table: first the values of the settings, under their names with the unit
/// (`_mm_s2`, `_mm_s`, `_mm`; none for moves and factors), then the times, empty where a point is
/// refused.
///
/// # Errors
/// Those of `out`.
pub fn write(out: impl Write, grid: &Grid) -> io::Result<()> {
    let mut header: Vec<String> = grid
        .vary
        .iter()
        .map(|vary| {
            let unit = match vary.unit {
                "mm/s²" => "_mm_s2",
                "mm/s" => "_mm_s",
                "mm" => "_mm",
                _ => "",
            };
            format!("{}{unit}", vary.name)
        })
        .collect();
    header.extend(["job_time_s", "feed_time_s", "rest_s"].map(String::from));
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let mut table = Table::new(out, &header)?;
    for point in &grid.points {
        table.numbers(point.values.iter().copied())?;
        table.optional(point.job_time_s)?;
        table.optional(point.feed_time_s)?;
        table.optional(point.rest_s)?;
        table.end_row()?;
    }
    table.finish()?.flush()
}
