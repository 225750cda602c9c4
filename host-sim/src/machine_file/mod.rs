//! Reads machine files: TOML, in which every quantity is a string with its unit.
//!
//! ```toml
//! name = "belt bench router"
//! junction_deviation = "0.02 mm"
//! chord_tolerance = "0.002 mm"      # optional, this is the default
//! look_ahead = 32                   # moves
//! stall_margin = 2                  # optional, this is the default: torque there is, over torque needed
//!
//! [controller]
//! timer = "1 MHz"
//! pulse_width = "2 us"
//! pulse_period = "5 us"             # shortest time from one step of an axis to its next
//! direction_setup = "5 us"
//!
//! [axis.x]                          # and the same for y and z
//! resolution = "80 steps/mm"
//! speed_limit = "8 m/min"
//! acceleration_limit = "500 mm/s^2"
//! travel = ["0 mm", "600 mm"]
//! backlash = "0.05 mm"              # optional, 0 if not given
//!
//! [axis.y.drive]                    # optional, in place of the resolution
//! kind = "ball screw"
//! size = "16x5"
//! length = "600 mm"
//! ends = "fixed-supported"
//! full_steps = 200
//! microsteps = 10
//!
//! [axis.y.load]                     # optional, with a drive
//! mass = "12 kg"
//!
//! [axis.y.motor]                    # optional, with a drive and a load
//! torque_curve = [["60 rpm", "1.8 N m"], ["900 rpm", "0.9 N m"]]
//! rotor_inertia = "480 g cm^2"
//!
//! [work_zero.g55]                   # optional, G54 to G59; what is not given is 0
//! x = "300 mm"
//! ```

pub(crate) mod axis;
pub(crate) mod controller;
mod draft;
mod drive;
mod keys;
mod load;
mod motor;
mod parts;
pub(crate) mod ranges;
mod screw;
mod work_zero;

use crate::input_error::InputError;
use crate::machine::{Controller, Machine};
use crate::motion::{AXES, Point};
use crate::parts::Parts;
use crate::toml_file::{self, Source, Table};
pub use draft::{Draft, DraftAxis, WithParts};
use keys::SCHEMA;
use std::path::Path;

/// How far a chord may lie from its arc where the file does not say, mm. Chosen: a tenth of the
/// usual junction deviation, well under a step of most machines.
const DEFAULT_CHORD_TOLERANCE_MM: f64 = 0.002;

/// How many times the torque that a job asks for the motors must have where the file does not say.
/// Common practice, no source: a motor at its pull-out torque loses steps at the least disturbance.
pub const DEFAULT_STALL_MARGIN: f64 = 2.0;

/// Reads the machine file at `path`.
///
/// # Errors
///
/// The file cannot be read, is not UTF-8, is longer than 1 MiB, or is refused by [`read`].
pub fn open(path: &Path) -> Result<Machine, InputError> {
    let (name, bytes) = load_file(path)?;
    read_bytes(&name, &bytes)
}

/// The same, with the parts behind the axes.
///
/// # Errors
/// As [`open`].
pub fn open_with_parts(path: &Path) -> Result<WithParts, InputError> {
    let (name, bytes) = load_file(path)?;
    read_with_parts(&name, toml_file::text(&name, &bytes, &SCHEMA)?)
}

/// Reads the machine file at `path` where its limits may be missing; gives its text too.
///
/// # Errors
/// As [`open`], but for limits that are missing.
pub fn open_draft(path: &Path) -> Result<(Draft, String), InputError> {
    let (name, bytes) = load_file(path)?;
    let text = toml_file::text(&name, &bytes, &SCHEMA)?;
    Ok((read_draft(&name, text)?, text.to_owned()))
}

fn load_file(path: &Path) -> Result<(String, Vec<u8>), InputError> {
    let name = path.display().to_string();
    Ok((name, toml_file::bytes(path, &SCHEMA)?))
}

