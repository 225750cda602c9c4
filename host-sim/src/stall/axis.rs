//! One axis through a job: its least margin and its worst sudden change of speed.

use super::bend::Bend;
use super::corner::{Change, full_steps_per_s};
use super::found::{SpeedChange, StallMargin};
use super::remedy::{Asked, Remedy};
use super::stretch::{Stretch, Worst};
use crate::machine::Axis;
use crate::machine_file::WithParts;
use crate::motion::{AXIS_NAMES, MoveKind, Point};
use crate::parts::Driven;
use crate::summary::ByAxis;
use crate::trace::Slice;

/// Moments whose margins differ by less than this part are taken as equal, and the first one stands: the
/// planner's speeds are in single precision, and the last digit should not choose the place.
const EQUAL: f64 = 1e-6;

/// Where something happened.
#[derive(Clone, Copy, Debug)]
struct Place {
    line: u32,
    time_s: f64,
    position_mm: Point,
}

/// The least margin so far.
#[derive(Clone, Copy, Debug)]
struct Least {
    margin: f64,
    worst: Worst,
    stretch: Stretch,
    in_bend: bool,
    place: Place,
}

#[derive(Clone, Debug)]
pub(super) struct AxisWatch {
    axis: usize,
    driven: Driven,
    limits: Axis,
    bend: Bend,
    /// How many times the torque needed the motor must have.
    margin: f64,
    asked: Asked,
    /// Lines with less than that, and the last of them: lines come in their order.
    lines_below: u32,
    last_below: Option<u32>,
    least: Option<Least>,
    /// The worst sudden change of speed so far, with its weight.
    change: Option<(Change, f64, Place)>,
    /// Speed at the end of the last slice, mm/s, and whether it cuts.
    last: (f64, bool),
    /// The worst moment of the junction before the last slice.
    junction: Option<Worst>,
}

impl AxisWatch {
    /// Watches `axis`, if all of its parts are known.
    pub fn new(axis: usize, file: &WithParts) -> Option<Self> {
        Some(Self {
            axis,
            driven: file.driven(axis)?,
            limits: file.machine.axes[axis],
            bend: Bend::new(&file.machine, axis),
            margin: file.stall_margin,
            asked: Asked::default(),
            lines_below: 0,
            last_below: None,
            least: None,
            change: None,
            last: (0.0, false),
            junction: None,
        })
    }

    pub fn name(&self) -> char {
        AXIS_NAMES[self.axis]
    }

    pub fn driven(&self) -> &Driven {
        &self.driven
    }

    pub fn has_start_stop_rate(&self) -> bool {
        self.driven.motor().start_stop_rpm.is_some()
    }

    /// What the axis does in `slice`.
    pub fn stretch(&self, slice: &Slice) -> Stretch {
        let along = slice.direction[self.axis];
        let speeds = [slice.entry_mm_s, slice.exit_mm_s];
        Stretch {
            // No −0: an axis that stands has no direction.
            speeds_mm_s: speeds.map(|speed| along * speed + 0.0),
            acceleration_mm_s2: along * slice.acceleration_mm_s2(),
            cuts: matches!(slice.kind, Some(MoveKind::Line | MoveKind::Arc)),
        }
    }

