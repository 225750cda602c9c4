//! A whole program in memory.

use crate::input_error::InputError;
use crate::machine::Machine;
use crate::motion::{AXES, Item, Point};
use crate::program::{self, Settings};
use crate::run::RunError;
use std::path::Path;

/// The most moves and rests of a program that is kept: half a gigabyte at most.
pub const MOST_KEPT: usize = 2_000_000;

/// A part program that was read once, to be planned many times. Unlike a run, it takes memory in
/// proportion to the program: 120 to 240 bytes for each move or rest, so there are at most
/// [`MOST_KEPT`].
#[derive(Clone, Debug, PartialEq)]
pub struct Program {
    name: String,
    items: Vec<Item>,
    start: Point,
    work_zero_mm: [Point; 6],
    travel_mm: Option<[[f64; 2]; AXES]>,
}

impl Program {
    /// Reads the program at `path`.
    ///
    /// # Errors
    /// A file that cannot be opened, what the reader refuses, and more than [`MOST_KEPT`] moves and
    /// rests.
    pub fn open(path: &Path, settings: &Settings) -> Result<Self, InputError> {
        let name = path.file_name().unwrap_or(path.as_os_str());
        let reader = program::open(path, settings.clone())?;
        Self::from_items(name.to_string_lossy(), reader, settings)
    }

    /// Keeps all `items`, which were read with `settings`.
    ///
    /// # Errors
    /// The first error among them, and more than [`MOST_KEPT`] of them.
    pub fn from_items(
        name: impl Into<String>,
        items: impl IntoIterator<Item = Result<Item, InputError>>,
        settings: &Settings,
    ) -> Result<Self, InputError> {
        let name = name.into();
        let mut kept = Vec::new();
        for item in items {
            if kept.len() == MOST_KEPT {
                return Err(InputError::whole(
                    name,
                    format!(
                        "the program has more than {MOST_KEPT} moves and rests, too many to keep in \
                         memory and plan again and again"
                    ),
                    "take a part of it that is like the rest, or change the machine file and \
                     `simulate` it, which needs no more memory for a longer program",
                ));
            }
            kept.push(item?);
        }
        Ok(Self {
            name,
            items: kept,
            start: settings.start,
            work_zero_mm: settings.work_zero_mm,
            travel_mm: settings.travel_mm,
        })
    }

    /// Its name, for titles.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What it asks for, in order.
    pub fn items(&self) -> &[Item] {
        &self.items
    }

    /// Where the job starts, machine coordinates, mm.
    pub fn start(&self) -> Point {
        self.start
    }

    /// Refuses a machine on which the same text would make other moves, or none.
    pub(super) fn is_read_for(&self, machine: &Machine) -> Result<(), RunError> {
        let travel = machine.axes.map(|axis| axis.travel_mm);
        let differs = if self.work_zero_mm != machine.work_zero_mm {
            "work zeros"
        } else if self.travel_mm.is_some_and(|known| known != travel) {
            "travel"
        } else {
            return Ok(());
        };
        Err(RunError::Machine(
            format!(
                "{} was read for a machine with other {differs}: read it again",
                self.name
            )
            .into(),
        ))
    }
}
