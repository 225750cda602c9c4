//! What a driver makes of its two lines. It knows nothing of pulses: levels and times only.

use crate::board::Write;

/// A driver on two lines, which steps at the edge of its step line to `active`.
pub struct Driver {
    pub step: &'static str,
    pub direction: &'static str,
    pub active: bool,
    pub forward: bool,
}

/// A step that a driver took.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    pub at: u64,
    pub forward: bool,
    /// How long the pulse was; none where it never ended.
    pub width: Option<u64>,
    /// How long the direction had stood.
    pub setup: u64,
    /// How long the step line had been at rest since the pulse before.
    pub low: Option<u64>,
}

impl Driver {
    /// A driver that needs no inversion.
    pub fn plain(step: &'static str, direction: &'static str) -> Self {
        Self {
            step,
            direction,
            active: true,
            forward: true,
        }
    }

    /// The steps taken, from the writes of all pins. The step line starts at rest.
    pub fn steps(&self, writes: &[Write]) -> Vec<Step> {
        let mut steps: Vec<Step> = Vec::new();
        let (mut active, mut rest_since) = (false, None);
        let mut direction: Option<(bool, u64)> = None;
        for write in writes {
            if write.pin == self.direction {
                if direction.is_none_or(|(high, _)| high != write.high) {
                    assert!(!active, "{} changes in a pulse", self.direction);
                    direction = Some((write.high, write.at));
                }
            } else if write.pin == self.step {
                let to_active = write.high == self.active;
                match (active, to_active) {
                    (false, true) => {
                        let (high, since) = direction.expect("a direction before the first step");
                        steps.push(Step {
                            at: write.at,
                            forward: high == self.forward,
                            width: None,
                            setup: write.at - since,
                            low: rest_since.map(|since| write.at - since),
                        });
                    }
                    (true, false) => {
                        let last = steps.last_mut().unwrap();
                        last.width = Some(write.at - last.at);
                        rest_since = Some(write.at);
                    }
                    _ => {}
                }
                active = to_active;
            }
        }
        steps
    }
}
