//! The optional tables `[axis.x.drive]`, and so for y and z.

use super::ranges;
use super::screw;
use crate::drive::standards::{UnknownSize, belt_pitch_mm, module_mm};
use crate::drive::{Belt, Drive, Losses, Mechanism, Rack};
use crate::input_error::InputError;
use crate::toml_file::{Table, Value};
use std::f64::consts::PI;

/// Efficiency of a belt where the file does not say. Common practice, no source.
const BELT_EFFICIENCY: f64 = 0.95;
/// Efficiency of a rack where the file does not say. Common practice, no source.
const RACK_EFFICIENCY: f64 = 0.9;

/// The kinds of drives as files name them.
#[derive(Clone, Copy, PartialEq)]
enum Kind {
    LeadScrew,
    BallScrew,
    Belt,
    Rack,
}

const KINDS: [(&str, Kind); 4] = [
    ("lead screw", Kind::LeadScrew),
    ("ball screw", Kind::BallScrew),
    ("belt", Kind::Belt),
    ("rack", Kind::Rack),
];

/// Keys of all kinds.
const COMMON: [&str; 5] = ["kind", "efficiency", "ratio", "full_steps", "microsteps"];

impl Kind {
    fn name(self) -> &'static str {
        KINDS
            .iter()
            .find(|(_, kind)| *kind == self)
            .map_or("", |(name, _)| name)
    }

    /// Keys of this kind beside those of all.
    fn keys(self) -> &'static [&'static str] {
        match self {
            Self::LeadScrew => &screw::LEAD_KEYS,
            Self::BallScrew => &screw::BALL_KEYS,
            Self::Belt => &["size", "pitch", "teeth", "shaft_inertia"],
            Self::Rack => &["module", "pitch", "teeth", "shaft_inertia"],
        }
    }
}

/// Reads the table.
pub(super) fn read(table: &Table<'_>) -> Result<Drive, InputError> {
    let kind = table.required("kind")?.choice(&KINDS)?;
    for (key, value) in table.keys() {
        if !COMMON.contains(&key) && !kind.keys().contains(&key) {
            let cause = format!("`{key}` says nothing of a {}", kind.name());
            let keys = [kind.keys(), &COMMON].concat().join(", ");
            let remedy = format!("take it out; the keys of a {} are {keys}", kind.name());
            return Err(value.error(cause, remedy));
        }
    }
    let mechanism = match kind {
        Kind::LeadScrew => Mechanism::Screw(screw::read_lead(table)?),
        Kind::BallScrew => Mechanism::Screw(screw::read_ball(table)?),
        Kind::Belt => Mechanism::Belt(belt(table)?),
        Kind::Rack => Mechanism::Rack(rack(table)?),
    };
    let ratio = match table.optional("ratio") {
        Some(value) => ratio(&value)?,
        None => 1.0,
    };
    let drive = Drive {
        mechanism,
        ratio,
        full_steps: table.required("full_steps")?.small(ranges::FULL_STEPS)?,
        microsteps: table.required("microsteps")?.small(ranges::MICROSTEPS)?,
    };
    let steps_per_mm = drive.steps_per_mm();
    if let Some((cause, _)) = ranges::RESOLUTION.fault("resolution", steps_per_mm) {
        return Err(table.error(
            format!("this drive makes {steps_per_mm} steps/mm: {cause}"),
            format!(
                "check `full_steps`, `microsteps`, `ratio` and the sizes: together they must make {}",
                ranges::RESOLUTION.shown
            ),
        ));
    }
    Ok(drive)
}

/// Turns of the motor for one of the drive. It is one number: `3:1` may be meant either way round.
fn ratio(value: &Value<'_>) -> Result<f64, InputError> {
    let remedy = "write the turns of the motor for one turn of the drive as one number, as in `ratio = 3` for 3:1";
    if let Ok(text) = value.text(remedy)
        && text.contains(':')
    {
        return Err(value.error(format!("`{text}` is not a number"), remedy));
    }
    value.plain(&ranges::RATIO)
}

fn belt(table: &Table<'_>) -> Result<Belt, InputError> {
    let pitch_mm = match one_of(table, "size", "pitch", "\"XL\"", "\"2 mm\"")? {
        OneOf::First(size) => {
            let code = size.text("write the code of the belt, as in \"XL\"")?;
            belt_pitch_mm(code).map_err(|error| unknown(&size, error, "a `pitch`"))?
        }
        OneOf::Second(pitch) => pitch.within(&ranges::PITCH)?,
    };
    Ok(Belt {
        pitch_mm,
        teeth: table.required("teeth")?.small(ranges::TEETH)?,
        pulley_inertia_kg_m2: shaft_inertia(table)?,
        losses: efficiency(table, BELT_EFFICIENCY)?,
    })
}

fn rack(table: &Table<'_>) -> Result<Rack, InputError> {
    let pitch_mm = match one_of(table, "module", "pitch", "\"1 mm\"", "\"5 mm\"")? {
        OneOf::First(value) => {
            let module = value.within(&ranges::MODULE)?;
            PI * module_mm(module).map_err(|error| unknown(&value, error, "a `pitch`"))?
        }
        OneOf::Second(pitch) => pitch.within(&ranges::PITCH)?,
    };
    Ok(Rack {
        pitch_mm,
        teeth: table.required("teeth")?.small(ranges::TEETH)?,
        pinion_inertia_kg_m2: shaft_inertia(table)?,
        losses: efficiency(table, RACK_EFFICIENCY)?,
    })
}

fn shaft_inertia(table: &Table<'_>) -> Result<f64, InputError> {
    table
        .optional("shaft_inertia")
        .map_or(Ok(0.0), |value| value.within(&ranges::INERTIA))
}

/// The efficiency that is given, or the usual one.
pub(super) fn efficiency(table: &Table<'_>, usual: f64) -> Result<Losses, InputError> {
    table
        .optional("efficiency")
        .map_or(Ok(usual), |value| value.plain(&ranges::EFFICIENCY))
        .map(Losses::Efficiency)
}

/// One of two ways to say something.
pub(super) enum OneOf<'a> {
    First(Value<'a>),
    Second(Value<'a>),
}

/// The one of two keys that is there; both and neither are refused.
pub(super) fn one_of<'a>(
    table: &Table<'a>,
    first: &str,
    second: &str,
    first_example: &str,
    second_example: &str,
) -> Result<OneOf<'a>, InputError> {
    match (table.optional(first), table.optional(second)) {
        (Some(value), None) => Ok(OneOf::First(value)),
        (None, Some(value)) => Ok(OneOf::Second(value)),
        (Some(_), Some(value)) => Err(value.error(
            format!("`{first}` and `{second}` are both there, and say the same thing twice"),
            "keep one of the two",
        )),
        (None, None) => Err(table.error(
            format!("`{first}` or `{second}` is missing {}", table.place()),
            format!("add a line `{first} = {first_example}` or `{second} = {second_example}`"),
        )),
    }
}

/// A size that no table has; `instead` says what to give for it.
pub(super) fn unknown(value: &Value<'_>, error: UnknownSize, instead: &str) -> InputError {
    let remedy = format!(
        "{}; a size of no standard is given by {instead}",
        error.remedy
    );
    value.error(error.cause, remedy)
}
