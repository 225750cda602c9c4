//! The command line of `size`.

use crate::machine_file::ranges;
use crate::quantity::{self, Kind};
use crate::setting::factor;
use clap::Args;
use std::path::PathBuf;

/// The example that `--help` ends with.
pub const EXAMPLE: &str = "Example:\n  spokeshave size docs/demo/screw-router.toml --picture \
torque.svg\n\nThe machine file needs tables of parts, as docs/demo/screw-router.toml has them. Where it has no\n\
speed_limit or acceleration_limit, they are worked out: of all pairs that the motor can give with\nthe \
safety factor, the one that takes the least time from rest to rest over --stroke. --out writes\nthe \
machine file with them.\n\nExit status: 0 done, 1 the limits in the file ask for more than the parts can give, 2 the input\nwas \
refused or the output could not be written.";

/// Arguments of `size`.
#[derive(Args, Clone, Debug)]
pub struct Arguments {
    /// The machine file (TOML).
    pub machine: PathBuf,
    /// How many times the torque that is needed the motor must have: 1 to 20; stall_margin of the machine
    /// file if not given, which is 2 where it is not there.
    #[arg(long, value_name = "FACTOR", value_parser = safety)]
    pub safety: Option<f64>,
    /// The move that limits are chosen for, a length with its unit; a tenth of an axis's travel if not
    /// given.
    #[arg(long, value_name = "LENGTH", value_parser = stroke, allow_hyphen_values = true)]
    pub stroke: Option<f64>,
    /// Work out limits as if the file had none.
    #[arg(long)]
    pub anew: bool,
    /// Write the machine file, with the limits that were worked out, to this new file.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Draw torque against speed into this file, as SVG.
    #[arg(long, value_name = "FILE")]
    pub picture: Option<PathBuf>,
    /// Draw it as PNG too, beside it.
    #[arg(long, requires = "picture")]
    pub png: bool,
    /// Print all figures as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Reads a safety factor.
fn safety(text: &str) -> Result<f64, String> {
    factor(text)
        .filter(|value| ranges::STALL_MARGIN.fault("", *value).is_none())
        .ok_or_else(|| {
            let range = ranges::STALL_MARGIN.shown;
            format!("a safety factor is a number from {range}; 2 is common practice")
        })
}

/// Reads a length, mm.
fn stroke(text: &str) -> Result<f64, String> {
    let length = quantity::parse(text, Kind::Length)
        .map_err(|error| format!("{error}; write it as in \"50 mm\""))?;
    if length > 0.0 && length <= ranges::POSITION.most {
        Ok(length)
    } else {
        Err("a move is longer than 0 and at most 10 m".into())
    }
}
