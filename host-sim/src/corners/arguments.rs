//! The command line of `corners`.

use crate::cli::Job;
use crate::places::MAX_PLACES;
use crate::quantity::{self, Kind};
use crate::setting::factor;
use crate::slow_cutting::ChipLoad;
use clap::Args;
use std::path::PathBuf;

/// The example that `--help` ends with.
pub const EXAMPLE: &str = "Examples:\n  spokeshave corners docs/demo/leaf.nc --machine \
docs/demo/belt-router.toml --top 5 --out out\n  spokeshave corners docs/demo/tray.nc --machine \
docs/demo/belt-router.toml \\\n    --below \"50 %\" --flutes 2 --chip-load \"0.03 mm\"\n\nThe seconds of \
all rows, the other places summed by reason, add up to the job time less the\ntime at the speeds that \
the program asks for.\n\nExit status: 0 done, 2 the input was refused or the output could not be \
written.";

/// Arguments of `corners`.
#[derive(Args, Clone, Debug)]
pub struct Corners {
    /// What is run, and on what.
    #[command(flatten)]
    pub job: Job,
    /// How many places are told one by one; all others are summed by reason.
    #[arg(long, value_name = "N", default_value = "10", value_parser = top)]
    pub top: usize,
    /// Cutting slower than this part of the programmed feed is called slow, as in "80 %" or 0.8.
    #[arg(long, value_name = "PART", default_value = "80 %", value_parser = below, allow_hyphen_values = true)]
    pub below: f64,
    /// Cutting edges of the bit; with --chip-load, cutting below feed = spindle speed × flutes ×
    /// chip load is told.
    #[arg(long, value_name = "N", requires = "chip_load", value_parser = flutes, allow_hyphen_values = true)]
    pub flutes: Option<u32>,
    /// What each edge should cut off in a turn at least, with its unit, as in "0.03 mm".
    #[arg(long, value_name = "LENGTH", requires = "flutes", value_parser = chip_load, allow_hyphen_values = true)]
    pub chip_load: Option<f64>,
    /// Write the table and the picture into this folder.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Write the picture as PNG too.
    #[arg(long, requires = "out")]
    pub png: bool,
    /// Print all as JSON.
    #[arg(long)]
    pub json: bool,
}

impl Corners {
    /// The bit, where it is given.
    pub fn bit(&self) -> Option<ChipLoad> {
        let (flutes, chip_load_mm) = (self.flutes?, self.chip_load?);
        Some(ChipLoad {
            flutes,
            chip_load_mm,
        })
    }
}

fn top(text: &str) -> Result<usize, String> {
    let count = text.trim().parse().ok();
    count
        .filter(|count| (1..=MAX_PLACES).contains(count))
        .ok_or_else(|| {
            format!("it is not a whole number from 1 to {MAX_PLACES}; write how many places to tell, as in 20")
        })
}

fn below(text: &str) -> Result<f64, String> {
    factor(text)
        .filter(|part| *part > 0.0 && *part <= 1.0)
        .ok_or_else(|| {
            "it is not a part above 0 and up to all of the feed; write it as in \"80 %\" or 0.8"
                .to_owned()
        })
}

fn flutes(text: &str) -> Result<u32, String> {
    const MOST: u32 = 20;
    let count = text.trim().parse().ok();
    count
        .filter(|count| (1..=MOST).contains(count))
        .ok_or_else(|| {
            format!("it is not a whole number from 1 to {MOST}; count the cutting edges of the bit")
        })
}

fn chip_load(text: &str) -> Result<f64, String> {
    const EXAMPLE: &str = "write it as in \"0.03 mm\"";
    const MOST_MM: f64 = 5.0;
    let mm = quantity::parse(text, Kind::Length).map_err(|error| format!("{error}; {EXAMPLE}"))?;
    if mm > 0.0 && mm <= MOST_MM {
        Ok(mm)
    } else {
        Err(format!(
            "it is not more than 0 and at most {MOST_MM} mm; {EXAMPLE}"
        ))
    }
}
