//! How the program has the spindle turn.

/// Speed and state of the spindle.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Spindle {
    /// The last S, 1/min.
    pub speed: f64,
    /// M3 or M4 came last, not M5 or M6 (which stops it: NIST IR 6556 §3.6.3, from memory).
    pub turns: bool,
}

impl Spindle {
    /// How fast it turns, 1/min; `None` where it stands still or nothing says how fast.
    pub fn rpm(self) -> Option<f64> {
        (self.turns && self.speed > 0.0).then_some(self.speed)
    }
}
