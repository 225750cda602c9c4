//! `simulate`: a part program on a machine, from the files to the checks, the pictures and the
//! tables.

pub(crate) mod checking;
mod listener;
mod many;
mod measure;
mod present;
mod settings_worth;
pub(crate) mod source;

pub(crate) use many::{Measured, Run, measure_all};
use measure::measure;

use crate::check::Report;
use crate::cli::{Job, Reading, Simulate};
use crate::input_error::InputError;
use crate::job_time::JobTime;
use crate::machine::Machine;
use crate::machine_file;
use crate::output::output_error::OutputError;
use crate::output::staging::Staging;
use crate::plots::{PlotError, printable};
use crate::program::{Note, Settings};
use crate::progress::Progress;
use crate::run::{RunError, Sink, Totals, place_of_end, play, run};
use crate::script::Script;
use crate::stall::Stall;
use crate::summary::Summary;
use listener::Listener;
use miette::Diagnostic;
pub(crate) use source::is_file;
use std::fs::File;
use std::io::{self, BufRead, BufReader};
use std::path::Path;

/// Why there is no result. Each has its cause and its remedy.
#[derive(Debug, thiserror::Error, Diagnostic)]
pub enum SimulateError {
    /// The program or the machine file is refused.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Input(#[from] InputError),
    /// The machine is refused by the planner.
    #[error("the machine cannot be planned for: {0}")]
    #[diagnostic(help("change the machine file; no move can be planned with these numbers"))]
    Machine(Box<dyn std::error::Error + Send + Sync>),
    /// The output could not be written.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Output(#[from] OutputError),
    /// A picture could not be drawn.
    #[error(transparent)]
    #[diagnostic(help("leave out --png, or leave out --out to see the summary alone"))]
    Plot(#[from] PlotError),
    /// The system grants no thread for the checker.
    #[error("the checker cannot start beside the run: {0}")]
    #[diagnostic(help("close other programs, or raise the system's limit on threads"))]
    Thread(io::Error),
}

impl SimulateError {
    /// What ended the run of `program`, with the line that did.
    pub(crate) fn of_run(error: RunError, program: &Path) -> Self {
        match error {
            RunError::Program(error) => Self::Input(error),
            RunError::Machine(why) => Self::Machine(why),
            RunError::Line {
                line,
                cause,
                remedy,
            } => Self::Input(at_line(program, line, cause, remedy)),
            RunError::Sink(error) => Self::Output(match error.downcast() {
                Ok(error) => *error,
                Err(other) => OutputError::refused(other.to_string(), "try again without --out"),
            }),
        }
    }
}

/// An error about a whole line of the program, which is read again to show it.
fn at_line(program: &Path, line: u32, cause: String, remedy: &str) -> InputError {
    let text = File::open(program).ok().and_then(|file| {
        let mut lines = BufReader::new(file).lines();
        lines.nth((line as usize).checked_sub(1)?)?.ok()
    });
    let text = text.unwrap_or_default();
    let name = program.display().to_string();
    InputError::at(name, line, text.as_str(), 0..text.len(), cause, remedy)
}

/// The error for a file of the output folder that cannot be written.
pub(crate) fn cannot_write(name: &str) -> impl Fn(io::Error) -> OutputError {
    move |error| OutputError::new("write", Path::new(name), error)
}

/// The machine of a job, and how its program is to be read; the program is a file.
///
/// # Errors
/// A machine file that is refused, a start outside the travel, and what is no file.
pub(crate) fn open(job: &Job) -> Result<(Machine, Settings), SimulateError> {
    let machine = machine_file::open(&job.machine)?;
    let settings = settings(&machine, &job.reading)?;
    is_file(&job.program)?;
    Ok((machine, settings))
}

/// Runs the command and returns the summary. The output folder is written whole or not at all,
/// and not before the whole program has been read without an error.
///
/// # Errors
/// [`SimulateError`].
pub fn simulate(arguments: &Simulate) -> Result<Summary, SimulateError> {
    let file = machine_file::open_with_parts(&arguments.job.machine)?;
    let machine = &file.machine;
    let settings = settings(machine, &arguments.job.reading)?;
    is_file(&arguments.job.program)?;
    let script = arguments.events.as_deref().map(Script::open).transpose()?;
    // Where nothing is written, an error may as well show during the run.
    let items = match arguments.out {
        Some(_) => Some(source::count_items(&arguments.job.program, &settings)?),
        None => None,
    };

    let mut staging = arguments.out.as_deref().map(Staging::begin).transpose()?;
    let mut listener = Listener::new(&file, settings.start, arguments.pulses, &mut staging)?;
    let mut progress = Progress::new(items);
    let path = &arguments.job.program;
    let past = past(
        machine,
        path,
        &settings,
        script.as_ref(),
        || progress.advance(),
        &mut listener,
    )?;
    drop(progress);
    // Events may end a job before its program.
    if let Some(items) = items
        && !script.as_ref().is_some_and(Script::ends_early)
    {
        source::unchanged(path, items, past.items)?;
    }
    let asked = past.asked.clone();
    let heard = listener.finish()?;
    let summary = past.summary(path, machine, heard.report, heard.stall);
    if let (Some(mut staging), Some(mut told)) = (staging, heard.told) {
        told.job.join(&asked);
        told.recording.mark(&summary.events);
        let worth = match script {
            None => settings_worth::find(machine, path, &settings, &summary, items)?,
            Some(_) => Err("Left out here: a script of events was played.".into()),
        };
        present::write(&summary, &told, worth, machine, arguments.png, &mut staging)?;
        staging.finish()?;
    }
    Ok(summary)
}

/// What a run past a listener leaves, beside what the listener has.
struct Past {
    totals: Totals,
    notes: Vec<String>,
    items: u64,
    /// What the program asks for.
    asked: JobTime,
}

impl Past {
    fn summary(
        self,
        program: &Path,
        machine: &Machine,
        report: Report,
        stall: Option<Stall>,
    ) -> Summary {
        let name = file_name(program);
        Summary::new(&name, machine, self.totals, report, self.notes).with_stall(stall)
    }
}

/// Reads `program` and runs it past `sink`, with the events of `script`; `advance` is told of each item.
fn past(
    machine: &Machine,
    program: &Path,
    settings: &Settings,
    script: Option<&Script>,
    mut advance: impl FnMut(),
    sink: &mut impl Sink,
) -> Result<Past, SimulateError> {
    let refused = |error| SimulateError::of_run(error, program);
    let ends = match script.filter(|script| script.ends_early()) {
        Some(script) => {
            let items = crate::program::open(program, settings.clone())?;
            place_of_end(machine, settings.start, items, script).map_err(refused)?
        }
        None => None,
    };
    let mut reader = crate::program::open(program, settings.clone())?;
    let (mut items, mut asked) = (0, JobTime::default());
    let counted = std::iter::from_fn(|| {
        advance();
        let item = reader.next();
        items += u64::from(item.is_some());
        if let Some(Ok(item)) = &item {
            asked.item(item);
        }
        item
    });
    let totals = match script {
        None => run(machine, settings.start, counted, sink),
        Some(script) => play(machine, settings.start, counted, script, ends, sink),
    };
    let totals = totals.map_err(refused)?;
    Ok(Past {
        totals,
        notes: notes(reader.notes()),
        items,
        asked,
    })
}

/// The notes of a program as they are shown.
pub(crate) fn notes(notes: &[Note]) -> Vec<String> {
    let shown = |note: &Note| format!("line {}: {}: {}", note.line, note.word, note.meaning);
    notes.iter().map(shown).collect()
}

/// The name of a file for titles.
pub(crate) fn file_name(path: &Path) -> String {
    // A name may hold anything; on a terminal, control characters would act.
    printable(
        &path
            .file_name()
            .unwrap_or(path.as_os_str())
            .to_string_lossy(),
    )
}

/// The settings of the reader that the command line asks for.
///
/// # Errors
/// A start outside the travel.
pub(crate) fn settings(machine: &Machine, reading: &Reading) -> Result<Settings, InputError> {
    let mut settings = Settings::for_machine(machine);
    if let Some(start) = reading.start {
        settings.start = start.0;
    }
    settings.block_delete = reading.skip_slash;
    within_travel(machine, &settings)?;
    Ok(settings)
}

/// The start that `--start` gives must lie within the travel; the machine file saw to its own.
fn within_travel(machine: &Machine, settings: &Settings) -> Result<(), InputError> {
    for (i, axis) in machine.axes.iter().enumerate() {
        let [lower, upper] = axis.travel_mm;
        let at = settings.start[i];
        if !(lower..=upper).contains(&at) {
            let name = crate::motion::AXIS_NAMES[i];
            return Err(InputError::at(
                "--start",
                1,
                format!("{name} = {at} mm"),
                0..0,
                format!(
                    "the job would start at {name} = {at} mm, outside the travel of {lower} to \
                     {upper} mm"
                ),
                "give a start inside the travel, as in --start \"0 mm, 0 mm, 5 mm\"",
            ));
        }
    }
    Ok(())
}
