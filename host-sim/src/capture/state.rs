//! How the lines of a motor stand.

use super::Level;
use super::wiring::Motor;
use crate::motion::AXES;

/// The lines of one motor.
pub(super) struct State {
    pub motor: Motor,
    /// Its number on its axis.
    pub number: usize,
    pub step: Level,
    pub direction: Level,
    pub rise: Option<i64>,
    pub turned: Option<i64>,
    /// When its last step began.
    pub last: Option<i64>,
    pub told: u64,
    /// When the direction changed while the pulse lasted.
    pub moved: Option<i64>,
    /// How long the step line was on in all.
    pub on: i64,
}

impl State {
    /// Before anything is known, and how many motors each axis has.
    pub fn all(motors: Vec<Motor>) -> (Vec<Self>, [usize; AXES]) {
        let mut count = [0; AXES];
        let states = motors
            .into_iter()
            .map(|motor| {
                let number = count[motor.axis];
                count[motor.axis] += 1;
                Self {
                    motor,
                    number,
                    step: Level::Unknown,
                    direction: Level::Unknown,
                    rise: None,
                    turned: None,
                    last: None,
                    told: 0,
                    moved: None,
                    on: 0,
                }
            })
            .collect();
        (states, count)
    }
}
