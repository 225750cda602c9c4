//! `size`: what the parts behind the axes can give, and whether the limits of a machine file ask for
//! more.
//!
//! ```
//! use spokeshave_sim::machine_file;
//! use spokeshave_sim::size::Sizing;
//! # let text = include_str!("../../../docs/demo/screw-router.toml");
//! let draft = machine_file::read_draft("router.toml", text)?;
//! let sizing = Sizing::new(&draft, 2.0, None, false);
//! assert!(sizing.pass());
//! let x = &sizing.axes[0];
//! let demand = x.demand.expect("x has limits and a motor");
//! assert!(demand.available_nm >= 2.0 * demand.needed_nm);
//! # Ok::<(), spokeshave_sim::input_error::InputError>(())
//! ```

mod arguments;
mod axis;
mod ceilings;
mod doubts;
mod limits;
mod sentences;
mod text;
mod write;

pub use arguments::{Arguments, EXAMPLE};
pub use axis::{AxisSize, CORNER_FACTOR, CurvePoint, Demand, MotorSize};
pub(crate) use ceilings::halve;
pub use ceilings::{Bound, Ceiling};
pub use limits::Limits;
pub(crate) use limits::{quickest, rounded_down};
pub use text::text;

use crate::input_error::InputError;
use crate::machine_file::{self, Draft};
use crate::motion::AXES;
use crate::plots;
use crate::simulate::SimulateError;
use serde::Serialize;
use write::Output;

/// What was found of a machine. The names are those of the JSON.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sizing {
    /// Name of the machine.
    pub machine: String,
    /// How many times the torque that is needed the motors must have.
    pub safety: f64,
    /// The axes that have a drive.
    pub axes: Vec<AxisSize>,
    /// Names of those that have none.
    pub without_drive: Vec<char>,
    /// The file that was written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub written: Option<String>,
    /// The file that was to be written, and was not because there is too much.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_written: Option<String>,
}

impl Sizing {
    /// Sizes the axes of `draft` with a factor of `safety`, 1 or more. Limits that are missing (all of
    /// them where `anew` is true) are chosen for moves of `stroke_mm`, or of a tenth of an axis's
    /// travel.
    pub fn new(draft: &Draft, safety: f64, stroke_mm: Option<f64>, anew: bool) -> Self {
        let axes: Vec<AxisSize> = (0..AXES)
            .filter_map(|index| axis::size(draft, index, safety, stroke_mm, anew))
            .collect();
        let has_drive = |name: &char| axes.iter().any(|axis| axis.axis == *name);
        Self {
            machine: draft.name.clone(),
            safety,
            without_drive: crate::motion::AXIS_NAMES
                .into_iter()
                .filter(|name| !has_drive(name))
                .collect(),
            axes,
            written: None,
            not_written: None,
        }
    }

    /// Whether the parts can give what the file's limits ask for.
    pub fn pass(&self) -> bool {
        self.axes.iter().all(|axis| axis.faults.is_empty())
    }

    /// As JSON.
    pub fn json(&self) -> String {
        // Only a map with keys that are no strings could fail.
        serde_json::to_string_pretty(self).expect("a sizing is plain data") + "\n"
    }
}

/// Runs the command.
///
/// # Errors
/// A machine file that is refused, or in which no axis has a drive; output that cannot be written, and
/// limits to write that no motor is known for; a file to write that is there already.
pub fn command(arguments: &Arguments) -> Result<Sizing, SimulateError> {
    if let Some(out) = &arguments.out {
        write::refuse_no_new_file(&arguments.machine, out)?;
    }
    let (draft, file) = machine_file::open_draft(&arguments.machine)?;
    let safety = arguments.safety.unwrap_or(draft.stall_margin);
    let mut sizing = Sizing::new(&draft, safety, arguments.stroke, arguments.anew);
    if sizing.axes.is_empty() {
        return Err(InputError::whole(
            arguments.machine.display().to_string(),
            "no axis has a drive, so there is nothing to size",
            "put tables [axis.x.drive], [axis.x.load] and [axis.x.motor] in place of `resolution`, as in \
             docs/demo/screw-router.toml",
        )
        .into());
    }
    if let Some(picture) = &arguments.picture {
        let svg = plots::torque_svg(&sizing)?;
        let mut output = Output::begin(picture)?;
        output.write(svg.as_bytes())?;
        if arguments.png {
            let png = plots::png_of(&svg, "torque")?;
            output.write_beside("png", &png)?;
        }
        output.finish()?;
    }
    let Some(out) = &arguments.out else {
        return Ok(sizing);
    };
    let name = Some(out.display().to_string());
    if sizing.pass() {
        let text = write::with_limits(&arguments.machine, &file, &draft, &sizing, arguments.anew)?;
        let mut output = Output::begin(out)?;
        output.write(text.as_bytes())?;
        output.finish()?;
        sizing.written = name;
    } else {
        sizing.not_written = name;
    }
    Ok(sizing)
}
