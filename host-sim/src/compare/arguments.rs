//! The command line of `compare`.

use super::stretch::{Stretch, stretch};
use crate::cli::Reading;
use clap::Args;
use std::path::PathBuf;

/// The example that `--help` ends with.
pub const EXAMPLE: &str = "Example:\n  spokeshave compare docs/demo/tray.nc docs/demo/leaf.nc \
\\\n    --machine docs/demo/belt-router.toml --machine docs/demo/screw-router.toml \
\\\n    --baseline belt-router --out out\n\nExit status: 0 all within limits, 1 a check failed, \
2 the input was refused or the output could not be written.";

/// Arguments of `compare`.
#[derive(Args, Clone, Debug)]
pub struct Compare {
    /// The part programs (ISO 6983).
    #[arg(required = true, value_name = "PROGRAM")]
    pub programs: Vec<PathBuf>,
    /// A machine file (TOML); give two or more, each with its own --machine.
    #[arg(long = "machine", value_name = "FILE")]
    pub machines: Vec<PathBuf>,
    /// The machine that all others are held against, by the name it has in the tables, the name in
    /// its file, or its path.
    #[arg(long, value_name = "NAME")]
    pub baseline: Option<String>,
    /// Write table and pictures into this folder.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Write the pictures as PNG too.
    #[arg(long, requires = "out")]
    pub png: bool,
    /// Draw this stretch of the path alone, as "FROM..TO" with units, counted along the path from its
    /// start; figures stay those of the whole job.
    #[arg(
        long,
        value_name = "FROM..TO",
        value_parser = stretch,
        allow_hyphen_values = true,
        requires = "out"
    )]
    pub stretch: Option<Stretch>,
    /// How they are read.
    #[command(flatten)]
    pub reading: Reading,
    /// Print all figures as JSON.
    #[arg(long)]
    pub json: bool,
}
