//! The command line of `worth`.

use crate::cli::Job;
use clap::Args;

/// The example that `--help` ends with.
pub const EXAMPLE: &str = "Example:\n  spokeshave worth docs/demo/leaf.nc --machine \
docs/demo/belt-router.toml\n\nThe program is planned again for each change, so the figures are those \
of a machine file with\nthat number in it.\n\nExit status: 0 done, 2 the input was refused.";

/// Arguments of `worth`.
#[derive(Args, Clone, Debug)]
pub struct Arguments {
    /// What is run, and on what.
    #[command(flatten)]
    pub job: Job,
    /// Print all figures as JSON.
    #[arg(long)]
    pub json: bool,
}
