//! Rows of comma-separated values: what the two tables of moves and ramps share.

use std::fmt::{Display, Write as _};
use std::io::{self, Write};

/// A table under way.
pub(super) struct Table<W: Write> {
    csv: csv::Writer<W>,
    /// One field, kept for its memory.
    field: String,
}

impl<W: Write> Table<W> {
    /// Begins a table with its header.
    pub(super) fn new(out: W, header: &[&str]) -> io::Result<Self> {
        let mut csv = csv::Writer::from_writer(out);
        csv.write_record(header).map_err(io_error)?;
        Ok(Self {
            csv,
            field: String::new(),
        })
    }

    /// The next field of the row.
    pub(super) fn field(&mut self, value: impl Display) -> io::Result<()> {
        self.field.clear();
        // Writing to a string does not fail.
        let _ = write!(self.field, "{value}");
        self.csv.write_field(&self.field).map_err(io_error)
    }

    /// The next field of the row, a number to nine decimals (a picometre, a nanosecond).
    pub(super) fn number(&mut self, value: f64) -> io::Result<()> {
        let rounded = (value * 1e9).round() / 1e9;
        // Adding 0 makes a zero of a negative zero.
        self.field(rounded + 0.0)
    }

    /// The next fields of the row.
    pub(super) fn numbers(&mut self, values: impl IntoIterator<Item = f64>) -> io::Result<()> {
        values.into_iter().try_for_each(|value| self.number(value))
    }

    /// The next field of the row, empty for `None`.
    pub(super) fn optional(&mut self, value: Option<f64>) -> io::Result<()> {
        match value {
            Some(value) => self.number(value),
            None => self.field(""),
        }
    }

    /// Ends the row. A row of another length than the header is an error.
    pub(super) fn end_row(&mut self) -> io::Result<()> {
        self.csv.write_record(None::<&[u8]>).map_err(io_error)
    }

    /// Ends the table.
    pub(super) fn finish(self) -> io::Result<W> {
        self.csv.into_inner().map_err(|error| error.into_error())
    }
}

/// The error of the output itself where there is one, with its kind (a full disk, say).
fn io_error(error: csv::Error) -> io::Error {
    let text = error.to_string();
    match error.into_kind() {
        csv::ErrorKind::Io(error) => error,
        _ => io::Error::other(text),
    }
}
