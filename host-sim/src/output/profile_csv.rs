//! `profile.csv`: one row a ramp, a stretch of constant acceleration, in the order of time.

use super::table::Table;
use super::wording::{limit_name, low_point_name};
use crate::motion::{AXES, Point};
use crate::trace::Slice;
use spokeshave::Limit;
use std::io::{self, Write};

/// The columns. Time, position and path are those at the start of the ramp; path is counted from
/// the start of the job. Speeds of the axes carry the sign of their direction. `asked_mm_s` is
/// the programmed feed, or for a rapid the most that the axes alone allow; `cap_mm_s` the least of
/// both. `kind` is `rest` while the machine rests. `low_point` is empty unless the speed changes.
const HEADER: [&str; 21] = [
    "time_s",
    "duration_s",
    "line",
    "kind",
    "x_mm",
    "y_mm",
    "z_mm",
    "path_mm",
    "length_mm",
    "entry_mm_s",
    "exit_mm_s",
    "x_entry_mm_s",
    "y_entry_mm_s",
    "z_entry_mm_s",
    "x_exit_mm_s",
    "y_exit_mm_s",
    "z_exit_mm_s",
    "asked_mm_s",
    "cap_mm_s",
    "limit",
    "low_point",
];

/// The columns of stall margins: the least of each axis in the ramp, empty where its motor is asked for
/// nothing. They are there where the machine file describes motors.
const MARGINS: [&str; AXES] = ["x_stall_margin", "y_stall_margin", "z_stall_margin"];

/// Writes `profile.csv`.
pub struct ProfileCsv<W: Write> {
    table: Table<W>,
    margins: bool,
    /// Path covered so far, mm.
    path_mm: f64,
}

impl<W: Write> ProfileCsv<W> {
    /// Begins the file. Rows are buffered.
    ///
    /// # Errors
    ///
    /// Those of `out`, here and in the other methods.
    pub fn new(out: W) -> io::Result<Self> {
        Ok(Self {
            table: Table::new(out, &HEADER)?,
            margins: false,
            path_mm: 0.0,
        })
    }

    /// The same with stall margins.
    pub fn with_margins(out: W) -> io::Result<Self> {
        let header = [&HEADER[..], &MARGINS].concat();
        Ok(Self {
            table: Table::new(out, &header)?,
            margins: true,
            path_mm: 0.0,
        })
    }

    /// Adds a row. Numbers are rounded to nine decimals. Margins are left out where they have no columns.
    pub fn write(&mut self, slice: &Slice, margins: [Option<f64>; AXES]) -> io::Result<()> {
        let row = &mut self.table;
        row.number(slice.start_s)?;
        row.number(slice.duration_s)?;
        row.field(slice.line)?;
        row.field(slice.kind.map_or("rest", |kind| kind.name()))?;
        row.numbers(slice.from)?;
        row.number(self.path_mm)?;
        row.number(slice.length_mm)?;
        row.number(slice.entry_mm_s)?;
        row.number(slice.exit_mm_s)?;
        let direction = direction(slice);
        row.numbers(direction.map(|along| along * slice.entry_mm_s))?;
        row.numbers(direction.map(|along| along * slice.exit_mm_s))?;
        row.number(slice.asked_mm_s)?;
        row.number(slice.cap_mm_s)?;
        row.field(limit_name(slice.limit))?;
        row.field(match slice.limit {
            Limit::AxisAcceleration(_) => low_point_name(slice.low_point),
            _ => "",
        })?;
        if self.margins {
            margins
                .into_iter()
                .try_for_each(|margin| row.optional(margin))?;
        }
        self.path_mm += slice.length_mm;
        self.table.end_row()
    }

    /// Writes what is buffered and gives back the output.
    pub fn finish(self) -> io::Result<W> {
        self.table.finish()
    }
}

/// The unit direction of the ramp, 0 where it covers no path.
fn direction(slice: &Slice) -> Point {
    let delta: Point = std::array::from_fn(|axis| slice.to[axis] - slice.from[axis]);
    let length = delta.iter().map(|d| d * d).sum::<f64>().sqrt();
    if length > 0.0 {
        delta.map(|d| d / length)
    } else {
        [0.0; AXES]
    }
}
