//! The command line.

use crate::check_command::Check;
use crate::compare::Compare;
use crate::completions::Completions;
use crate::corners::Corners;
use crate::motion::{AXES, AXIS_NAMES, Point};
use crate::quantity::{self, Kind};
use crate::size;
use crate::sweep::Sweep;
use crate::worth;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Proves a part program on a machine before wood, bits and fingers are at stake.
#[derive(Debug, Parser)]
#[command(name = "spokeshave", version, about, after_help = CAUTION)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What a passing run does not promise.
pub const CAUTION: &str = "A passing simulation does not make a machine safe: fit an emergency \
stop, guard the cutter, protect eyes, ears and lungs, hold the work down, and run a new program \
in the air first.";

/// What the tool can do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Plan a part program, make and check its step pulses, and show where the time goes.
    #[command(after_help = EXAMPLE)]
    Simulate(Simulate),
    /// Judge a capture of a real controller's step and direction lines by the program that it ran and
    /// the limits of the machine.
    #[command(after_help = crate::check_command::EXAMPLE)]
    Check(Check),
    /// Show the places that cost the most time and why, what the job time is made of, and how much
    /// of the cutting is slower than the program asks.
    #[command(after_help = crate::corners::EXAMPLE)]
    Corners(Corners),
    /// Plan a part program over a range of one setting or a grid of two, and show what each buys.
    #[command(after_help = crate::sweep::EXAMPLE)]
    Sweep(Sweep),
    /// Plan a part program with a tenth more and less of each setting, and show what each buys.
    #[command(after_help = crate::worth::EXAMPLE)]
    Worth(worth::Arguments),
    /// Work out what motors and drives can give: limits of speed and acceleration, and whether those of
    /// the machine file ask for more.
    #[command(after_help = crate::size::EXAMPLE)]
    Size(size::Arguments),
    /// Simulate part programs on several machines, and show the figures side by side.
    #[command(after_help = crate::compare::EXAMPLE)]
    Compare(Compare),
    /// Print a script that makes a shell complete the words of this command.
    #[command(after_help = crate::completions::EXAMPLE)]
    Completions(Completions),
}

const EXAMPLE: &str = "Example:\n  spokeshave simulate docs/demo/tray.nc --machine \
docs/demo/belt-router.toml --out out\n\nExit status: 0 all within limits, 1 a check failed, \
2 the input was refused or the output could not be written.";

/// How a program is read.
#[derive(Args, Clone, Copy, Debug, Default)]
pub struct Reading {
    /// Where a job starts, in machine coordinates, as "x, y, z" with units; the work zero of the machine
    /// if not given.
    #[arg(long, value_name = "X,Y,Z", value_parser = start, allow_hyphen_values = true)]
    pub start: Option<Start>,
    /// Skip lines that begin with a slash.
    #[arg(long)]
    pub skip_slash: bool,
}

/// A program on a machine, as most commands take it.
#[derive(Args, Clone, Debug)]
pub struct Job {
    /// The part program (ISO 6983).
    pub program: PathBuf,
    /// The machine file (TOML).
    #[arg(long, value_name = "FILE")]
    pub machine: PathBuf,
    /// How it is read.
    #[command(flatten)]
    pub reading: Reading,
}

/// Arguments of `simulate`.
#[derive(Args, Clone, Debug)]
pub struct Simulate {
    /// What is run, and on what.
    #[command(flatten)]
    pub job: Job,
    /// Play a script of events while the job runs: lines as `at 3.2 s: hold`, with hold, resume, end,
    /// feed, rapid, stall, contact.
    #[arg(long, value_name = "FILE")]
    pub events: Option<PathBuf>,
    /// Write report, pictures and tables into this folder.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Write every pulse too, as a table or as waveforms (IEEE 1364).
    #[arg(long, value_enum, value_name = "FORMAT", requires = "out")]
    pub pulses: Option<PulseFormat>,
    /// Write the pictures as PNG too.
    #[arg(long, requires = "out")]
    pub png: bool,
    /// Print the summary as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Formats for pulses.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PulseFormat {
    /// A row a tick.
    Csv,
    /// Value change dump.
    Vcd,
}

/// A start position, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start(pub Point);

/// Reads a start position.
fn start(text: &str) -> Result<Start, String> {
    let parts: Vec<&str> = text.split(',').collect();
    if parts.len() != AXES {
        return Err(format!(
            "a start has {AXES} lengths with units, as in \"0 mm, 0 mm, 5 mm\"; this has {}",
            parts.len()
        ));
    }
    let mut point = [0.0; AXES];
    for (i, part) in parts.iter().enumerate() {
        point[i] = quantity::parse(part, Kind::Length).map_err(|error| {
            let axis = AXIS_NAMES[i];
            format!("{axis}: {error}; write it as in \"0 mm, 0 mm, 5 mm\"")
        })?;
    }
    Ok(Start(point))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arguments_are_sound() {
        use clap::CommandFactory;
        Cli::command().debug_assert();
    }

    #[test]
    fn start_takes_units_and_refuses_the_rest() {
        assert_eq!(start("1 in, -2 mm,0 mm"), Ok(Start([25.4, -2.0, 0.0])));
        for (text, cause) in [("1 mm, 2 mm", "this has 2"), ("1, 2 mm, 3 mm", "x:")] {
            assert!(start(text).unwrap_err().contains(cause), "{text}");
        }
    }
}
