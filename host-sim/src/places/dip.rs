//! A dip of the speed under way: its low point, what it costs by reason, and how the path turns.

use super::heading::{Junction, Region};
use super::place::{Place, Stop, Turn};
use crate::motion::{AXES, MoveKind, Point, RestReason};
use crate::run::Reason;
use crate::trace::Slice;
use spokeshave::{Limit, LowPoint};

/// The low point.
#[derive(Clone, Copy, Debug)]
struct Low {
    speed_mm_s: f64,
    at: Point,
    time_s: f64,
    line: u32,
    kind: MoveKind,
    asked_mm_s: f64,
    low_point: LowPoint,
}

#[derive(Clone, Debug)]
pub(super) struct Dip {
    low: Low,
    /// Time lost by reason. There are few reasons.
    lost: Vec<(Reason, f64)>,
    /// First and last line.
    lines: [u32; 2],
    region: Option<Region>,
    /// The job begins here.
    first: bool,
    /// Full speed is reached right before or right after it.
    full_speed_beside: bool,
    /// What the program stops for at the low point.
    stop: Option<RestReason>,
}

impl Dip {
    pub fn of(slice: &Slice, lost_s: f64, first: bool) -> Self {
        let falls = slice.exit_mm_s <= slice.entry_mm_s;
        let (speed_mm_s, at, time_s) = if falls {
            let end_s = slice.start_s + slice.duration_s;
            (slice.exit_mm_s, slice.to, end_s)
        } else {
            (slice.entry_mm_s, slice.from, slice.start_s)
        };
        Self {
            low: Low {
                speed_mm_s,
                at,
                time_s,
                line: slice.line,
                // A slice at rest never comes here.
                kind: slice.kind.unwrap_or(MoveKind::Line),
                asked_mm_s: slice.asked_mm_s,
                low_point: slice.low_point,
            },
            lost: vec![((slice.limit, slice.low_point), lost_s)],
            lines: [slice.line; 2],
            region: None,
            first,
            full_speed_beside: false,
            stop: slice.stop.filter(|_| slice.exit_mm_s == 0.0),
        }
    }

    pub fn lowest_mm_s(&self) -> f64 {
        self.low.speed_mm_s
    }

    /// What the speed changes for at the low point.
    pub fn low_point(&self) -> LowPoint {
        self.low.low_point
    }

    pub fn is_for_slower_move(&self) -> bool {
        matches!(self.low.low_point, LowPoint::Feed | LowPoint::AxisSpeed(_))
    }

    pub fn turns(&mut self, junction: &Junction) {
        match &mut self.region {
            Some(region) => region.add(junction),
            None => self.region = Some(Region::of(junction)),
        }
    }

    /// Full speed is reached right before it, or right after.
    pub fn reaches_full_speed(&mut self) {
        self.full_speed_beside = true;
    }

    /// Takes in what follows.
    pub fn absorb(&mut self, next: Self) {
        if next.low.speed_mm_s < self.low.speed_mm_s {
            self.low = next.low;
        }
        for (reason, seconds) in next.lost {
            let is_same = |one: &&mut (Reason, f64)| is_same(one.0, reason);
            match self.lost.iter_mut().find(is_same) {
                Some((_, sum)) => *sum += seconds,
                None => self.lost.push((reason, seconds)),
            }
        }
        self.lines[1] = next.lines[1];
        self.region = match (self.region.take(), next.region) {
            (Some(region), Some(next)) => Some(region.join(next)),
            (one, other) => one.or(other),
        };
        self.first |= next.first;
        self.full_speed_beside |= next.full_speed_beside;
        self.stop = self.stop.or(next.stop);
    }

    /// The place, at the end of the job or not.
    pub fn place(&self, ends_job: bool) -> Place {
        let dearest = self.lost.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let reason = dearest.map_or((Limit::Feed, LowPoint::Stop), |(reason, _)| *reason);
        let of_limit = match reason.0 {
            Limit::AxisAcceleration(axis) | Limit::AxisSpeed(axis) => Some(usize::from(axis)),
            Limit::Feed | Limit::Rest => None,
        };
        let brakes = matches!(reason.0, Limit::AxisAcceleration(_));
        let (axis, turn) = match (reason.1, &self.region) {
            (LowPoint::Corner, Some(region)) if brakes => (region.axis, Some(region.sharpest())),
            (LowPoint::Bend, Some(region)) if brakes => (region.axis, Some(region.swing())),
            _ => (None, None),
        };
        let stops = brakes && reason.1 == LowPoint::Stop;
        let stop = match self.stop {
            _ if !stops => None,
            _ if self.first => Some(Stop::Start),
            Some(RestReason::End) => Some(Stop::End),
            Some(why) => Some(Stop::Rest(why)),
            None => ends_job.then_some(Stop::End),
        };
        Place {
            line: self.low.line,
            lines: self.lines,
            kind: self.low.kind,
            at: self.low.at,
            time_s: self.low.time_s,
            lowest_mm_s: self.low.speed_mm_s,
            asked_mm_s: self.low.asked_mm_s,
            lost_s: self.lost.iter().map(|(_, seconds)| seconds).sum(),
            reason,
            axis: axis.or(of_limit).filter(|axis| *axis < AXES),
            turn: turn.filter(|turn: &Turn| turn.degrees > 0.0),
            stop,
            full_speed_beside: self.full_speed_beside,
        }
    }
}

/// The speed changes for the same, whichever axis limits it; or the same holds it.
fn is_same(one: Reason, other: Reason) -> bool {
    match (one.0, other.0) {
        (Limit::AxisAcceleration(_), Limit::AxisAcceleration(_)) => one.1 == other.1,
        (one, other) => one == other,
    }
}
