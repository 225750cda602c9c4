//! The program as a file, which is read twice where files are written: once for its errors, before
//! that, and once for the run.

use crate::input_error::InputError;
use crate::program::{self, Settings};
use std::path::Path;

/// Sees to it that the program is a file, if it is there at all.
///
/// # Errors
/// What is no regular file: a pipe could not be read again, be it for a second run or for the line
/// that an error shows.
pub(crate) fn is_file(path: &Path) -> Result<(), InputError> {
    if !path.exists() || path.is_file() {
        return Ok(());
    }
    Err(InputError::whole(
        path.display().to_string(),
        "the part program must be a file, since it may be read twice",
        "save it to a file first, and name that",
    ))
}

/// Reads the whole program for its errors and counts what it asks for.
///
/// # Errors
/// What the reader refuses.
pub(crate) fn count_items(path: &Path, settings: &Settings) -> Result<u64, InputError> {
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
    Err(InputError::whole(
        path.display().to_string(),
        "the part program changed while it was read",
        "run again once it is saved",
    ))
}
