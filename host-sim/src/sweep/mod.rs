//! `sweep`: job time over a range of one setting or a grid of two.

mod arguments;
mod grid;
mod knee;
mod text;
mod vary;

pub use arguments::{EXAMPLE, Sweep};
pub use grid::{Grid, Point, Refused};
pub use knee::{Knee, LITTLE, knee};
pub use text::text;
pub use vary::Vary;

use crate::input_error::InputError;
use crate::output::staging::Staging;
use crate::output::sweep_csv;
use crate::plots;
use crate::replan::Program;
use crate::setting::Changed;
use crate::simulate::{SimulateError, cannot_write, open};
use crate::worth::takes_no_time;
use std::io::Write;

/// Runs the command. The output folder is written whole or not at all.
///
/// # Errors
/// What is refused, as in `simulate`; and a grid of which no point can be planned.
pub fn sweep(arguments: &Sweep) -> Result<Grid, SimulateError> {
    let (machine, settings) = open(&arguments.job)?;
    let now = Changed::new(&machine);
    let vary = vary::read_all(&arguments.vary, |setting| now.value(setting))?;
    let program = Program::open(&arguments.job.program, &settings)?;
    let mut staging = arguments.out.as_deref().map(Staging::begin).transpose()?;
    let grid = Grid::plan(&program, &machine, vary)
        .map_err(|error| SimulateError::of_run(error, &arguments.job.program))?;
    refuse_empty(&grid, arguments)?;
    if let Some(staging) = &mut staging {
        let name = "sweep.csv";
        sweep_csv::write(staging.file(name)?, &grid).map_err(cannot_write(name))?;
        let svg = plots::sweep_svg(&grid)?;
        let name = "sweep.svg";
        let mut file = staging.file(name)?;
        file.write_all(svg.as_bytes()).map_err(cannot_write(name))?;
        if arguments.png {
            let name = "sweep.png";
            let mut file = staging.file(name)?;
            let png = plots::png_of(&svg, "sweep")?;
            file.write_all(&png).map_err(cannot_write(name))?;
        }
    }
    if let Some(staging) = staging {
        staging.finish()?;
    }
    Ok(grid)
}

impl Grid {
    /// As JSON.
    pub fn json(&self) -> String {
        // Only a map with keys that are no strings could fail.
        serde_json::to_string_pretty(self).expect("a grid is plain data") + "\n"
    }
}

/// Refuses a grid that shows nothing.
fn refuse_empty(grid: &Grid, arguments: &Sweep) -> Result<(), InputError> {
    if grid.job_time_now_s == 0.0 {
        return Err(takes_no_time(&arguments.job.program));
    }
    match grid.refused.first() {
        Some(refused) if grid.times().next().is_none() => Err(InputError::whole(
            "--vary",
            format!(
                "no point of the grid can be planned; the first, {}: {}",
                refused.first, refused.cause
            ),
            &refused.remedy,
        )),
        _ => Ok(()),
    }
}
