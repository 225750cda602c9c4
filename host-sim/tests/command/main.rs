//! The `spokeshave` command, run as a user runs it.

mod exit_status;
mod files;
mod memory;
mod moves;
mod odd_programs;
mod options;
mod pulses;
mod real_programs;
mod refused;
mod replan;
mod run;
mod sweep;
mod sweep_refused;
mod terminal;
mod workshop;
mod worth;
