//! The pictures and the report of a run: well formed, complete, readable, and bounded.

mod bounds;
mod drawings;
mod report;
mod synthetic;
