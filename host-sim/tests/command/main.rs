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
mod run;
mod terminal;
mod workshop;
