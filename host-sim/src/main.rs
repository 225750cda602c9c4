//! The `spokeshave` command.

use clap::Parser;
use spokeshave_sim::cli::{Cli, Command, Simulate};
use spokeshave_sim::corners::{self, Corners, corners};
use spokeshave_sim::simulate::simulate;
use spokeshave_sim::sweep::{self, Sweep, sweep};
use spokeshave_sim::terminal;
use std::io::Write;
use std::process::ExitCode;

/// A check failed.
const FAILED: u8 = 1;
/// The input was refused, or the output could not be written.
const REFUSED: u8 = 2;

fn main() -> ExitCode {
    let command = Cli::parse().command;
    // The largest look-ahead queue is 2 MB on its way to the heap: more than a main thread has to
    // spare on some systems.
    let run = std::thread::Builder::new()
        .stack_size(32 << 20)
        .spawn(move || match command {
            Command::Simulate(arguments) => run_simulate(&arguments),
            Command::Corners(arguments) => run_corners(&arguments),
            Command::Sweep(arguments) => run_sweep(&arguments),
        });
    match run.map(std::thread::JoinHandle::join) {
        Ok(Ok(code)) => code,
        Ok(Err(panic)) => std::panic::resume_unwind(panic),
        Err(error) => refuse(miette::miette!(
            help = "free some memory, or stop other programs, and try again",
            "the run could not be started: {error}"
        )),
    }
}

fn run_simulate(arguments: &Simulate) -> ExitCode {
    let summary = match simulate(arguments) {
        Ok(summary) => summary,
        Err(error) => return refuse(error.into()),
    };
    let text = if arguments.json {
        summary.json()
    } else {
        terminal::text(&summary)
    };
    say(&text);
    if summary.pass() {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(FAILED)
    }
}

fn run_corners(arguments: &Corners) -> ExitCode {
    let answer = match corners(arguments) {
        Ok(answer) => answer,
        Err(error) => return refuse(error.into()),
    };
    say(&if arguments.json {
        answer.json()
    } else {
        corners::text(&answer)
    });
    ExitCode::SUCCESS
}

fn run_sweep(arguments: &Sweep) -> ExitCode {
    let grid = match sweep(arguments) {
        Ok(grid) => grid,
        Err(error) => return refuse(error.into()),
    };
    say(&if arguments.json {
        grid.json()
    } else {
        sweep::text(&grid)
    });
    ExitCode::SUCCESS
}

fn say(text: &str) {
    // A reader that hung up early (a pager, head) is not an error of ours.
    let _ = std::io::stdout().write_all(text.as_bytes());
}

fn refuse(error: miette::Report) -> ExitCode {
    // As with standard output: nobody may be reading.
    let _ = writeln!(std::io::stderr(), "{error:?}");
    ExitCode::from(REFUSED)
}
