//! The host side of spokeshave: reads a part program and a machine file, runs the same planner as
//! the firmware, checks every pulse, and shows where the time goes and why.

pub mod assess;
pub mod capture;
pub mod check;
pub mod check_command;
pub mod cli;
pub mod compare;
pub mod completions;
pub mod corners;
pub mod input_error;
pub mod job_time;
pub mod jobs_file;
mod layout;
pub mod machine;
pub mod machine_file;
pub mod motion;
pub mod nearest;
pub mod output;
pub mod places;
pub mod plots;
pub mod program;
pub mod progress;
pub mod quantity;
pub mod recording;
pub mod replan;
pub mod report;
pub mod run;
pub mod script;
pub mod setting;
pub mod simulate;
pub mod slow_cutting;
pub mod summary;
pub mod sweep;
pub mod terminal;
mod toml_file;
pub mod trace;
pub mod worth;
