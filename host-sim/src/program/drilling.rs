//! A canned cycle under way, one motion at a time, so that any number of repeats needs no memory.

use super::arcs::SAME_PLACE_MM;
use super::modal::Places;
use crate::motion::Point;

/// How far above the bottom of the last step G83 stops its rapid, mm: "backed off a bit"; 0.010 in
/// in the interpreter that NIST IR 6556 describes (from memory).
const BACK_OFF_MM: f64 = 0.254;

/// One motion of a cycle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Step {
    Rapid(Point),
    Feed(Point),
    /// Rest for so many seconds.
    Dwell(f64),
}

/// What comes next.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Stage {
    /// Up to R, once, where the axis stands below it.
    Raise,
    /// Across, to the place of the hole.
    Across,
    /// Down to R.
    ToR,
    /// Feed to the bottom, or one step towards it.
    Feed,
    Dwell,
    /// Out to where the cycle clears the work.
    Out,
    /// Back into the hole, to just above its last bottom.
    Back,
}

/// The holes of one line.
#[derive(Clone, Debug)]
pub(super) struct Holes {
    /// The axis that drills.
    pub drill: usize,
    /// Where the first hole is; its drilling axis has no meaning.
    pub first_hole: Point,
    /// From hole to hole.
    pub pitch: Point,
    /// How many, at least 1.
    pub count: u32,
    /// The R plane, on the drilling axis.
    pub r: f64,
    /// The bottom of the holes, not above R.
    pub bottom: f64,
    /// Where the cycle clears the work.
    pub clear: f64,
    /// Dwell at the bottom, s (G82).
    pub dwell: Option<f64>,
    /// Step from one retract to the next, more than 0 (G83).
    pub step: Option<f64>,
    pub places: Places,
}

/// A cycle under way.
#[derive(Clone, Debug)]
pub(super) struct Run {
    holes: Holes,
    hole: Point,
    holes_left: u32,
    /// Steps of this hole that are done, at least 1 once it is begun.
    steps_done: f64,
    stage: Stage,
}

impl Run {
    pub fn new(holes: Holes) -> Self {
        Self {
            hole: holes.first_hole,
            holes_left: holes.count,
            steps_done: 0.0,
            stage: Stage::Raise,
            holes,
        }
    }

    /// Where errors about its moves can point.
    pub fn places(&self) -> &Places {
        &self.holes.places
    }

    /// The next motion from `position`; some may end where they start. `None` when all holes are
    /// done.
    pub fn next_step(&mut self, position: &Point) -> Option<Step> {
        if self.holes_left == 0 {
            return None;
        }
        let drill = self.holes.drill;
        let along = |height: f64| {
            let mut to = *position;
            to[drill] = height;
            to
        };
        Some(match self.stage {
            Stage::Raise => {
                self.stage = Stage::Across;
                Step::Rapid(along(position[self.holes.drill].max(self.holes.r)))
            }
            Stage::Across => {
                self.stage = Stage::ToR;
                let mut to = self.hole;
                to[self.holes.drill] = position[self.holes.drill];
                Step::Rapid(to)
            }
            Stage::ToR => {
                self.stage = Stage::Feed;
                Step::Rapid(along(self.holes.r))
            }
            Stage::Feed => {
                self.steps_done += 1.0;
                self.stage = if self.holes.dwell.is_some() {
                    Stage::Dwell
                } else {
                    Stage::Out
                };
                Step::Feed(along(self.depth()))
            }
            Stage::Dwell => {
                self.stage = Stage::Out;
                Step::Dwell(self.holes.dwell.unwrap_or(0.0))
            }
            Stage::Out => {
                if self.depth() > self.holes.bottom {
                    self.stage = Stage::Back;
                } else {
                    self.next_hole();
                }
                Step::Rapid(along(self.holes.clear))
            }
            Stage::Back => {
                self.stage = Stage::Feed;
                Step::Rapid(along((self.depth() + BACK_OFF_MM).min(self.holes.r)))
            }
        })
    }

    /// How deep the steps done go. From R each time, so that nothing adds up.
    fn depth(&self) -> f64 {
        match self.holes.step {
            Some(step) => {
                let depth = self.holes.r - self.steps_done * step;
                // A rounding short of the bottom is the bottom: no step is left for it.
                if depth - self.holes.bottom < SAME_PLACE_MM {
                    self.holes.bottom
                } else {
                    depth
                }
            }
            None => self.holes.bottom,
        }
    }

    fn next_hole(&mut self) {
        self.holes_left -= 1;
        self.steps_done = 0.0;
        self.stage = Stage::Across;
        for (hole, pitch) in self.hole.iter_mut().zip(self.holes.pitch) {
            *hole += pitch;
        }
    }
}
