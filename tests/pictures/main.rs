//! The pictures and the report of a run: well formed, complete, readable, and bounded.

mod bounds;
mod causes;
mod drawings;
mod events;
mod jobs;
mod report;
mod synthetic;
mod torque;
