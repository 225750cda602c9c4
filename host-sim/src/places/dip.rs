//! A dip of the speed under way: its low point, what it costs by reason, and how the path turns.

use super::heading::{Junction, Region};
use super::place::{Place, Stop, Turn};
use crate::motion::{AXES, MoveKind, Point, RestReason};
use crate::output::wording::reason_name;
use crate::trace::Slice;
use spokeshave::{Limit, LowPoint};

/// The low point.
#[derive(Clone, Copy, Debug)]
struct Low {
    speed_mm_s: f64,
    at: Point,
    line: u32,
    kind: MoveKind,
    asked_mm_s: f64,
    low_point: LowPoint,
}

#[derive(Clone, Debug)]
pub(super) struct Dip {
    low: Low,
    /// Time lost by reason. There are few reasons.
    lost: Vec<((Limit, LowPoint), f64)>,
    region: Option<Region>,
    /// The job begins here.
    first: bool,
    /// The rest at the low point: its line and what it is for.
    rest: Option<(u32, Option<RestReason>)>,
}

impl Dip {
    pub fn of(slice: &Slice, lost_s: f64, first: bool) -> Self {
        let falls = slice.exit_mm_s <= slice.entry_mm_s;
        let (speed_mm_s, at) = if falls {
            (slice.exit_mm_s, slice.to)
        } else {
            (slice.entry_mm_s, slice.from)
        };
        Self {
            low: Low {
                speed_mm_s,
                at,
                line: slice.line,
                // A slice at rest never comes here.
                kind: slice.kind.unwrap_or(MoveKind::Line),
                asked_mm_s: slice.asked_mm_s,
                low_point: slice.low_point,
            },
            lost: vec![((slice.limit, slice.low_point), lost_s)],
            region: None,
            first,
            rest: None,
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
        matches!(
            self.low.low_point,
            LowPoint::Feed | LowPoint::AxisSpeed(_)
        )
    }

    pub fn rests(&mut self, line: u32, why: Option<RestReason>) {
        self.rest.get_or_insert((line, why));
    }

    pub fn turns(&mut self, junction: &Junction) {
        match &mut self.region {
            Some(region) => region.add(junction),
            None => self.region = Some(Region::of(junction)),
        }
    }

    /// Takes in what follows.
    pub fn absorb(&mut self, next: Self) {
        if next.low.speed_mm_s < self.low.speed_mm_s {
            self.low = next.low;
        }
        for (reason, seconds) in next.lost {
            let name = reason_name(reason.0, reason.1);
            let is_same = |one: &&mut ((Limit, LowPoint), f64)| reason_name(one.0.0, one.0.1) == name;
            match self.lost.iter_mut().find(is_same) {
                Some((_, sum)) => *sum += seconds,
                None => self.lost.push((reason, seconds)),
            }
        }
        self.region = match (self.region.take(), next.region) {
            (Some(region), Some(next)) => Some(region.join(next)),
            (one, other) => one.or(other),
        };
        self.first |= next.first;
        self.rest = self.rest.or(next.rest);
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
        let stop = match (reason.1, self.rest) {
            (LowPoint::Stop, _) if !brakes => None,
            (LowPoint::Stop, _) if self.first => Some(Stop::Start),
            (LowPoint::Stop, Some((_, why))) if !ends_job => Some(Stop::Rest(why)),
            (LowPoint::Stop, _) if ends_job => Some(Stop::End),
            (LowPoint::Stop, _) => Some(Stop::Rest(None)),
            _ => None,
        };
        let line = match (stop, self.rest) {
            (Some(Stop::Rest(_)), Some((line, _))) => line,
            _ => self.low.line,
        };
        Place {
            line,
            kind: self.low.kind,
            at: self.low.at,
            lowest_mm_s: self.low.speed_mm_s,
            asked_mm_s: self.low.asked_mm_s,
            lost_s: self.lost.iter().map(|(_, seconds)| seconds).sum(),
            reason,
            axis: axis.or(of_limit).filter(|axis| *axis < AXES),
            turn: turn.filter(|turn: &Turn| turn.degrees > 0.0),
            stop,
        }
    }
}
