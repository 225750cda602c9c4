//! What the main loop sees of a gantry with two motors, and what it is told to do.

use super::watch::Level;
use crate::coordinate::Point;

/// What the main loop sees of a gantry; the first motor's number comes first. Read the levels before
/// the contacts.
///
/// ```
/// use spokeshave::{Level, SidesSight};
/// let sight: SidesSight<3> = SidesSight {
///     at_rest: true,
///     levels: [Level::Open; 2],
///     contacts: [None; 2],
///     motors: [0; 2],
///     axes: [0; 3],
/// };
/// assert_eq!(sight.motors, [0, 0]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct SidesSight<const N: usize> {
    /// The machine stands: the planner gives no ramp, no train is queued, the generator is idle.
    pub at_rest: bool,
    /// What the inputs say.
    pub levels: [Level; 2],
    /// What [`Watch::read`](crate::Watch::read) returned for each side since it was last asked: the
    /// count of that side's motor.
    pub contacts: [Option<i32>; 2],
    /// The counts of the motors (`pins::Held::steps`), which matter at rest.
    pub motors: [i32; 2],
    /// The count of every axis ([`PulseGenerator::position`](crate::PulseGenerator::position)), which
    /// matters at rest.
    pub axes: [i32; N],
}

/// What the main loop does next with a gantry. It asks again when it has done so, as often as it
/// likes.
///
/// ```
/// use spokeshave::{Coordinate, SidesTask};
/// let task = SidesTask::Move { to: [Coordinate::ZERO], feed: 5.0, hold_back: [0, 3] };
/// assert_ne!(task, SidesTask::Wait);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum SidesTask<const N: usize> {
    /// Nothing: look again when there is something new.
    Wait,
    /// Arm both watches, then push this move and a stop. Both motors run.
    SeekEither {
        /// Where it ends at the latest.
        to: Point<N>,
        /// mm/s
        feed: f32,
    },
    /// Arm both watches, then push this move and a stop. Where a watch reports, the interrupt holds that
    /// side back at once, and lets the other go on by so many steps at most: `pins::Pair::stop`.
    SeekEach {
        /// Where it ends at the latest.
        to: Point<N>,
        /// mm/s
        feed: f32,
        /// Steps that one side may go alone.
        most_alone: u32,
    },
    /// Disarm both watches, let both sides run, each after so many steps that it is held back for
    /// (`pins::Pair::hold_for`), then push this move and a stop.
    Move {
        /// Where it ends.
        to: Point<N>,
        /// mm/s
        feed: f32,
        /// Steps of each side to hold back first.
        hold_back: [u32; 2],
    },
    /// Ask the planner to end ([`Request::End`](crate::Request::End)). Where it refuses that because the plan is
    /// at rest, nothing is left to do.
    End,
    /// Place planner, train maker and generator here.
    Place(Point<N>),
    /// It is over.
    Done,
}
