//! Why a move, a rest or a depth is refused.

use crate::axis::Fault;
use crate::request::State;
use core::fmt;

/// Why a move was not taken. Nothing changed.
///
/// ```
/// use spokeshave::{Fault, PlanError};
/// let error = PlanError::Feed(Fault::Zero);
/// assert_eq!(error.to_string(), "the feed is zero; give 0.001 to 10000 mm/s");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum PlanError {
    /// The look-ahead queue is full: take ramps, then push again.
    Full,
    /// The feed is bad: give 0.001 to 10 000 mm/s, or none for a rapid.
    Feed(Fault),
    /// The depth to look ahead is bad: give 2 up to the capacity of the queue.
    Depth,
    /// The time to rest is bad: give 0 or more and at most 100 000 s.
    Rest(Fault),
    /// The move would take this axis (0 is the first) out of its travel: move the work, or change
    /// the move.
    Travel(u8),
    /// A jog while a button is held ends at the travel limits, which are not set.
    NoTravel,
    /// Not in this state: see [`State`] for what leads out of it.
    State(State),
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Full => f.write_str("the look-ahead queue is full; take ramps, then push again"),
            Self::Feed(fault) => write!(f, "the feed {fault}; give 0.001 to 10000 mm/s"),
            Self::Depth => f.write_str(
                "the depth to look ahead is out of range; give 2 up to the capacity of the queue",
            ),
            Self::Rest(fault) => write!(f, "the rest {fault}; give 0 to 100000 s"),
            Self::Travel(axis) => write!(
                f,
                "axis {axis} would leave its travel; move the work, or change the move"
            ),
            Self::NoTravel => f.write_str(
                "the way has no end without travel limits; set them, or jog to a position",
            ),
            Self::State(state) => write!(f, "not while the machine {state}; {}", state.way_out()),
        }
    }
}

impl core::error::Error for PlanError {}
