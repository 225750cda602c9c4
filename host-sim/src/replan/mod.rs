//! Plans one program again and again on machines with other numbers: as fast as can be, without
//! pulses and checks. The plan is that of [`crate::run`], through the same code.
//!
//! ```
//! use spokeshave_sim::machine_file;
//! use spokeshave_sim::program::{Reader, Settings};
//! use spokeshave_sim::replan::{Program, replan};
//! # let text = include_str!("../../../docs/demo/belt-router.toml");
//! let mut machine = machine_file::read("router.toml", text)?;
//! let settings = Settings::for_machine(&machine);
//! let reader = Reader::new("two.nc", &b"G21\nG1 X100 F1200\nX0\n"[..], settings.clone());
//! let program = Program::from_items("two.nc", reader, &settings)?;
//! let before = replan(&program, &machine, 1.0)?;
//! machine.axes[0].acceleration_limit_mm_s2 *= 2.0;
//! let after = replan(&program, &machine, 1.0)?;
//! assert!(after.job_time_s < before.job_time_s);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod parallel;
mod program;

pub use parallel::in_parallel;
pub use program::{MOST_KEPT, Program};

use crate::machine::Machine;
use crate::motion::{Action, Item};
use crate::run::{Nobody, RunError, Times, plan};

/// Plans `program` on `machine`, with every programmed feed times `feed` (more than 0; rapids stay as
/// they are). The machine's travel and work zeros must be those that the program was read for: they
/// decided where its moves go.
///
/// # Errors
/// What the planner refuses: the machine, or a line of the program, with a feed that is past all
/// feeds, say. A machine with another travel or other work zeros.
pub fn replan(program: &Program, machine: &Machine, feed: f64) -> Result<Times, RunError> {
    program.is_read_for(machine)?;
    let items = program.items().iter().map(|item| {
        let mut item: Item = item.clone();
        if let Action::Move(path) = &mut item.action
            && let Some(programmed) = &mut path.feed
        {
            *programmed *= feed;
        }
        Ok(item)
    });
    plan(machine, program.start(), items, &mut Nobody)
}