    /// Takes in a slice; the least margin in it and at the junction before it.
    pub fn slice(&mut self, slice: &Slice) -> Option<f64> {
        let stretch = self.stretch(slice);
        let [entry, exit] = stretch.speeds_mm_s;
        let at_junction = self.junction(&stretch, slice);
        self.last = (exit, stretch.cuts);

        let worst = stretch.worst(self.driven());
        let part = (worst.speed_mm_s - entry) / (exit - entry);
        let along = self.judge(worst, stretch, false, place(slice, part));
        match (at_junction, along) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (one, other) => one.or(other),
        }
    }

    /// The worst moment of the junction before the last slice, where the speed changed there.
    pub fn last_junction(&self) -> Option<Worst> {
        self.junction
    }

    /// The junction before a slice: the least margin, on both of its sides.
    fn junction(&mut self, next: &Stretch, slice: &Slice) -> Option<f64> {
        self.junction = None;
        let (before, after) = (self.last, (next.speeds_mm_s[0], next.cuts));
        let place = place(slice, 0.0);
        let change = after.0 - before.0;
        self.changes([before.0, after.0], place);
        if change == 0.0 {
            return None;
        }
        let acceleration_mm_s2 = self.bend.change(slice.start_s, change);
        let sides = [before, after]
            .into_iter()
            .filter(|(speed, _)| *speed != 0.0);
        let mut least: Option<f64> = None;
        for (speed, cuts) in sides {
            let side = Stretch {
                speeds_mm_s: [speed; 2],
                acceleration_mm_s2,
                cuts,
            };
            let worst = side.worst(self.driven());
            let Some(margin) = self.judge(worst, side, true, place) else {
                continue;
            };
            if least.is_none_or(|least| margin < least) {
                least = Some(margin);
                self.junction = Some(worst);
            }
        }
        least
    }

    /// Takes in a moment, and keeps it if its margin is the least so far; its margin.
    fn judge(
        &mut self,
        worst: Worst,
        stretch: Stretch,
        in_bend: bool,
        place: Place,
    ) -> Option<f64> {
        self.asked.see(&stretch, worst.needed_nm);
        let margin = worst.margin()?;
        if margin < self.margin && self.last_below != Some(place.line) {
            self.lines_below += 1;
            self.last_below = Some(place.line);
        }
        let is_less = |least: Least| margin < least.margin * (1.0 - EQUAL);
        if self.least.is_none_or(is_less) {
            self.least = Some(Least {
                margin,
                worst,
                stretch,
                in_bend,
                place,
            });
        }
        Some(margin)
    }

    /// The speed changes at once.
    fn changes(&mut self, speeds_mm_s: [f64; 2], place: Place) {
        let change = Change { speeds_mm_s };
        if change.size_mm_s() == 0.0 {
            return;
        }
        let weight = change.weight(change.allowed_mm_s(self.driven()));
        let known = self.change.as_ref().map_or(0.0, |(_, known, _)| *known);
        if weight > known * (1.0 + EQUAL) {
            self.change = Some((change, weight, place));
        }
    }

    /// The least margin; none where nothing was asked of the motor.
    pub fn margin(&self) -> Option<StallMargin> {
        let Least {
            margin,
            worst,
            stretch,
            in_bend,
            place,
        } = self.least?;
        let driven = self.driven();
        let mut found = StallMargin {
            axis: self.name(),
            margin,
            pass: margin >= self.margin,
            lines_below: self.lines_below,
            estimate: driven.motor().is_estimate(),
            motors: driven.motor().count,
            line: place.line,
            time_s: place.time_s,
            position_mm: ByAxis::from(place.position_mm),
            speed_mm_s: worst.speed_mm_s,
            acceleration_mm_s2: stretch.acceleration_mm_s2,
            in_bend,
            with_cutting_force: worst.cut,
            motor_rpm: driven.motor_rpm(worst.speed_mm_s),
            needed_nm: worst.needed_nm,
            available_nm: worst.available_nm,
            remedy: None,
        };
        if !found.pass {
            let [lower, upper] = self.limits.travel_mm;
            let remedy = Remedy {
                axis: self.name(),
                driven,
                asked: self.asked,
                margin: self.margin,
                acceleration_limit_mm_s2: self.limits.acceleration_limit_mm_s2,
                travel_mm: upper - lower,
            };
            found.remedy = Some(remedy.words());
        }
        Some(found)
    }

    /// The worst sudden change of speed; none where there is none.
    pub fn speed_change(&self) -> Option<SpeedChange> {
        let (change, _, place) = self.change.as_ref()?;
        let driven = self.driven();
        let allowed = change.allowed_mm_s(driven);
        Some(SpeedChange {
            axis: self.name(),
            change_mm_s: change.size_mm_s(),
            change_steps_s: full_steps_per_s(driven, change.size_mm_s()),
            allowed_mm_s: allowed,
            allowed_steps_s: allowed.map(|allowed| full_steps_per_s(driven, allowed)),
            pass: allowed.is_none_or(|allowed| change.size_mm_s() <= allowed),
            before_mm_s: change.speeds_mm_s[0],
            after_mm_s: change.speeds_mm_s[1],
            line: place.line,
            time_s: place.time_s,
            position_mm: ByAxis::from(place.position_mm),
        })
    }
}

/// Where a slice is when `part` of its change of speed is made; its start where that is no number.
fn place(slice: &Slice, part: f64) -> Place {
    let part = if part.is_finite() { part } else { 0.0 };
    let (entry, exit) = (slice.entry_mm_s, slice.exit_mm_s);
    let mean = entry + exit;
    // Of the way: (v² − v₀²)/(v₁² − v₀²) with v = v₀ + part·(v₁ − v₀).
    let way = if mean > 0.0 {
        part * (2.0 * entry + part * (exit - entry)) / mean
    } else {
        0.0
    };
    let at = |i: usize| slice.from[i] + way * (slice.to[i] - slice.from[i]);
    Place {
        line: slice.line,
        time_s: slice.start_s + part * slice.duration_s,
        position_mm: std::array::from_fn(at),
    }
}
