//! The stall margin: found at the right place, worked out by hand, from pulses, and moment by moment.

mod bench;
mod files;
mod kink;
mod moments;
mod rates;
mod same;
mod weak;
mod whole_job;
#[allow(dead_code, reason = "shared with the tests of the other commands")]
#[path = "../command/workshop.rs"]
mod workshop;
