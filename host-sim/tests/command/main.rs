//! The `spokeshave` command, run as a user runs it.

mod compare;
mod compare_pictures;
mod compare_refused;
mod exit_status;
mod files;
mod help;
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
