//! The tool's own table of pulses: `tick,x,y,z`.

use super::format::Source;
use super::rows::Rows;
use crate::input_error::InputError;
use crate::motion::{AXES, AXIS_NAMES};

/// A table of pulses under way.
pub struct Ticks {
    rows: Rows<Source>,
    last: u64,
}

/// Whether these are the heads of such a table.
pub(super) fn is_head(heads: &[String]) -> bool {
    let axes = AXIS_NAMES.iter().map(char::to_string);
    std::iter::once("tick".to_owned())
        .chain(axes)
        .eq(heads.iter().cloned())
}

impl Ticks {
    pub(super) fn new(rows: Rows<Source>) -> Self {
        Self { rows, last: 0 }
    }

    /// The name of the file.
    pub fn file(&self) -> &str {
        self.rows.file()
    }

    /// The next row: the tick, and the step of each axis.
    ///
    /// # Errors
    /// What the file gets wrong.
    pub fn next_row(&mut self) -> Result<Option<(u64, [i8; AXES])>, InputError> {
        if !self.rows.advance()? {
            return Ok(None);
        }
        let shown = |column| String::from_utf8_lossy(self.rows.field(column)).into_owned();
        let tick = std::str::from_utf8(self.rows.field(0)).ok();
        let Some(tick) = tick.and_then(|tick| tick.parse::<u64>().ok()) else {
            return Err(self.rows.fault_at(
                0,
                format!("`{}` is not a tick", shown(0)),
                "ticks are whole numbers, 0 or more",
            ));
        };
        if tick < self.last {
            return Err(self.rows.fault_at(
                0,
                format!("the time goes back here, from tick {} to {tick}", self.last),
                "rows must come in the order of time",
            ));
        }
        self.last = tick;
        let mut steps = [0; AXES];
        for (axis, step) in steps.iter_mut().enumerate() {
            *step = match self.rows.field(axis + 1) {
                b"0" => 0,
                b"1" => 1,
                b"-1" => -1,
                _ => {
                    return Err(self.rows.fault_at(
                        axis + 1,
                        format!("`{}` is no step: -1, 0 or 1", shown(axis + 1)),
                        "write the tables with `simulate --pulses csv`, or in the same way",
                    ));
                }
            };
        }
        Ok(Some((tick, steps)))
    }
}
