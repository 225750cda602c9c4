//! `assess`: the jobs that somebody would really do, on the machines that are considered: what fits,
//! how long it takes, and when it is even with doing it by hand.
//!
//! ```
//! use clap::Parser;
//! use spokeshave_sim::assess::assess;
//! use spokeshave_sim::cli::{Cli, Command};
//! # std::env::set_current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/..")).unwrap();
//! let line = "spokeshave assess docs/demo/jobs.toml";
//! let Command::Assess(arguments) = Cli::parse_from(line.split_whitespace()).command else {
//!     unreachable!("the line says assess");
//! };
//! let found = assess(&arguments)?;
//! assert_eq!(found.rows.len(), 5 * found.machines.len());
//! assert!(found.machines[0].saved_h > 0.0);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod arguments;
mod assessment;
mod economy;
mod misfit;
mod outcome;
mod reach;
mod sentence;
mod text;

pub use arguments::{Assess, EXAMPLE};
pub use assessment::{Assessment, Done, OpenWait, ProgramTime, Row, Total};
pub use economy::{Cost, Work, Year};
pub use misfit::Misfit;
pub use reach::Excess;
pub(crate) use text::hours;
pub use text::text;

use crate::jobs_file;
use crate::output::assess_csv;
use crate::output::staging::Staging;
use crate::plots;
use crate::simulate::{SimulateError, cannot_write};
use std::io::Write;

/// Runs the command: every program of every job on every machine that it fits, as `simulate` does it,
/// over all cores. The output folder is written whole or not at all.
///
/// # Errors
/// A jobs file, a machine file or a part program that is refused; output that cannot be written. A
/// program that leaves the travel of a machine, or that only the planner of a machine refuses, is no
/// error: it does not fit.
pub fn assess(arguments: &Assess) -> Result<Assessment, SimulateError> {
    let jobs = jobs_file::open(&arguments.jobs)?;
    let trials = outcome::trials(&jobs)?;
    let mut staging = arguments.out.as_deref().map(Staging::begin).transpose()?;
    let outcomes = outcome::outcomes(trials)?;
    let file = arguments.jobs.display().to_string();
    let assessment = Assessment::new(file, &jobs, outcomes);
    if let Some(mut staging) = staging.take() {
        write(&assessment, arguments.png, &mut staging)?;
        staging.finish()?;
    }
    Ok(assessment)
}

fn write(assessment: &Assessment, png: bool, staging: &mut Staging) -> Result<(), SimulateError> {
    let name = "assess.csv";
    assess_csv::write(staging.file(name)?, assessment).map_err(cannot_write(name))?;
    let mut put = |name: &str, bytes: &[u8]| {
        let mut file = staging.file(name)?;
        file.write_all(bytes).map_err(cannot_write(name))
    };
    put("assess.json", assessment.json().as_bytes())?;
    let svg = plots::hours_svg(assessment)?;
    put("hours.svg", svg.as_bytes())?;
    if png {
        put("hours.png", &plots::png_of(&svg, "hours")?)?;
    }
    Ok(())
}
