//! The files that a run leaves, each by a writer that streams: it takes what the run tells, row by
//! row, and keeps no more than one buffer of it.
//!
//! Every writer must be finished: `finish` writes what is still buffered and returns its errors.

pub mod assess_csv;
pub mod compare_csv;
pub mod corners_csv;
pub mod moves_csv;
pub mod output_error;
pub mod profile_csv;
pub mod pulses_csv;
pub mod pulses_vcd;
pub mod staging;
pub mod sweep_csv;
mod table;
pub mod wording;
