//! Finds a line of a capture by its name.

use super::{Line, Lines};
use crate::input_error::InputError;
use crate::nearest::nearest;

/// So many names are listed at most.
const LISTED: usize = 20;

/// The line called `name`, by its own name or with its scopes, if there is exactly one.
///
/// # Errors
/// Where several lines of different scopes have the name.
pub(super) fn find(capture: &dyn Lines, name: &str) -> Result<Option<usize>, InputError> {
    let lines = capture.lines();
    let by = |what: fn(&Line) -> &str| -> Vec<usize> {
        (0..lines.len())
            .filter(|at| what(&lines[*at]) == name)
            .collect()
    };
    let mut found = by(|line| &line.path);
    if found.is_empty() {
        found = by(|line| &line.name);
    }
    match found[..] {
        [] => Ok(None),
        [one] => Ok(Some(one)),
        _ => {
            let paths = found.iter().map(|at| lines[*at].path.as_str());
            Err(InputError::whole(
                capture.file(),
                format!(
                    "more than one line of the capture is called `{name}`: {}",
                    listed(paths)
                ),
                "name it with its scopes, as listed; in a table, give each column a head of its own",
            ))
        }
    }
}

/// The line called `name`.
///
/// # Errors
/// Where there is none, with the nearest and all that there are, or several.
pub(super) fn require(capture: &dyn Lines, name: &str, option: &str) -> Result<usize, InputError> {
    if let Some(found) = find(capture, name)? {
        return Ok(found);
    }
    let names = || capture.lines().iter().map(|line| line.name.as_str());
    let remedy = match nearest(name, names()) {
        Some(near) => format!("did you mean `{near}`? The capture has {}", listed(names())),
        None => format!("the capture has {}", listed(names())),
    };
    let cause = format!("{option} names `{name}`, but no line of the capture is called so");
    Err(InputError::whole(capture.file(), cause, remedy))
}

/// Names in a sentence.
pub(super) fn listed<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<&str> = names.collect();
    match names.len() {
        0 => "no lines".into(),
        count if count > LISTED => {
            format!("{} and {} more", names[..LISTED].join(", "), count - LISTED)
        }
        _ => names.join(", "),
    }
}
