//! Which line of a capture is the step or the direction line of which motor.

use super::names::{find, listed, require};
use super::{Level, Lines};
use crate::input_error::InputError;
use crate::motion::AXIS_NAMES;

/// What the user says of the lines.
#[derive(Clone, Debug, Default)]
pub struct Wishes<'a> {
    /// Step lines: axis and name, in the order of the motors.
    pub step: &'a [(usize, String)],
    /// Direction lines.
    pub direction: &'a [(usize, String)],
    /// Lines that are inverted.
    pub inverted: &'a [String],
}

/// A line of a motor.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire {
    /// Place among the lines that are watched.
    pub place: usize,
    /// The level that means a step, or the way to larger coordinates.
    pub on: Level,
    /// Its name, with the scopes.
    pub name: String,
}

/// A motor.
#[derive(Clone, Debug, PartialEq)]
pub struct Motor {
    /// 0 for x.
    pub axis: usize,
    /// Its step line.
    pub step: Wire,
    /// Its direction line, which it may share.
    pub direction: Wire,
}

/// The motors, those of an axis together in the order in which they were named, and the lines to be
/// watched.
///
/// # Errors
/// Names that are not there, or that do not make motors.
pub fn wire(capture: &mut dyn Lines, wishes: &Wishes) -> Result<Vec<Motor>, InputError> {
    let mut watched: Vec<usize> = Vec::new();
    let mut motors = Vec::new();
    for (axis, letter) in AXIS_NAMES.iter().enumerate() {
        let steps = of_axis(capture, axis, wishes.step, "step")?;
        let directions = of_axis(capture, axis, wishes.direction, "direction")?;
        let refused =
            |cause: String, remedy: String| Err(InputError::whole(capture.file(), cause, remedy));
        if directions.is_empty() && !steps.is_empty() {
            let names = capture.lines().iter().map(|line| line.name.as_str());
            return refused(
                format!("{letter} has a step line, but no line is called {letter}_direction"),
                format!(
                    "name it with --direction {letter}=NAME; the capture has {}",
                    listed(names)
                ),
            );
        }
        if directions.len() > 1 && directions.len() != steps.len()
            || steps.is_empty() && !directions.is_empty()
        {
            return refused(
                format!(
                    "{letter} has {} step lines and {} direction lines",
                    steps.len(),
                    directions.len()
                ),
                format!(
                    "name as many with --direction {letter}=NAME as with --step {letter}=NAME, in the \
                     same order, or one direction line for all"
                ),
            );
        }
        for (at, step) in steps.iter().enumerate() {
            let direction = directions[at.min(directions.len() - 1)];
            let shared = directions.len() == 1 && at > 0;
            let mut wire = |line: usize, known: bool| {
                let is = &capture.lines()[line];
                if is.bits != 1 {
                    return Err(InputError::whole(
                        capture.file(),
                        format!("`{}` has {} bits: it is not one line", is.path, is.bits),
                        "name a line of one bit, as in `port[3]`, or export the lines one by one",
                    ));
                }
                let before = watched.iter().position(|one| *one == line);
                if before.is_some() && !known {
                    return Err(InputError::whole(
                        capture.file(),
                        format!("`{}` is named for two things", is.path),
                        "give each motor a step line of its own; only motors of one axis may share \
                         a direction line",
                    ));
                }
                let place = before.unwrap_or(watched.len());
                if before.is_none() {
                    watched.push(line);
                }
                let named = |name: &String| *name == is.path || *name == is.name;
                Ok(Wire {
                    place,
                    on: if wishes.inverted.iter().any(named) {
                        Level::Low
                    } else {
                        Level::High
                    },
                    name: is.path.clone(),
                })
            };
            motors.push(Motor {
                axis,
                step: wire(*step, false)?,
                direction: wire(direction, shared)?,
            });
        }
    }
    let file = capture.file();
    let names = || capture.lines().iter().map(|line| line.name.as_str());
    if motors.is_empty() {
        return Err(InputError::whole(
            file,
            "no line of the capture is called x_step, y_step or z_step",
            format!(
                "say which lines are which, as in --step x=NAME --direction x=NAME; the capture has {}",
                listed(names())
            ),
        ));
    }
    for name in wishes.inverted {
        let line = require(capture, name, "--inverted")?;
        if !watched.contains(&line) {
            return Err(InputError::whole(
                file,
                format!("--inverted names `{name}`, which is no line of a motor"),
                "leave it out, or name the line with --step or --direction",
            ));
        }
    }
    capture.watch(&watched);
    Ok(motors)
}

/// The lines of an axis: those that are named, or the one with the usual name, if there is one.
fn of_axis(
    capture: &dyn Lines,
    axis: usize,
    named: &[(usize, String)],
    what: &str,
) -> Result<Vec<usize>, InputError> {
    let mine: Vec<&String> = named
        .iter()
        .filter(|(of, _)| *of == axis)
        .map(|(_, name)| name)
        .collect();
    if mine.is_empty() {
        let usual = format!("{}_{what}", AXIS_NAMES[axis]);
        return Ok(find(capture, &usual)?.into_iter().collect());
    }
    mine.into_iter()
        .map(|name| require(capture, name, &format!("--{what}")))
        .collect()
}
