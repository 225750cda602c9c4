//! What the path is made of: straight pieces, and legs of pieces in one direction.

use super::corner::Turn;
use super::rest::Stop;
use crate::motion::{AXES, Point};

/// How far the ends that the pulses were made from may lie from the program's, mm. The planner
/// keeps targets to 2^-17 mm, so 3.8e-6 mm is the truth; the rest is room for f64 sums.
pub(super) const POSITION_MM: f64 = 1e-5;

/// What lies at the start of a leg.
#[derive(Clone, Copy, Debug)]
pub(super) enum Junction {
    /// The machine rests here.
    Stop(Stop),
    /// The path turns.
    Turn(Turn),
}

/// A leg: pieces in one direction, between places where the path turns or stops.
#[derive(Clone, Copy, Debug)]
pub(super) struct Leg {
    /// Path length at its start, mm.
    pub s0: f64,
    /// The most that the path speed may change, mm/tick².
    pub accel: f64,
    /// What lies at its start.
    pub junction: Junction,
}

/// One straight piece of the path.
#[derive(Clone, Copy, Debug)]
pub(super) struct Segment {
    pub line: u32,
    /// Path length at its start and end, mm.
    pub s0: f64,
    pub s1: f64,
    pub from: Point,
    pub to: Point,
    /// Start, and direction, in steps of each axis.
    pub start: Point,
    pub slope: Point,
    /// Greatest slope, up or down, of each axis on what is passed shortly before.
    pub before: Point,
    /// Lowest and highest position of each axis there and at the start, mm.
    pub crest: [Point; 2],
    /// Unit direction.
    pub u: Point,
    /// 1/|u| of each axis; 0 for an axis that stands still.
    pub inverse: Point,
    /// How far the path may go on while the position of each axis is unknown, mm.
    pub doubt: Point,
    /// Time since the start of the path at the programmed feed, ticks; rapids take none.
    pub due0: f64,
    /// Ticks a mm at the programmed feed; 0 for a rapid.
    pub pace: f64,
    /// The most that the feed and the axes allow, mm/tick.
    pub cap: f64,
    /// The most that the path speed may change, mm/tick².
    pub accel: f64,
    /// Path length where its leg and its straight stretch start, mm.
    pub leg0: f64,
    pub straight0: f64,
    /// Number of its straight stretch, and the greatest `accel` of that so far: where an axis is much
    /// weaker than another, directions that are as good as one have limits far apart.
    pub straight: usize,
    pub straight_accel: f64,
    /// Largest difference of direction in the stretch so far, rad.
    pub turned: f64,
    /// The last of its leg; of its stretch.
    pub ends_leg: bool,
    pub ends_straight: bool,
    /// The machine rests at its start.
    pub after_stop: bool,
}

impl Segment {
    /// No piece: no axis moves on it, and it has no length.
    pub const NONE: Self = Self {
        line: 0,
        s0: 0.0,
        s1: 0.0,
        from: [0.0; AXES],
        to: [0.0; AXES],
        start: [0.0; AXES],
        slope: [0.0; AXES],
        before: [0.0; AXES],
        crest: [[0.0; AXES]; 2],
        u: [0.0; AXES],
        inverse: [0.0; AXES],
        doubt: [0.0; AXES],
        due0: 0.0,
        pace: 0.0,
        cap: 0.0,
        accel: 0.0,
        leg0: 0.0,
        straight0: 0.0,
        straight: 0,
        straight_accel: 0.0,
        turned: 0.0,
        ends_leg: false,
        ends_straight: false,
        after_stop: false,
    };
}
