//! What the settings are worth, for the report: where planning the program over and over takes
//! neither long nor much memory.

use super::{SimulateError, source};
use crate::machine::Machine;
use crate::program::Settings;
use crate::replan::Program;
use crate::summary::Summary;
use crate::worth::{Worth, worth};
use std::path::Path;

/// Moves and rests of a program at most: 12 MB in memory, at 240 bytes each, and a few seconds.
const MOST_ITEMS: u64 = 50_000;

/// The worth, or why it is left out, in a sentence.
///
/// # Errors
/// The program changed since it was counted to have so many `items`, or the system grants no
/// threads.
pub(super) fn find(
    machine: &Machine,
    path: &Path,
    settings: &Settings,
    summary: &Summary,
    items: Option<u64>,
) -> Result<Result<Worth, String>, SimulateError> {
    let items = items.unwrap_or(u64::MAX);
    if summary.job_time_s == 0.0 {
        return Ok(Err(
            "The program takes no time, so no setting is worth anything.".into(),
        ));
    }
    if items > MOST_ITEMS {
        return Ok(Err(format!(
            "Left out here: it asks for the whole program in memory, to plan it again and again, and \
             this one has {items} moves and rests, more than {MOST_ITEMS}. The command \
             spokeshave worth finds it."
        )));
    }
    let program = Program::open(path, settings)?;
    source::unchanged(path, items, program.items().len() as u64)?;
    let found = worth(&program, machine).map_err(|error| SimulateError::of_run(error, path))?;
    Ok(Ok(found))
}
