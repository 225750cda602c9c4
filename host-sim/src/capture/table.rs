//! A table of levels, as analysers export it: a column of times, and one of 0 and 1 for each line, a
//! row at each change or at each sample.

use super::columns::{self, TimeUnit};
use super::rows::Rows;
use super::{Level, Line, Lines};
use crate::input_error::InputError;
use std::io::BufRead;

/// A table under way.
pub(super) struct Table<R> {
    rows: Rows<R>,
    lines: Vec<Line>,
    /// The column of the time, and picoseconds in its unit.
    time: (usize, f64),
    /// Columns that are watched, and what stood there last.
    watched: Vec<(usize, Option<Level>)>,
    last: Option<i64>,
}

impl<R: BufRead> Table<R> {
    /// Sorts the columns.
    pub fn open(rows: Rows<R>, unit: Option<TimeUnit>, formats: &str) -> Result<Self, InputError> {
        let time = columns::time(&rows, unit, formats)?;
        let heads = rows.heads().iter();
        let lines = heads.map(|head| Line {
            path: head.clone(),
            name: head.clone(),
            bits: 1,
        });
        Ok(Self {
            lines: lines.collect(),
            rows,
            time,
            watched: Vec::new(),
            last: None,
        })
    }

    fn time(&self) -> Result<i64, InputError> {
        let (column, unit) = self.time;
        let field = self.rows.field(column);
        let number = std::str::from_utf8(field).ok();
        // `inf` and `nan` are numbers to the standard library.
        let number = number.filter(|text| text.bytes().any(|byte| byte.is_ascii_digit()));
        let Some(time) = number.and_then(|text| text.parse::<f64>().ok()) else {
            let shown = String::from_utf8_lossy(field).into_owned();
            return Err(self.rows.fault_at(
                column,
                format!("`{shown}` is not a time"),
                "export times as decimal numbers with a point, as in 0.001234",
            ));
        };
        let ps = time * unit;
        if ps.is_nan() || ps.abs() > i64::MAX as f64 / 4.0 {
            return Err(self.rows.fault_at(
                column,
                "this time lies more than 26 days from the zero of the capture".into(),
                "check the unit of the time column, or capture a shorter stretch",
            ));
        }
        let ps = ps.round() as i64;
        if self.last.is_some_and(|last| ps < last) {
            return Err(self.rows.fault_at(
                column,
                "the time goes back here".into(),
                "export the capture again: rows must come in the order of time",
            ));
        }
        Ok(ps)
    }
}

impl<R: BufRead> Lines for Table<R> {
    fn format(&self) -> &'static str {
        "table"
    }

    fn file(&self) -> &str {
        self.rows.file()
    }

    fn lines(&self) -> &[Line] {
        &self.lines
    }

    fn watch(&mut self, lines: &[usize]) {
        self.watched = lines.iter().map(|column| (*column, None)).collect();
    }

    fn unit_ps(&self) -> Option<f64> {
        let (column, unit) = self.time;
        // Beyond 20 decimals all is finer than a picosecond.
        let decimals = self.rows.decimals(column)?.min(20) as i32;
        Some(unit / 10f64.powi(decimals))
    }

    fn next(&mut self, changes: &mut Vec<(usize, Level)>) -> Result<Option<i64>, InputError> {
        while changes.is_empty() {
            if !self.rows.advance()? {
                return Ok(None);
            }
            self.last = Some(self.time()?);
            for (place, (column, last)) in self.watched.iter_mut().enumerate() {
                let level = match self.rows.field(*column) {
                    b"0" => Level::Low,
                    b"1" => Level::High,
                    other => {
                        let shown = String::from_utf8_lossy(other).into_owned();
                        return Err(self.rows.fault_at(
                            *column,
                            format!("`{shown}` is neither 0 nor 1"),
                            "export the levels of the lines as 0 and 1",
                        ));
                    }
                };
                if *last != Some(level) {
                    *last = Some(level);
                    changes.push((place, level));
                }
            }
        }
        Ok(self.last)
    }

    fn fault(&mut self, cause: String, remedy: &str) -> InputError {
        self.rows.fault(0..0, cause, remedy)
    }
}
