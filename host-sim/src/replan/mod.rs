//! Plans one program again and again on machines with other numbers: as fast as can be, without
//! pulses and checks. The plan is that of [`crate::run`], through the same code.
//!
//! ```
//! use spokeshave_sim::machine_file;
//! use spokeshave_sim::program::{Reader, Settings};
//! use spokeshave_sim::replan::{Options, Program, replan};
//! # let text = include_str!("../../../docs/demo/belt-router.toml");
//! let mut machine = machine_file::read("router.toml", text)?;
//! let settings = Settings::for_machine(&machine);
//! let reader = Reader::new("two.nc", &b"G21\nG1 X100 F1200\nX0\n"[..], settings.clone());
//! let program = Program::from_items("two.nc", reader, &settings)?;
//! let before = replan(&program, &machine, &Options::default())?;
//! machine.axes[0].acceleration_limit_mm_s2 *= 2.0;
//! let after = replan(&program, &machine, &Options::default())?;
//! assert!(after.job_time_s < before.job_time_s);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod parallel;
mod program;

pub use parallel::in_parallel;
pub use program::Program;

use crate::check::Piece;
use crate::machine::Machine;
use crate::motion::{AXES, Action, Item};
use crate::run::{RunError, Sink, SinkError, Times, plan};
use crate::trace::{MoveRecord, Slice};

/// What [`replan`] tells of a job: the numbers that `simulate` reports under the same names.
pub type Outcome = Times;

/// What may be changed beside the machine's own numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// Every programmed feed times this, more than 0. Rapids stay as they are.
    pub feed: f64,
    /// Moves that the planner looks ahead, 2 to 16 384; `None` as the machine says.
    pub look_ahead: Option<usize>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            feed: 1.0,
            look_ahead: None,
        }
    }
}

/// Plans `program` on `machine`, whose travel and work zeros must be those that the program was
/// read for: they decided where its moves go.
///
/// # Errors
/// What the planner refuses: the machine, or a line of the program, with a feed that is past all
/// feeds, say. A machine with another travel or other work zeros.
pub fn replan(
    program: &Program,
    machine: &Machine,
    options: &Options,
) -> Result<Outcome, RunError> {
    program.is_read_for(machine)?;
    let mut machine = machine.clone();
    if let Some(look_ahead) = options.look_ahead {
        machine.look_ahead = look_ahead;
    }
    let items = program.items().iter().map(|item| {
        let mut item: Item = item.clone();
        if let Action::Move(path) = &mut item.action
            && let Some(feed) = &mut path.feed
        {
            *feed *= options.feed;
        }
        Ok(item)
    });
    plan(&machine, program.start(), items, &mut Nobody)
}

/// Listens to nothing.
struct Nobody;

impl Sink for Nobody {
    fn piece(&mut self, _: &Piece) {}
    fn slice(&mut self, _: &Slice) {}
    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }
    fn pulse(&mut self, _: u64, _: [i8; AXES]) -> Result<(), SinkError> {
        Ok(())
    }
}
