//! The program as a file that is read twice: once for its errors, before anything is written, and
//! once for the run.

use crate::input_error::InputError;
use crate::program::{self, Settings};
use std::path::Path;

/// Reads the whole program for its errors and counts what it asks for.
///
/// # Errors
/// What the reader refuses; and what is no regular file, since a pipe could not be read again.
pub(super) fn count_items(path: &Path, settings: &Settings) -> Result<u64, InputError> {
    let is_file = std::fs::metadata(path).is_ok_and(|data| data.is_file());
    if path.exists() && !is_file {
        return Err(whole(
            path,
            "the part program must be a file, since it is read twice",
            "save it to a file first, and name that",
        ));
    }
    let mut reader = program::open(path, settings.clone())?;
    reader.try_fold(0, |count, item| item.map(|_| count + 1))
}

/// Sees to it that the second reading was of the same program as the first.
///
/// # Errors
/// Where the number of items differs.
pub(super) fn unchanged(path: &Path, first: u64, second: u64) -> Result<(), InputError> {
    if first == second {
        return Ok(());
    }
    Err(whole(
        path,
        "the part program changed while it was read",
        "run again once it is saved",
    ))
}

fn whole(path: &Path, cause: &str, remedy: &str) -> InputError {
    InputError::at(path.display().to_string(), 1, "", 0..0, cause, remedy)
}
