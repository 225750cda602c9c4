//! The command line of `worth`.

use crate::cli::{Start, start};
use clap::Args;
use std::path::PathBuf;

/// The example that `--help` ends with.
pub const EXAMPLE: &str = "Example:\n  spokeshave worth docs/demo/leaf.nc --machine \
docs/demo/belt-router.toml\n\nThe program is planned again for each change, so the figures are those \
of a machine file with\nthat number in it.\n\nExit status: 0 done, 2 the input was refused.";

/// Arguments of `worth`.
#[derive(Args, Clone, Debug)]
pub struct Arguments {
    /// The part program (ISO 6983).
    pub program: PathBuf,
    /// The machine file (TOML).
    #[arg(long, value_name = "FILE")]
    pub machine: PathBuf,
    /// Where the job starts, in machine coordinates, as "x, y, z" with units; the work zero if not
    /// given.
    #[arg(long, value_name = "X,Y,Z", value_parser = start, allow_hyphen_values = true)]
    pub start: Option<Start>,
    /// Skip lines that begin with a slash.
    #[arg(long)]
    pub skip_slash: bool,
    /// Print all figures as JSON.
    #[arg(long)]
    pub json: bool,
}
