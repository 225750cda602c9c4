//! What can go wrong at a pin, and what is left undone then.

use crate::pulse::Pulse;
use core::fmt;

/// Which line of a driver.
///
/// ```
/// use spokeshave::pins::Line;
/// assert_eq!(Line::Direction.to_string(), "direction line");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Line {
    /// The step line.
    Step,
    /// The direction line.
    Direction,
}

impl fmt::Display for Line {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Step => "step line",
            Self::Direction => "direction line",
        })
    }
}

/// A pin of one axis failed.
///
/// ```
/// use spokeshave::pins::{Line, MotorError};
/// let error = MotorError { motor: 1, line: Line::Step, cause: "no answer" };
/// assert_eq!(error.on_axis(2).axis, 2);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct MotorError<E> {
    /// Which motor of the axis, 0 for the first.
    pub motor: u8,
    /// Which of its lines.
    pub line: Line,
    /// What the pin returned.
    pub cause: E,
}

impl<E: fmt::Debug> fmt::Display for MotorError<E> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "motor {}: the {} failed ({:?}); see to its pin",
            self.motor, self.line, self.cause
        )
    }
}

impl<E: fmt::Debug> core::error::Error for MotorError<E> {}

impl<E> MotorError<E> {
    pub(super) fn of(line: Line, cause: E) -> Self {
        Self {
            motor: 0,
            line,
            cause,
        }
    }

    /// The same, counted past `motors` that stand before.
    pub(super) fn after(mut self, motors: u8) -> Self {
        self.motor = self.motor.saturating_add(motors);
        self
    }

    /// The same, on `axis` (0 is the first).
    pub fn on_axis(self, axis: u8) -> PinError<E> {
        PinError {
            axis,
            motor: self.motor,
            line: self.line,
            cause: self.cause,
        }
    }
}

/// A pin failed.
///
/// ```
/// use spokeshave::pins::{Line, PinError};
/// let error = PinError { axis: 2, motor: 0, line: Line::Direction, cause: "no answer" };
/// assert_eq!(
///     error.to_string(),
///     "axis 2, motor 0: the direction line failed (\"no answer\"); see to its pin, then find the \
///      reference position again"
/// );
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PinError<E> {
    /// Which axis, 0 for the first.
    pub axis: u8,
    /// Which motor of the axis, 0 for the first.
    pub motor: u8,
    /// Which of its lines.
    pub line: Line,
    /// What the pin returned.
    pub cause: E,
}

impl<E: fmt::Debug> fmt::Display for PinError<E> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "axis {}, motor {}: the {} failed ({:?}); see to its pin, then find the reference \
             position again",
            self.axis, self.motor, self.line, self.cause
        )
    }
}

impl<E: fmt::Debug> core::error::Error for PinError<E> {}

/// Why a pulse was not made whole.
///
/// ```
/// use spokeshave::pins::Cause;
/// let cause: Cause<()> = Cause::NoOutput { axes: 0b1000 };
/// assert_eq!(
///     cause.to_string(),
///     "steps for axes without outputs (mask 1000); give the bank as many axes as the generator"
/// );
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Cause<E> {
    /// A pin failed.
    Pin(PinError<E>),
    /// The pulse steps axes that have no outputs here: the generator has more axes.
    NoOutput {
        /// Those axes, bit 0 for the first.
        axes: u8,
    },
    /// The bank is stopped: not settled yet, or an error came before.
    Stopped,
}

impl<E> From<PinError<E>> for Cause<E> {
    fn from(error: PinError<E>) -> Self {
        Self::Pin(error)
    }
}

impl<E: fmt::Debug> fmt::Display for Cause<E> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pin(error) => error.fmt(f),
            Self::NoOutput { axes } => write!(
                f,
                "steps for axes without outputs (mask {axes:b}); give the bank as many axes as \
                 the generator"
            ),
            Self::Stopped => f.write_str("the bank is stopped; settle it first"),
        }
    }
}

impl<E: fmt::Debug> core::error::Error for Cause<E> {}

/// The bank halted: no step is made from here on.
///
/// Nothing is stepped twice, and what was begun is ended after its width (by
/// [`Bank::turn`](super::Bank::turn) or [`WaitingBank::make`](super::WaitingBank::make)). The
/// generator counts the whole pulse: it is ahead of the motors by `left_out`. A machine that was
/// moving stopped without braking, so the position of every axis is in doubt. The way back:
///
/// 1. See to the cause, and `settle` the bank: all step lines at rest.
/// 2. Find the reference position of the machine.
/// 3. Empty the queue of pulse trains, and begin with a planner, a train maker and a generator at
///    that position.
///
/// ```
/// use spokeshave::Pulse;
/// use spokeshave::pins::{Cause, Halt, Line, PinError};
/// let cause = Cause::Pin(PinError { axis: 1, motor: 0, line: Line::Step, cause: () });
/// let left_out = Some(Pulse { tick: 900, steps: 0b110, forward: 0b010 });
/// let halt = Halt { cause, left_out };
/// // Where the machine crept, it did not coast: the generator's count less `left_out` is where the
/// // motors stand, but for axis 1, whose pin may have moved before it failed.
/// let ahead = |axis| halt.left_out.map_or(0, |pulse| pulse.step(axis));
/// assert_eq!([ahead(0), ahead(1), ahead(2)], [0, 1, -1]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Halt<E> {
    /// Why.
    pub cause: Cause<E>,
    /// The steps that the generator counts and that were not made, in `steps`; among them that of
    /// an axis whose step line failed at the edge, which may have been made (on none, some or all
    /// of its motors).
    pub left_out: Option<Pulse>,
}

impl<E: fmt::Debug> fmt::Display for Halt<E> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.cause.fmt(f)
    }
}

impl<E: fmt::Debug> core::error::Error for Halt<E> {}

impl<E> Halt<E> {
    /// Halts at the step edges of `pulse`: axes before the one that failed have made their step.
    #[cold]
    pub(super) fn at_edges(cause: Cause<E>, pulse: &Pulse) -> Self {
        let steps = match &cause {
            Cause::Pin(error) => pulse.steps & !below(error.axis),
            Cause::NoOutput { .. } | Cause::Stopped => pulse.steps,
        };
        Self {
            cause,
            left_out: Some(Pulse { steps, ..*pulse }),
        }
    }
}

/// The mask of all axes before `axis`.
pub(super) fn below(axis: u8) -> u8 {
    // Past the last bit only from outputs that name an axis they were not asked for.
    1_u8.checked_shl(axis.into()).unwrap_or(0).wrapping_sub(1)
}
