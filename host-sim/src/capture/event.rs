//! What a capture of lines tells.

use super::pairs::Apart;

/// What is measured on the lines of a motor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Measure {
    /// Width of a pulse.
    Width,
    /// From the start of a step to that of the next.
    Period,
    /// From a change of direction to the next step.
    Setup,
    /// From a change of direction to the end of the pulse that it falls into.
    Hold,
}

/// What a capture tells, in the order of time (measures by what is known by then).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Event {
    /// A step of an axis: of its first motor.
    Step {
        time: i64,
        axis: usize,
        direction: i8,
    },
    /// A measure of a pulse, ps, where it is the worst so far or outside its limit. `step` is the
    /// number of the step of its axis, from 1.
    Measured {
        time: i64,
        axis: usize,
        step: u64,
        measure: Measure,
        value: i64,
    },
    /// The motors of an axis stand apart.
    Apart {
        axis: usize,
        step: u64,
        apart: Apart,
    },
}

/// Limits that a pulse is held against, ps, room included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Limits {
    pub width: i64,
    pub period: i64,
    pub setup: i64,
    pub hold: i64,
    /// A pulse shorter than this is no step.
    pub counts: i64,
    /// Motors of an axis may follow each other by so much.
    pub together: i64,
}

/// The stretch of the capture that is looked at, ps.
pub(crate) type Span = std::ops::RangeInclusive<i64>;
