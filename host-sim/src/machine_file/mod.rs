//! Reads machine files: TOML, in which every quantity is a string with its unit.
//!
//! ```toml
//! name = "belt bench router"
//! junction_deviation = "0.02 mm"
//! chord_tolerance = "0.002 mm"      # optional, this is the default
//! look_ahead = 32                   # moves
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
//! [work_zero.g55]                   # optional, G54 to G59; what is not given is 0
//! x = "300 mm"
//! ```

pub(crate) mod axis;
mod controller;
mod keys;
pub(crate) mod ranges;
mod work_zero;

use crate::input_error::InputError;
use crate::machine::Machine;
use crate::toml_file::{self, Source, Table};
use keys::SCHEMA;
use std::path::Path;

/// How far a chord may lie from its arc where the file does not say, mm. Chosen: a tenth of the
/// usual junction deviation, well under a step of most machines.
const DEFAULT_CHORD_TOLERANCE_MM: f64 = 0.002;

/// Reads the machine file at `path`.
///
/// # Errors
///
/// The file cannot be read, is not UTF-8, is longer than 1 MiB, or is refused by [`read`].
pub fn open(path: &Path) -> Result<Machine, InputError> {
    let name = path.display().to_string();
    let bytes = toml_file::bytes(path, &SCHEMA)?;
    read_bytes(&name, &bytes)
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
    let controller = controller::read(&top.required("controller")?.table()?)?;
    let axes = axis::read_all(&top.required("axis")?.table()?, &controller)?;
    let work_zero_mm = work_zero::read(&top, &axes)?;
    Ok(Machine {
        name,
        junction_deviation_mm,
        chord_tolerance_mm,
        look_ahead,
        controller,
        axes,
        work_zero_mm,
    })
}
