//! What a capture of lines tells.

pub use super::pairs::Apart;

/// What is measured on the lines of a motor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
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
pub enum Event {
    /// A step of an axis: of its first motor.
    Step {
        /// When its pulse begins, ps.
        time: i64,
        /// 0 for x.
        axis: usize,
        /// -1 or 1.
        direction: i8,
    },
    /// A measure of a pulse, where it is the worst so far or outside its limit.
    Measured {
        /// Where it was taken, ps.
        time: i64,
        /// 0 for x.
        axis: usize,
        /// The number of the step of its axis, from 1.
        step: u64,
        /// What was measured.
        measure: Measure,
        /// How much it is, ps.
        value: i64,
    },
    /// The motors of an axis stand apart.
    Apart {
        /// 0 for x.
        axis: usize,
        /// How many steps its first motor has made.
        step: u64,
        /// By how much, and since when.
        apart: Apart,
    },
}

/// Limits that a pulse is held against, ps, room included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Width of a pulse, at least.
    pub width: i64,
    /// From a step to the next, at least.
    pub period: i64,
    /// From a change of direction to the next step, at least.
    pub setup: i64,
    /// A direction may change so late in a pulse, before its end, at most.
    pub hold: i64,
    /// A pulse shorter than this is no step.
    pub counts: i64,
    /// Motors of an axis may follow each other by so much.
    pub together: i64,
}

/// The stretch of the capture that is looked at, ps.
pub type Span = std::ops::RangeInclusive<i64>;
