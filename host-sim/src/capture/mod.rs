//! Reads captures: what a logic analyser recorded of the step and direction lines of a controller, or
//! the tool's own table of pulses.
//!
//! | file | what |
//! |---|---|
//! | `format` | which of the three a file is |
//! | `dump` | a value change dump (IEEE 1364), read with the crate `vcd`; `header` its declarations |
//! | `table` | a table of comma-separated values; `columns` its heads, `rows` what all tables share |
//! | `ticks` | the tool's own `pulses.csv` |
//! | `watched` | a reader that knows its line and bounds what is held of it |
//! | `wiring` | which line is which motor's; `names` finds them |
//! | `decoder` | from the levels of lines to steps: the `state` of motors, `edges` of a moment, `pulses` in their order, `pairs` of motors that share an axis, and the `event`s told |
//!
//! All of it streams: memory does not grow with the capture. Times are whole picoseconds, of either
//! sign, as analysers count from a trigger: 106 days fit.

mod columns;
pub mod decoder;
mod dump;
mod edges;
pub mod event;
mod format;
mod header;
mod names;
mod pairs;
mod pulses;
mod rows;
mod state;
mod table;
pub mod ticks;
mod watched;
pub mod wiring;

pub use columns::TimeUnit;
pub use format::{open, read};

use crate::input_error::InputError;
use ticks::Ticks;

/// Picoseconds in a second.
pub(crate) const PS: f64 = 1e12;

/// A capture, opened.
pub enum Capture {
    /// Levels of lines.
    Lines(Box<dyn Lines>),
    /// Steps at ticks of the controller's timer.
    Ticks(Box<Ticks>),
}

/// What a line is at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// 0.
    Low,
    /// 1.
    High,
    /// Not known, or not driven.
    Unknown,
}

/// A line of a capture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Its name with the scopes that it lies in, with dots between.
    pub path: String,
    /// Its name.
    pub name: String,
    /// How many bits it has.
    pub bits: u32,
}

/// A capture of lines.
pub trait Lines {
    /// What kind of file it is.
    fn format(&self) -> &'static str;

    /// The name of the file.
    fn file(&self) -> &str;

    /// All lines, in the order of the file.
    fn lines(&self) -> &[Line];

    /// Of these lines, by their number, the changes are told.
    fn watch(&mut self, lines: &[usize]);

    /// The unit that times are written in, ps, where it can be told: in a table, of the last decimal
    /// among its first lines.
    fn unit_ps(&self) -> Option<f64>;

    /// What changes next: each change with its place among the lines that are watched, in the order
    /// of the file. The time, ps; `None` at the end.
    ///
    /// # Errors
    /// What the file gets wrong.
    fn next(&mut self, changes: &mut Vec<(usize, Level)>) -> Result<Option<i64>, InputError>;

    /// An error about what was read last.
    fn fault(&mut self, cause: String, remedy: &str) -> InputError;
}

/// A time in words, as precise as captures are.
pub(crate) fn seconds(ps: i64) -> String {
    format!("{:.6} s", ps as f64 / PS)
}
