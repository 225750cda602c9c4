//! The command line of `assess`.

use clap::Args;
use std::path::PathBuf;

/// The example that `--help` ends with.
pub const EXAMPLE: &str = "Example:\n  spokeshave assess docs/demo/jobs.toml --out out\n\n\
docs/assess.md says how to fill in the file, and has every formula.\n\n\
Exit status: 0 every job fits one of the machines at least, 1 some job fits none, 2 the input was \
refused or the output could not be written.";

/// Arguments of `assess`.
#[derive(Args, Clone, Debug)]
pub struct Assess {
    /// The jobs file (TOML): jobs, machines, prices.
    pub jobs: PathBuf,
    /// Write table and picture into this folder.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Write the picture as PNG too.
    #[arg(long, requires = "out")]
    pub png: bool,
    /// Print all figures as JSON.
    #[arg(long)]
    pub json: bool,
}
