//! `moves.csv`: one row a move, in the order of the program.

use super::table::Table;
use crate::trace::MoveRecord;
use std::io::{self, Write};

/// The columns. Position: where the move ends. `feed_mm_s` is empty for a rapid, `corner_mm_s`
/// where the end junction has no limit of its own.
const HEADER: [&str; 15] = [
    "line",
    "kind",
    "x_mm",
    "y_mm",
    "z_mm",
    "length_mm",
    "feed_mm_s",
    "cap_mm_s",
    "accel_mm_s2",
    "corner_mm_s",
    "entry_mm_s",
    "peak_mm_s",
    "exit_mm_s",
    "time_s",
    "limited_by",
];

/// Writes `moves.csv`.
pub struct MovesCsv<W: Write>(Table<W>);

impl<W: Write> MovesCsv<W> {
    /// Begins the file. Rows are buffered.
    ///
    /// # Errors
    ///
    /// Those of `out`, here and in the other methods.
    pub fn new(out: W) -> io::Result<Self> {
        Ok(Self(Table::new(out, &HEADER)?))
    }

    /// Adds a row. Numbers are rounded to nine decimals.
    pub fn write(&mut self, record: &MoveRecord) -> io::Result<()> {
        let row = &mut self.0;
        row.field(record.line)?;
        row.field(record.kind.name())?;
        row.numbers(record.to)?;
        row.number(record.length_mm)?;
        row.optional(record.feed_mm_s)?;
        row.number(record.cap_mm_s)?;
        row.number(record.accel_mm_s2)?;
        row.optional(record.corner_mm_s)?;
        row.number(record.entry_mm_s)?;
        row.number(record.peak_mm_s)?;
        row.number(record.exit_mm_s)?;
        row.number(record.time_s)?;
        row.field(record.limited_by.name())?;
        row.end_row()
    }

    /// Writes what is buffered and gives back the output.
    pub fn finish(self) -> io::Result<W> {
        self.0.finish()
    }
}
