//! The look-ahead: moves in, junction speeds out.

mod front;
mod overriding;

use crate::axis::Fault;
use crate::braking::BrakingQueue;
use crate::coordinate::Point;
use crate::corner::Corner;
use crate::course::{Arrival, Course};
use crate::junction::junction;
use crate::machine::Machine;
use crate::math::less;
use crate::moves::{AxisPair, MoveFacts, Queued, Straight};
use crate::pace::Pace;
use crate::plan_error::PlanError;
use crate::reason::{Limit, LowPoint};
use crate::speed_caps::SpeedCaps;
use crate::vector::{Limits, displacement, split};

/// Knows the speed of every junction of up to `Q` moves (2 to 16 384) of `N` axes: each move gets
/// the speed cap, the acceleration and the corner that the machine allows, and the front move may
/// end as fast as everything behind it can still be braked for. A move costs the same, however
/// many are queued.
///
/// The [`Planner`](crate::Planner) cuts what comes out into ramps; alone, this serves to see
/// profiles.
///
/// ```
/// use spokeshave::{Axis, Controller, Coordinate, LookAhead, Machine};
/// # let controller = Controller {
/// #     timer_hz: 1_000_000, pulse_width: 2e-6, pulse_period: 5e-6, direction_setup: 5e-6,
/// #     ramp_time: 0.01,
/// # };
/// # let axis = Axis { steps_per_mm: 80.0, speed_limit: 100.0, acceleration_limit: 500.0 };
/// let machine = Machine::new([axis], controller, 0.02)?;
/// let mut moves: LookAhead<1, 8> = LookAhead::new(&machine, [Coordinate::ZERO]);
/// for mm in [2.0, 3.0] {
///     moves.line([Coordinate::from_mm(mm).unwrap()], Some(90.0), 0)?;
/// }
/// // 2 mm to speed up, and 1 mm left to brake in: v² = 2·500·1.
/// let first = moves.take().unwrap();
/// assert_eq!(first.entry_v2, 0.0);
/// assert!((first.exit_v2 - 1000.0).abs() < 1e-3);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug)]
pub struct LookAhead<const N: usize, const Q: usize> {
    speeds: SpeedCaps<N>,
    accelerations: Limits<N>,
    deviation: f32,
    hz: f64,
    queue: BrakingQueue<Queued<N>, Q>,
    course: Course<N, Q>,
    pace: Pace,
    /// Where the last move ends, which way it goes, and what caps it,
    /// as v².
    tail: Point<N>,
    heading: Option<[f32; N]>,
    tail_cap: (f32, Limit),
    /// The program asks for rest where the queue ends.
    stops: bool,
    /// v² where the front move begins.
    entry_v2: f32,
}

#[cfg(feature = "defmt")]
impl<const N: usize, const Q: usize> defmt::Format for LookAhead<N, Q> {
    fn format(&self, f: defmt::Formatter<'_>) {
        defmt::write!(
            f,
            "LookAhead {{ queued: {}, to: {} }}",
            self.len(),
            self.tail
        );
    }
}

impl<const N: usize, const Q: usize> LookAhead<N, Q> {
    /// At rest at `start`, looking ahead over all of `Q` moves.
    pub fn new(machine: &Machine<N>, start: Point<N>) -> Self {
        let axes = machine.axes();
        let accelerations = Limits::new(&axes.map(|axis| axis.acceleration_limit));
        Self {
            speeds: SpeedCaps::new(axes),
            accelerations,
            deviation: machine.junction_deviation(),
            hz: machine.controller().timer_hz.into(),
            queue: BrakingQueue::new(),
            course: Course::new(accelerations, machine.junction_deviation(), start),
            pace: Pace::PROGRAMMED,
            tail: start,
            heading: None,
            tail_cap: (0.0, Limit::Rest),
            stops: true,
            entry_v2: 0.0,
        }
    }

    /// Looks ahead over `depth` moves from now on.
    ///
    /// # Errors
    /// [`PlanError::Depth`] where it is not 2 to `Q`.
    pub fn limit_depth(&mut self, depth: usize) -> Result<(), PlanError> {
        if self.queue.limit_depth(depth) {
            Ok(())
        } else {
            Err(PlanError::Depth)
        }
    }

    /// Plans by the corner rule alone from now on, for comparison: a curve of short chords is then
    /// taken at several times what the axes can turn with. For an empty queue.
    pub fn leave_out_bends(&mut self) {
        self.course.leave_out();
    }

    /// Where the last move that was pushed ends.
    pub fn end(&self) -> Point<N> {
        self.tail
    }

    /// Moves and rests in the queue.
    pub fn len(&self) -> usize {
        self.queue.len()
    }

