//! Screws in the tables `[axis.….drive]`.

use super::drive::{OneOf, efficiency, one_of, unknown};
use super::ranges;
use crate::drive::standards::{BALL_ROOT_PART, ball_screw, lead_screw, trapezoidal_root_mm};
use crate::drive::{Collar, Ends, Losses, Screw, ScrewKind};
use crate::input_error::InputError;
use crate::toml_file::Table;

/// Efficiency of a ball screw where the file does not say. Common practice, no source.
const BALL_EFFICIENCY: f64 = 0.9;

/// Keys of a lead screw.
pub(super) const LEAD_KEYS: [&str; 12] = [
    "size",
    "diameter",
    "pitch",
    "lead",
    "starts",
    "root_diameter",
    "thread_angle",
    "length",
    "ends",
    "friction",
    "collar_diameter",
    "collar_friction",
];
/// Keys of a ball screw.
pub(super) const BALL_KEYS: [&str; 6] = [
    "size",
    "diameter",
    "lead",
    "root_diameter",
    "length",
    "ends",
];

/// What a size or the numbers in its place say of a thread.
struct Thread {
    diameter_mm: f64,
    pitch_mm: f64,
    lead_mm: f64,
    root_diameter_mm: f64,
    /// Where the size says it.
    angle_deg: Option<f64>,
}

/// Reads a lead screw.
pub(super) fn read_lead(table: &Table<'_>) -> Result<Screw, InputError> {
    let thread = match one_of(table, "size", "diameter", "\"Tr 12x3\"", "\"12 mm\"")? {
        OneOf::First(_) => thread_of_size(table)?,
        OneOf::Second(_) => thread_of_numbers(table)?,
    };
    let losses = match one_of(table, "efficiency", "friction", "\"40 %\"", "0.15")? {
        OneOf::First(value) => {
            for key in ["thread_angle", "collar_diameter", "collar_friction"] {
                if let Some(value) = table.optional(key) {
                    return Err(value.error(
                        format!("`{key}` goes with `friction`, and `efficiency` is given"),
                        "take it out: the efficiency is that of the screw with its collar",
                    ));
                }
            }
            Losses::Efficiency(value.plain(&ranges::EFFICIENCY)?)
        }
        OneOf::Second(value) => {
            let coefficient = value.plain(&ranges::FRICTION)?;
            let losses = Losses::Friction {
                coefficient,
                thread_angle_deg: match thread.angle_deg {
                    Some(angle) => angle,
                    None => table
                        .required("thread_angle")?
                        .within(&ranges::THREAD_ANGLE)?,
                },
                collar: collar(table)?,
            };
            if losses.jams(thread.lead_mm, thread.diameter_mm - 0.5 * thread.pitch_mm) {
                return Err(value.error(
                    format!("a screw with a friction of {coefficient} and this lead jams"),
                    "check friction, lead and diameter: the lead is travel in one turn",
                ));
            }
            losses
        }
    };
    Ok(Screw {
        kind: ScrewKind::Lead,
        diameter_mm: thread.diameter_mm,
        root_diameter_mm: root(table, &thread)?,
        pitch_mm: thread.pitch_mm,
        lead_mm: thread.lead_mm,
        length_mm: table.required("length")?.within(&ranges::SCREW_LENGTH)?,
        ends: ends(table)?,
        losses,
    })
}

fn thread_of_size(table: &Table<'_>) -> Result<Thread, InputError> {
    let size = table.required("size")?;
    let text = size.text("write the designation of the thread, as in \"Tr 12x3\" or \"1/2-10\"")?;
    let instead = "`diameter`, and `pitch` or `lead`";
    let thread = lead_screw(text).map_err(|error| unknown(&size, error, instead))?;
    for key in ["pitch", "lead", "thread_angle"] {
        if let Some(value) = table.optional(key) {
            return Err(value.error(
                format!("`{key}` and `size` are both there, and say the same thing twice"),
                "keep one of the two",
            ));
        }
    }
    let starts = match table.optional("starts") {
        None => thread.starts,
        Some(value) if thread.says_starts => {
            return Err(value.error(
                format!("`starts` is given, and `size` says how many there are: `{text}` has {}", thread.starts),
                format!(
                    "take it out; the size of a screw with two starts is written lead first, then pitch: `Tr \
                     {}x{}(P{})`",
                    thread.diameter_mm,
                    2.0 * thread.pitch_mm,
                    thread.pitch_mm
                ),
            ));
        }
        Some(value) => value.small(ranges::STARTS)?,
    };
    Ok(Thread {
        diameter_mm: thread.diameter_mm,
        pitch_mm: thread.pitch_mm,
        lead_mm: thread.pitch_mm * f64::from(starts),
        root_diameter_mm: thread.root_diameter_mm,
        angle_deg: Some(thread.thread_angle_deg),
    })
}

