//! The modes that stay in force from line to line, and what the program starts with.

use super::fault::Span;
use crate::motion::{AXES, AXIS_NAMES, Point};

/// Motion modes (group 1).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Motion {
    Rapid,
    Line,
    Arc {
        clockwise: bool,
    },
    Cycle(Cycle),
    /// G80: no motion.
    Cancelled,
}

/// Canned cycles.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Cycle {
    /// G81.
    Drill,
    /// G82: with a dwell at the bottom.
    DrillDwell,
    /// G83: in steps.
    Peck,
}

impl Cycle {
    pub fn name(self) -> &'static str {
        match self {
            Self::Drill => "G81",
            Self::DrillDwell => "G82",
            Self::Peck => "G83",
        }
    }
}

/// The plane of arcs and canned cycles (group 2).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Plane {
    Xy,
    Zx,
    Yz,
}

impl Plane {
    /// First and second axis of the plane: a turn from the first to the second is
    /// counter-clockwise.
    pub fn axes(self) -> (usize, usize) {
        match self {
            Self::Xy => (0, 1),
            Self::Zx => (2, 0),
            Self::Yz => (1, 2),
        }
    }

    /// The axis square to the plane.
    pub fn normal(self) -> usize {
        let (first, second) = self.axes();
        AXES - first - second
    }

    pub fn name(self) -> &'static str {
        match self {
            Self::Xy => "G17",
            Self::Zx => "G18",
            Self::Yz => "G19",
        }
    }
}

/// Length units (group 6).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    Inch,
    Mm,
}

impl Unit {
    /// Millimetres in one unit. The inch is 25.4 mm exactly (international yard and pound
    /// agreement, 1959).
    pub fn mm(self) -> f64 {
        match self {
            Self::Inch => 25.4,
            Self::Mm => 1.0,
        }
    }

    pub fn name(self) -> &'static str {
        match self {
            Self::Inch => "inch",
            Self::Mm => "mm",
        }
    }
}

/// Distance modes (group 3).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Distance {
    Absolute,
    Incremental,
}

/// Feed modes (group 5).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum FeedMode {
    PerMinute,
    InverseTime,
}

/// Where canned cycles retract to (group 10).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Retract {
    /// G98: where the axis stood before the cycle.
    Initial,
    /// G99: the R plane.
    RPlane,
}

/// The feed in force.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Feed {
    /// mm/s, more than 0.
    Set(f64),
    NeverSet,
    /// Units changed on this line after it was set.
    UnitChanged(u32),
    /// Inverse time ended on this line.
    InverseTimeEnded(u32),
}

/// Numbers that a canned cycle keeps for the next line with the same cycle, as written: in mm, not
/// yet placed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Sticky {
    pub cycle: Cycle,
    pub plane: Plane,
    pub distance: Distance,
    pub r: f64,
    pub bottom: f64,
    /// P of G82, s.
    pub dwell: Option<f64>,
    /// Q of G83, mm.
    pub step: Option<f64>,
}

/// All modes.
#[derive(Clone, Debug)]
pub(super) struct Modes {
    pub motion: Motion,
    pub plane: Plane,
    pub unit: Unit,
    pub distance: Distance,
    pub feed_mode: FeedMode,
    pub feed: Feed,
    pub retract: Retract,
    /// Index of the work offset, 0 for G54.
    pub work_offset: usize,
    pub exact_stop: bool,
    /// The G92 offset in force, mm.
    pub shift: Point,
    /// The G92 offset that G92.2 keeps and G92.3 brings back, mm.
    pub saved_shift: Point,
    pub sticky: Option<Sticky>,
}

impl Default for Modes {
    fn default() -> Self {
        Self {
            motion: Motion::Cancelled,
            plane: Plane::Xy,
            unit: Unit::Mm,
            distance: Distance::Absolute,
            feed_mode: FeedMode::PerMinute,
            feed: Feed::NeverSet,
            retract: Retract::Initial,
            work_offset: 0,
            exact_stop: false,
            shift: [0.0; AXES],
            saved_shift: [0.0; AXES],
            sticky: None,
        }
    }
}

/// Upper-case letter of an axis, as programs write it.
pub(super) fn axis_letter(axis: usize) -> u8 {
    (AXIS_NAMES[axis] as u8).to_ascii_uppercase()
}

/// Places on a line that an error about a move can point at.
#[derive(Clone, Copy, Debug)]
pub(super) struct Places {
    /// The word of each axis, where the line has it.
    pub axes: [Option<Span>; AXES],
    /// The word that calls for the motion.
    pub motion: Span,
}

impl Places {
    pub fn axis(&self, axis: usize) -> Span {
        self.axes[axis].unwrap_or(self.motion)
    }
}