    /// Nothing is queued.
    pub fn is_empty(&self) -> bool {
        self.queue.len() == 0
    }

    /// No move can be pushed before the front is taken out.
    pub fn is_full(&self) -> bool {
        self.queue.is_full()
    }

    /// Adds a straight move to `target` at `feed` (mm/s; `None` for a rapid), with a `tag` that
    /// comes back in its ramps. A move that goes nowhere is taken and leaves no trace: `None`.
    ///
    /// # Errors
    /// [`PlanError::Full`] and [`PlanError::Feed`]; nothing changes then.
    pub fn line(
        &mut self,
        target: Point<N>,
        feed: Option<f32>,
        tag: u32,
    ) -> Result<Option<MoveFacts>, PlanError> {
        SpeedCaps::<N>::check(feed).map_err(PlanError::Feed)?;
        if target == self.tail {
            return Ok(None);
        }
        if self.queue.is_full() {
            return Err(PlanError::Full);
        }
        let (length, heading) = split(&displacement(&self.tail, &target));
        let (fastest, speed_axis) = self.speeds.along(&heading, feed);
        let (share, axis) = self.accelerations.share(&heading);
        let acceleration = 1.0 / share;
        let mut corner = None;
        let corner_v2 = match &self.heading {
            Some(before) if !self.stops => {
                corner = Corner::between(&self.accelerations, self.deviation, before, &heading);
                corner.as_ref().map_or(f32::INFINITY, Corner::v2)
            }
            _ => 0.0,
        };
        if !less(0.0, corner_v2) {
            self.course.rest(&mut self.queue);
        }
        let mut straight = Straight {
            to: target,
            length,
            most: fastest,
            feed: feed.unwrap_or(f32::INFINITY),
            acceleration,
            axes: AxisPair::new(speed_axis, axis),
            tag,
            entry: 0.0,
            low: LowPoint::Stop,
            turn: corner_v2,
            turn_bends: false,
            bend: f32::INFINITY,
        };
        let (cap, cap_limit) = straight.cap(&self.pace);
        let cap2 = cap * cap;
        if !self.stops {
            (straight.entry, straight.low) = junction(corner_v2, self.tail_cap, (cap2, cap_limit));
        }
        let (entry, low, reach) = (straight.entry, straight.low, straight.reach());
        self.queue
            .push(Queued::Move(straight), entry, low, reach)
            .map_err(|_| PlanError::Full)?;
        let facts = Arrival {
            heading,
            corner,
            reach,
            // Mostly no override is prepared for.
            fastest2: if cap.to_bits() == fastest.to_bits() {
                cap2
            } else {
                fastest * fastest
            },
        };
        self.course.add(&mut self.queue, &straight, &facts);
        self.tail = target;
        self.heading = Some(heading);
        self.tail_cap = (cap2, cap_limit);
        self.stops = false;
        Ok(Some(MoveFacts {
            length,
            speed_cap: cap,
            cap_limit,
            acceleration,
            corner_v2,
        }))
    }

    /// Makes the machine come to rest at the end of the last move that was pushed.
    pub fn stop(&mut self) {
        self.stops = true;
        self.course.rest(&mut self.queue);
    }

    /// Makes the machine come to rest at the end of the last move and stay so for `seconds`.
    ///
    /// # Errors
    /// [`PlanError::Full`] and [`PlanError::Rest`]; nothing changes then.
    pub fn rest(&mut self, seconds: f32, tag: u32) -> Result<(), PlanError> {
        if seconds != 0.0
            && let Some(fault) = Fault::of(seconds.into(), 0.0, 100_000.0)
        {
            return Err(PlanError::Rest(fault));
        }
        // To the nearest tick: 0.7 s in single precision is a little less than 7/10.
        let ticks = (f64::from(seconds) * self.hz + 0.5) as u64;
        if ticks > 0 {
            return self.stand(Queued::Rest {
                ticks: ticks.into(),
                tag,
            });
        }
        self.stop();
        Ok(())
    }

    /// Makes the machine come to rest at the end of the last move and stay so until it is told to
    /// go on.
    pub(crate) fn wait(&mut self, tag: u32) -> Result<(), PlanError> {
        self.stand(Queued::Wait { tag })
    }

    fn stand(&mut self, rest: Queued<N>) -> Result<(), PlanError> {
        if self.queue.is_full() {
            return Err(PlanError::Full);
        }
        self.stop();
        self.queue
            .push(rest, 0.0, LowPoint::Stop, 0.0)
            .map_err(|_| PlanError::Full)?;
        self.course.add_rest();
        Ok(())
    }
}

#[cfg(test)]
mod tests;
