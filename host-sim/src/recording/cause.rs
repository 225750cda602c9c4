//! What binds the speed, in the few kinds that a picture can tell apart.

use crate::motion::{AXES, AXIS_NAMES};
use crate::trace::Slice;
use spokeshave::{Limit, LowPoint};

/// What the speed of the path is held by, or changes for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Cause {
    /// Steady at the programmed feed.
    Feed,
    /// Steady at the speed limit of an axis (0 to 2).
    AxisSpeed(usize),
    /// Steady at an override of the operator, or changing speed for one.
    Override,
    /// Slowing for a corner, or pulling away from it.
    Corner,
    /// Held by a bend of several moves, slowing for it, or pulling away from it.
    Bend,
    /// Slowing for a stop of the program, or pulling away from it.
    Stop,
    /// Slowing for a move with a lower feed or axis speed, or pulling away from it.
    SlowerMove,
    /// Slowing because the look-ahead knew no further move, or pulling away after that.
    QueueEnd,
    /// Slowing for a feed hold, held, or pulling away from it.
    Hold,
    /// At rest, as the program asks.
    Rest,
}

impl Cause {
    /// All causes, in the order of legends.
    pub const ALL: [Self; 9 + AXES] = [
        Self::Feed,
        Self::AxisSpeed(0),
        Self::AxisSpeed(1),
        Self::AxisSpeed(2),
        Self::Override,
        Self::Corner,
        Self::Bend,
        Self::Stop,
        Self::SlowerMove,
        Self::QueueEnd,
        Self::Hold,
        Self::Rest,
    ];

    /// What binds in `slice`.
    pub fn of(slice: &Slice) -> Self {
        if slice.overridden.is_some() {
            return Self::Override;
        }
        match (slice.limit, slice.low_point) {
            (Limit::Rest | Limit::AxisAcceleration(_), LowPoint::Hold) => Self::Hold,
            (Limit::Rest, LowPoint::QueueEnd) => Self::QueueEnd,
            (Limit::Rest, _) => Self::Rest,
            (Limit::Feed, _) => Self::Feed,
            // The host knows three axes, so no greater number comes here.
            (Limit::AxisSpeed(axis), _) => Self::AxisSpeed(usize::from(axis).min(AXES - 1)),
            (Limit::AxisAcceleration(_), LowPoint::Corner) => Self::Corner,
            (Limit::AxisAcceleration(_), LowPoint::Bend) => Self::Bend,
            (Limit::AxisAcceleration(_), LowPoint::Stop) => Self::Stop,
            (Limit::AxisAcceleration(_), LowPoint::QueueEnd) => Self::QueueEnd,
            (Limit::AxisAcceleration(_), LowPoint::Feed | LowPoint::AxisSpeed(_)) => {
                Self::SlowerMove
            }
        }
    }

    /// Its place in [`Self::ALL`].
    pub fn index(self) -> usize {
        match self {
            Self::Feed => 0,
            Self::AxisSpeed(axis) => 1 + axis,
            Self::Override => 1 + AXES,
            Self::Corner => 2 + AXES,
            Self::Bend => 3 + AXES,
            Self::Stop => 4 + AXES,
            Self::SlowerMove => 5 + AXES,
            Self::QueueEnd => 6 + AXES,
            Self::Hold => 7 + AXES,
            Self::Rest => 8 + AXES,
        }
    }

    /// Its name in legends and tables.
    pub fn name(self) -> String {
        match self {
            Self::Feed => "programmed feed".to_owned(),
            Self::AxisSpeed(axis) => format!("{} speed limit", AXIS_NAMES[axis]),
            Self::Override => "override".to_owned(),
            Self::Corner => "corner".to_owned(),
            Self::Bend => "bend".to_owned(),
            Self::Stop => "start or stop".to_owned(),
            Self::SlowerMove => "slower move".to_owned(),
            Self::QueueEnd => "end of look-ahead".to_owned(),
            Self::Hold => "feed hold".to_owned(),
            Self::Rest => "dwell".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_cause_stands_at_its_index() {
        for (index, cause) in Cause::ALL.into_iter().enumerate() {
            assert_eq!(cause.index(), index);
        }
    }
}
