//! A dip of the speed under way: its low point, what it costs by reason, and how the path turns.

use super::heading::{Junction, Region};
use super::place::{Place, Stop, Turn};
use crate::motion::{AXES, MoveKind, Point, RestReason};
use crate::trace::{Reason, Slice};
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
    /// How long it stands there without being told to by the program, s.
    stood_s: f64,
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
                // Where it stands.
                kind: slice.kind.unwrap_or(MoveKind::Line),
                asked_mm_s: slice.asked_mm_s,
                low_point: slice.low_point,
            },
            lost: vec![(slice.reason(), lost_s)],
            lines: [slice.line; 2],
            region: None,
            first,
            full_speed_beside: false,
            stop: slice.stop.filter(|_| slice.exit_mm_s == 0.0),
            stood_s: if slice.is_standstill() { lost_s } else { 0.0 },
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
        self.stood_s += next.stood_s;
        self.full_speed_beside |= next.full_speed_beside;
        self.stop = self.stop.or(next.stop);
    }

    /// The place, at the end of the job or not.
    pub fn place(&self, ends_job: bool) -> Place {
        let dearest = self.lost.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let reason = dearest.map_or(Reason::Planned(Limit::Feed, LowPoint::Stop), |dearest| {
            dearest.0
        });
        let of_limit = match reason {
            Reason::Planned(Limit::AxisAcceleration(axis) | Limit::AxisSpeed(axis), _) => {
                Some(usize::from(axis))
            }
            _ => None,
        };
        // What it brakes for, if it does.
        let low_point = match reason {
            Reason::Planned(Limit::AxisAcceleration(_), low_point) => Some(low_point),
            _ => None,
        };
        let (axis, turn) = match (low_point, &self.region) {
            (Some(LowPoint::Corner), Some(region)) => (region.axis, Some(region.sharpest())),
            (Some(LowPoint::Bend), Some(region)) => (region.axis, Some(region.swing())),
            _ => (None, None),
        };
        let stops = low_point == Some(LowPoint::Stop);
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
            stood_s: self.stood_s,
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
    use Limit::AxisAcceleration;
    match (one, other) {
        (
            Reason::Planned(AxisAcceleration(_), one),
            Reason::Planned(AxisAcceleration(_), other),
        ) => one == other,
        (one, other) => one == other,
    }
}
