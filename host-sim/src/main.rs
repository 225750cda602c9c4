//! The `spokeshave` command.

use clap::Parser;
use spokeshave_sim::cli::{Cli, Command, Simulate};
use spokeshave_sim::simulate::{SimulateError, simulate};
use spokeshave_sim::{input_error::InputError, terminal};
use std::io::Write;
use std::process::ExitCode;

/// A check failed.
const FAILED: u8 = 1;
/// The input was refused, or the output could not be written.
const REFUSED: u8 = 2;

fn main() -> ExitCode {
    let Command::Simulate(arguments) = Cli::parse().command;
    // The largest look-ahead queue is 2 MB on its way to the heap: more than a main thread has to
    // spare on some systems.
    let run = std::thread::Builder::new()
        .stack_size(32 << 20)
        .spawn(move || command(&arguments));
    match run.map(std::thread::JoinHandle::join) {
        Ok(Ok(code)) => code,
        Ok(Err(panic)) => std::panic::resume_unwind(panic),
        Err(error) => {
            eprintln!("the run could not be started: {error}");
            ExitCode::from(REFUSED)
        }
    }
}

fn command(arguments: &Simulate) -> ExitCode {
    let summary = match simulate(arguments) {
        Ok(summary) => summary,
        Err(SimulateError::Input(error)) => return refuse(error),
        Err(error) => {
            eprintln!("{:?}", miette::miette!("{error}"));
            return ExitCode::from(REFUSED);
        }
    };
    let text = if arguments.json {
        serde_json::to_string_pretty(&summary).unwrap_or_else(|error| error.to_string()) + "\n"
    } else {
        terminal::text(&summary)
    };
    // A reader that hung up early (a pager, head) is not an error of ours.
    let _ = std::io::stdout().write_all(text.as_bytes());
    if summary.pass() {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(FAILED)
    }
}

fn refuse(error: InputError) -> ExitCode {
    eprintln!("{:?}", miette::Report::new(error));
    ExitCode::from(REFUSED)
}
