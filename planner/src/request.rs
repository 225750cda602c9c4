//! What an operator asks of a running job, and the states in which that can be asked.

use crate::axis::Fault;
use core::fmt;

/// Something that an operator asks for, at any moment of a job.
///
/// It acts on all that is not a ramp yet: see [`Planner::request`](crate::Planner::request).
///
/// | request | asked in | leads to |
/// |---|---|---|
/// | `Hold` | `AtRest`, `Moving` | `Holding`, then `Held` |
/// | `Resume` | `Holding`, `Held`, `Waiting` | `Moving` |
/// | `End` | `Moving`, `Holding`, `Held`, `Waiting`, `Jogging` | `Ending`, then `AtRest` |
/// | `FeedOverride`, `RapidOverride` | any but `InDoubt` | the same state |
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Request {
    /// Feed hold: brake along the path and stand there, with all that is left kept.
    Hold,
    /// Go on after a hold or a wait.
    Resume,
    /// Brake along the path, then forget all that is left.
    End,
    /// Run cutting moves at so many times their programmed feed, 0.1 to the headroom of
    /// [`Planner::prepare_override`](crate::Planner::prepare_override) and 2 at most. The limits of
    /// axes, corners and bends stay.
    FeedOverride(f32),
    /// Run rapids at so many times their speed, 0.1 to 1.
    RapidOverride(f32),
}

/// What the plan is doing. The machine follows it later by the ramps that are queued.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum State {
    /// Nothing is queued.
    AtRest,
    /// The program runs, or is about to.
    Moving,
    /// It brakes for a hold.
    Holding,
    /// It stands in the middle of the program.
    Held,
    /// It stands at a wait of the program, with this tag.
    Waiting(u32),
    /// A jog runs.
    Jogging,
    /// It brakes to forget what is left.
    Ending,
    /// It was cut short: where it stands is counted, but the motors may have lost steps.
    InDoubt,
}

impl State {
    /// What leads out of it.
    pub(crate) const fn way_out(self) -> &'static str {
        match self {
            Self::AtRest => "there is nothing to resume or to end",
            Self::Moving | Self::Jogging => "wait until it ends, or ask it to end",
            Self::Holding | Self::Held => "ask it to resume or to end",
            Self::Waiting(_) => "ask it to resume",
            Self::Ending => "take ramps until there are none",
            Self::InDoubt => "find out where it stands, and place it there",
        }
    }
}

impl fmt::Display for State {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::AtRest => "is at rest",
            Self::Moving => "moves",
            Self::Holding => "brakes for a hold",
            Self::Held => "is held",
            Self::Waiting(_) => "waits",
            Self::Jogging => "jogs",
            Self::Ending => "brakes to end",
            Self::InDoubt => "does not know its position for sure",
        })
    }
}

/// Why a request is refused. Nothing changed.
///
/// ```
/// use spokeshave::{Fault, RequestError, State};
/// let error = RequestError::State(State::Held);
/// assert_eq!(error.to_string(), "not while the machine is held; ask it to resume or to end");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum RequestError {
    /// Not in this state.
    State(State),
    /// The override is out of its range.
    Override(Fault),
    /// There are moves in the queue that were not prepared for it.
    Queued,
}

impl fmt::Display for RequestError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::State(state) => write!(f, "not while the machine {state}; {}", state.way_out()),
            Self::Override(fault) => write!(
                f,
                "the override {fault}; give 0.1 to the headroom for feeds, 0.1 to 1 for rapids"
            ),
            Self::Queued => f.write_str("moves are queued; prepare overrides before the first one"),
        }
    }
}

impl core::error::Error for RequestError {}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn a_refusal_tells_what_to_do() {
        for (state, told) in [
            (
                State::Moving,
                "not while the machine moves; wait until it ends, or ask it to end",
            ),
            (
                State::Waiting(3),
                "not while the machine waits; ask it to resume",
            ),
            (
                State::Ending,
                "not while the machine brakes to end; take ramps until there are none",
            ),
        ] {
            assert_eq!(RequestError::State(state).to_string(), told);
        }
    }
}