/// Reads `bytes`, the contents of the machine file `name`, which should be text.
///
/// # Errors
/// Bytes that are not UTF-8, and what [`read`] refuses.
pub fn read_bytes(name: &str, bytes: &[u8]) -> Result<Machine, InputError> {
    read(name, toml_file::text(name, bytes, &SCHEMA)?)
}

/// Reads `text`, the contents of the machine file `name`. The name is used in errors only.
///
/// # Errors
///
/// Anything that the file gets wrong, with its line and column. Syntax comes first, then keys that
/// are unknown, then what is missing, of the wrong type, outside its range or at odds with other
/// values, in the order of the example above.
pub fn read(name: &str, text: &str) -> Result<Machine, InputError> {
    read_with_parts(name, text).map(|file| file.machine)
}

/// The same, with the parts behind the axes.
///
/// # Errors
/// As [`read`].
pub fn read_with_parts(name: &str, text: &str) -> Result<WithParts, InputError> {
    let body = Body::read(name, text, axis::both_limits)?;
    Ok(WithParts {
        machine: Machine {
            name: body.name,
            junction_deviation_mm: body.junction_deviation_mm,
            chord_tolerance_mm: body.chord_tolerance_mm,
            look_ahead: body.look_ahead,
            controller: body.controller,
            axes: body.axes.map(axis::limited),
            work_zero_mm: body.work_zero_mm,
        },
        parts: body.parts,
        stall_margin: body.stall_margin,
    })
}

/// Reads a machine file whose limits may be missing.
///
/// # Errors
/// As [`read`], but for limits that are missing.
pub fn read_draft(name: &str, text: &str) -> Result<Draft, InputError> {
    let body = Body::read(name, text, axis::any_limits)?;
    Ok(Draft {
        name: body.name,
        junction_deviation_mm: body.junction_deviation_mm,
        controller: body.controller,
        axes: body.axes.map(axis::drafted),
        parts: body.parts,
        stall_margin: body.stall_margin,
    })
}

/// What a file says, with the limits `L` of each axis.
struct Body<L> {
    name: String,
    junction_deviation_mm: f64,
    chord_tolerance_mm: f64,
    look_ahead: usize,
    stall_margin: f64,
    controller: Controller,
    axes: [(axis::Frame, L); AXES],
    parts: [Option<Parts>; AXES],
    work_zero_mm: [Point; 6],
}

impl<L> Body<L> {
    fn read(name: &str, text: &str, limits: axis::Limits<L>) -> Result<Self, InputError> {
        let source = Source::new(name, text, &SCHEMA);
        let document = source.parse()?;
        let top = Table::top(&source, document.get_ref());
        top.refuse_unknown()?;

        let name = top.required("name")?.one_line()?;
        let junction_deviation_mm = top
            .required("junction_deviation")?
            .within(&ranges::JUNCTION_DEVIATION)?;
        let chord_tolerance_mm = match top.optional("chord_tolerance") {
            Some(value) => value.within(&ranges::CHORD_TOLERANCE)?,
            None => DEFAULT_CHORD_TOLERANCE_MM,
        };
        let look_ahead = top.required("look_ahead")?.whole(ranges::LOOK_AHEAD)? as usize;
        let stall_margin = match top.optional("stall_margin") {
            Some(value) => value.plain(&ranges::STALL_MARGIN)?,
            None => DEFAULT_STALL_MARGIN,
        };
        let controller = controller::read(&top.required("controller")?.table()?)?;
        let axis::Read { axes, parts } =
            axis::read_all(&top.required("axis")?.table()?, &controller, limits)?;
        let work_zero_mm =
            work_zero::read(&top, &axes.each_ref().map(|(frame, _)| frame.travel_mm))?;
        Ok(Self {
            name,
            junction_deviation_mm,
            chord_tolerance_mm,
            look_ahead,
            stall_margin,
            controller,
            axes,
            parts,
            work_zero_mm,
        })
    }
}
