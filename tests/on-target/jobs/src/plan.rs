//! What a job can be fed to.

use crate::{AXES, LookAhead, Planner};
use spokeshave::{Machine, PlanError, Point};

/// Takes moves as long as it has room.
pub trait Plan {
    /// Where the last move that was pushed ends.
    fn end(&self) -> Point<AXES>;
    /// There is no room for a move.
    fn is_full(&self) -> bool;
    /// Adds a straight move.
    ///
    /// # Errors
    /// What is refused.
    fn line(&mut self, to: Point<AXES>, feed: Option<f32>, tag: u32) -> Result<(), PlanError>;
    /// Adds a rest of so many seconds.
    ///
    /// # Errors
    /// What is refused.
    fn rest(&mut self, seconds: f32, tag: u32) -> Result<(), PlanError>;
    /// Comes to rest at the end of the last move.
    fn stop(&mut self);
}

/// A plan that needs nothing but the machine and where it starts.
pub trait AtRest: Plan {
    /// At rest at `start`.
    fn at_rest(machine: Machine<AXES>, start: Point<AXES>) -> Self;
}

macro_rules! plan {
    ($of:ty, $new:expr) => {
        impl AtRest for $of {
            fn at_rest(machine: Machine<AXES>, start: Point<AXES>) -> Self {
                $new(machine, start)
            }
        }

        impl Plan for $of {
            fn end(&self) -> Point<AXES> {
                self.end()
            }
            fn is_full(&self) -> bool {
                self.is_full()
            }
            fn line(
                &mut self,
                to: Point<AXES>,
                feed: Option<f32>,
                tag: u32,
            ) -> Result<(), PlanError> {
                self.line(to, feed, tag).map(|_| ())
            }
            fn rest(&mut self, seconds: f32, tag: u32) -> Result<(), PlanError> {
                self.rest(seconds, tag)
            }
            fn stop(&mut self) {
                self.stop();
            }
        }
    };
}

plan!(Planner, Planner::new);
plan!(LookAhead, |machine, start| LookAhead::new(&machine, start));
