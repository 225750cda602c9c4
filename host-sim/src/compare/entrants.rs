//! The machines and the programs of a comparison, each once and with a name.

use super::names::{Part, names};
use crate::input_error::InputError;
use crate::machine::Machine;
use crate::machine_file::{self, WithParts};
use crate::nearest::nearest;
use crate::simulate::source;
use std::path::{Path, PathBuf};

/// Machines at most: more colours than this cannot be told apart in one picture.
pub const MOST_MACHINES: usize = 8;

const TWO: &str = "name two or more, as in --machine belt-router.toml --machine screw-router.toml";

/// A machine that takes part.
pub(super) struct Entrant {
    /// What it is called in tables and pictures.
    pub label: String,
    /// Where its file is, as the user wrote it.
    pub path: PathBuf,
    /// The same without links and detours.
    true_path: PathBuf,
    pub file: WithParts,
}

impl Entrant {
    pub fn machine(&self) -> &Machine {
        &self.file.machine
    }
}

/// Opens all machine files.
///
/// # Errors
/// Fewer than two or more than [`MOST_MACHINES`], one that is named twice, and what a machine file
/// is refused for.
pub(super) fn machines(paths: &[PathBuf]) -> Result<Vec<Entrant>, InputError> {
    let refuse = |cause: &str, remedy: String| Err(InputError::whole("--machine", cause, remedy));
    match paths {
        [] => return refuse("no machine is named", TWO.into()),
        [_] => {
            let one = "one machine alone cannot be compared";
            return refuse(one, format!("{TWO}; for one, use simulate"));
        }
        _ if paths.len() > MOST_MACHINES => {
            let cause = format!("{} machines are more than can be told apart", paths.len());
            return refuse(&cause, format!("name {MOST_MACHINES} at most"));
        }
        _ => {}
    }
    let machines: Vec<WithParts> = paths
        .iter()
        .map(|path| machine_file::open_with_parts(path))
        .collect::<Result<_, _>>()?;
    let true_paths = once("--machine", "machine", paths)?;
    let labels = names(&true_paths, Part::Stem);
    let files = std::iter::zip(paths, true_paths);
    let all = std::iter::zip(labels, files).zip(machines);
    Ok(all
        .map(|((label, (path, true_path)), file)| Entrant {
            label,
            path: path.clone(),
            true_path,
            file,
        })
        .collect())
}

/// Names for all programs.
///
/// # Errors
/// One that is named twice, or is no file.
pub(super) fn programs(paths: &[PathBuf]) -> Result<Vec<String>, InputError> {
    for path in paths {
        source::is_file(path)?;
    }
    Ok(names(&once("PROGRAM", "program", paths)?, Part::File))
}

/// The true paths of files; the same file twice is refused.
fn once(argument: &str, what: &str, paths: &[PathBuf]) -> Result<Vec<PathBuf>, InputError> {
    let mut found: Vec<PathBuf> = Vec::new();
    for path in paths {
        // Whoever opens a file that is not there says so.
        let known = path.canonicalize().unwrap_or_else(|_| path.clone());
        if let Some(at) = found.iter().position(|other| *other == known) {
            let cause = match (&paths[at], path) {
                (first, again) if first == again => {
                    format!("the {what} {} is named twice", path.display())
                }
                (first, again) => format!(
                    "{} and {} are the same {what} file",
                    first.display(),
                    again.display()
                ),
            };
            let remedy = format!("name each {what} once");
            return Err(InputError::whole(argument, cause, remedy));
        }
        found.push(known);
    }
    Ok(found)
}

/// The place of the machine that `--baseline` names.
///
/// # Errors
/// None has that name, or several have.
pub(super) fn baseline(machines: &[Entrant], name: &str) -> Result<usize, InputError> {
    let labels: Vec<&str> = machines.iter().map(|each| each.label.as_str()).collect();
    if let Some(at) = labels.iter().position(|label| *label == name) {
        return Ok(at);
    }
    let path = Path::new(name).canonicalize().ok();
    let is = |each: &Entrant| each.machine().name == name || path.as_ref() == Some(&each.true_path);
    let found: Vec<usize> = (0..machines.len())
        .filter(|at| is(&machines[*at]))
        .collect();
    let list = format!("the machines are {}", labels.join(", "));
    let (cause, remedy) = match found[..] {
        [one] => return Ok(one),
        [] => {
            let in_files = machines.iter().map(|each| each.machine().name.as_str());
            let remedy = match nearest(name, labels.iter().copied().chain(in_files)) {
                Some(near) => format!("did you mean `{near}`? {list}"),
                None => list,
            };
            (format!("no machine is named `{name}`"), remedy)
        }
        _ => (
            format!("{} machines are named `{name}` in their files", found.len()),
            list,
        ),
    };
    Err(InputError::whole("--baseline", cause, remedy))
}