fn thread_of_numbers(table: &Table<'_>) -> Result<Thread, InputError> {
    let diameter = table.required("diameter")?;
    let diameter_mm = diameter.within(&ranges::SHAFT_DIAMETER)?;
    let starts = match table.optional("starts") {
        Some(value) => value.small(ranges::STARTS)?,
        None => 1,
    };
    let (pitch_mm, lead_mm) = match one_of(table, "pitch", "lead", "\"3 mm\"", "\"3 mm\"")? {
        OneOf::First(value) => {
            let pitch = value.within(&ranges::PITCH)?;
            (pitch, pitch * f64::from(starts))
        }
        OneOf::Second(value) => {
            let lead = value.within(&ranges::PITCH)?;
            (lead / f64::from(starts), lead)
        }
    };
    if 2.0 * pitch_mm > diameter_mm {
        return Err(diameter.error(
            format!("a pitch of {pitch_mm} mm leaves nothing of a screw of {diameter_mm} mm"),
            "say how many `starts` the thread has: its lead is pitch × starts",
        ));
    }
    Ok(Thread {
        diameter_mm,
        pitch_mm,
        lead_mm,
        root_diameter_mm: trapezoidal_root_mm(diameter_mm, pitch_mm),
        angle_deg: None,
    })
}

/// Reads a ball screw.
pub(super) fn read_ball(table: &Table<'_>) -> Result<Screw, InputError> {
    let (diameter_mm, lead_mm) = match one_of(table, "size", "diameter", "\"16x5\"", "\"16 mm\"")? {
        OneOf::First(size) => {
            let text = size.text("write nominal diameter and lead in mm, as in \"16x5\"")?;
            let found =
                ball_screw(text).map_err(|error| unknown(&size, error, "`diameter` and `lead`"))?;
            if let Some(value) = table.optional("lead") {
                return Err(value.error(
                    "`lead` and `size` are both there, and say the same thing twice",
                    "keep one of the two",
                ));
            }
            (found.diameter_mm, found.lead_mm)
        }
        OneOf::Second(value) => (
            value.within(&ranges::SHAFT_DIAMETER)?,
            table.required("lead")?.within(&ranges::PITCH)?,
        ),
    };
    let thread = Thread {
        diameter_mm,
        pitch_mm: lead_mm,
        lead_mm,
        root_diameter_mm: BALL_ROOT_PART * diameter_mm,
        angle_deg: None,
    };
    Ok(Screw {
        kind: ScrewKind::Ball,
        diameter_mm,
        root_diameter_mm: root(table, &thread)?,
        pitch_mm: lead_mm,
        lead_mm,
        length_mm: table.required("length")?.within(&ranges::SCREW_LENGTH)?,
        ends: ends(table)?,
        losses: efficiency(table, BALL_EFFICIENCY)?,
    })
}

fn root(table: &Table<'_>, thread: &Thread) -> Result<f64, InputError> {
    let Some(value) = table.optional("root_diameter") else {
        return Ok(thread.root_diameter_mm);
    };
    let root = value.within(&ranges::SHAFT_DIAMETER)?;
    if root >= thread.diameter_mm {
        return Err(value.error(
            format!(
                "the root of the thread, {root} mm, is not below its nominal diameter, {} mm",
                thread.diameter_mm
            ),
            "take it from the data sheet of the screw: its smallest diameter",
        ));
    }
    Ok(root)
}

fn ends(table: &Table<'_>) -> Result<Ends, InputError> {
    let [free, supported, fixed, rigid] = Ends::ALL;
    table.required("ends")?.choice(&[
        (free.name(), free),
        ("free-fixed", free),
        (supported.name(), supported),
        (fixed.name(), fixed),
        ("supported-fixed", fixed),
        (rigid.name(), rigid),
    ])
}

fn collar(table: &Table<'_>) -> Result<Option<Collar>, InputError> {
    let keys = ["collar_diameter", "collar_friction"];
    if keys.iter().all(|key| table.optional(key).is_none()) {
        return Ok(None);
    }
    Ok(Some(Collar {
        diameter_mm: table.required(keys[0])?.within(&ranges::SHAFT_DIAMETER)?,
        coefficient: table.required(keys[1])?.plain(&ranges::FRICTION)?,
    }))
}
