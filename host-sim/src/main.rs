//! The `spokeshave` command.

use clap::Parser;
use spokeshave_sim::check_command::{self, check};
use spokeshave_sim::cli::{Cli, Command};
use spokeshave_sim::compare::{self, compare};
use spokeshave_sim::completions::completions;
use spokeshave_sim::corners::{self, corners};
use spokeshave_sim::simulate::{SimulateError, simulate};
use spokeshave_sim::size;
use spokeshave_sim::sweep::{self, sweep};
use spokeshave_sim::terminal;
use spokeshave_sim::worth;
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
            Command::Simulate(arguments) => tell(simulate(&arguments), |summary| {
                let text = if arguments.json {
                    summary.json()
                } else {
                    terminal::text(summary)
                };
                (text, summary.pass())
            }),
            Command::Check(arguments) => tell(check(&arguments), |found| {
                let text = if arguments.json {
                    found.json()
                } else {
                    check_command::text(found)
                };
                (text, found.pass())
            }),
            Command::Corners(arguments) => tell(corners(&arguments), |answer| {
                let text = if arguments.json {
                    answer.json()
                } else {
                    corners::text(answer)
                };
                (text, true)
            }),
            Command::Sweep(arguments) => tell(sweep(&arguments), |grid| {
                let text = if arguments.json {
                    grid.json()
                } else {
                    sweep::text(grid)
                };
                (text, true)
            }),
            Command::Worth(arguments) => tell(worth::command(&arguments), |worth| {
                let text = if arguments.json {
                    worth.json()
                } else {
                    worth::text(worth)
                };
                (text, true)
            }),
            Command::Compare(arguments) => tell(compare(&arguments), |found| {
                let text = if arguments.json {
                    found.json()
                } else {
                    compare::text(found)
                };
                (text, found.pass())
            }),
            Command::Size(arguments) => tell(size::command(&arguments), |found| {
                let text = if arguments.json {
                    found.json()
                } else {
                    size::text(found)
                };
                (text, found.pass())
            }),
            Command::Completions(arguments) => {
                say(&completions(arguments));
                ExitCode::SUCCESS
            }
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

/// Prints what was found, and gives the status: `text` says it, and whether all checks passed.
fn tell<T>(found: Result<T, SimulateError>, text: impl FnOnce(&T) -> (String, bool)) -> ExitCode {
    let (text, pass) = match found {
        Ok(found) => text(&found),
        Err(error) => return refuse(error.into()),
    };
    say(&text);
    if pass {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(FAILED)
    }
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
