//! The command line of `sweep`.

use crate::cli::Job;
use clap::Args;
use std::path::PathBuf;

/// The example that `--help` ends with.
pub const EXAMPLE: &str = "Example:\n  spokeshave sweep docs/demo/leaf.nc --machine \
docs/demo/belt-router.toml \\\n    --vary \"axis.y.acceleration_limit=200 mm/s^2..1000 mm/s^2:17\" \
\\\n    --vary \"junction_deviation=0.005 mm..0.05 mm:10\" --out out\n\nCOUNT values are tried, both ends with them: \
17 from 200 to 1000 are in steps of 50.\n\nA NAME is that of the machine file: axis.x.acceleration_limit, axis.x.speed_limit (and so\n\
for y and z), junction_deviation, look_ahead. Three take a share of what is there, as in\n\
\"feed=50 %..150 %:11\" or \"feed=0.5..1.5:11\": feed, axis.all.acceleration_limit,\naxis.all.speed_limit.\n\nExit status: 0 done, 2 the input was refused or the output \
could not be written.";

/// Arguments of `sweep`.
#[derive(Args, Clone, Debug)]
pub struct Sweep {
    /// What is run, and on what.
    #[command(flatten)]
    pub job: Job,
    /// A setting, its first and last value and how many values; once for a curve, twice for a map.
    #[arg(long, value_name = "NAME=FROM..TO:COUNT", required = true)]
    pub vary: Vec<String>,
    /// Write the table and the picture into this folder.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Write the picture as PNG too.
    #[arg(long, requires = "out")]
    pub png: bool,
    /// Print all points as JSON.
    #[arg(long)]
    pub json: bool,
}
