//! The checks of the lines themselves, at the precision of the capture: widths, periods, directions,
//! and motors that share an axis.
//!
//! The checker counts ticks of the controller's timer, which is too coarse here: of a period of
//! 4.96 µs it would see 5 ticks or 4. So these take the place of its `pulse period` and `direction
//! setup`, which together ask for the same: steps in opposite directions lie a pulse width and a set-up
//! time apart where pulses are wide enough, directions change after pulses, and stand before them.

use crate::capture::event::{Limits, Measure};
use crate::capture::{PS, seconds};
use crate::check::CheckResult;
use crate::machine::Controller;
use crate::motion::{AXES, AXIS_NAMES};

/// A pulse shorter than this part of the driver's pulse width is not counted as a step. A driver may
/// count it or not; half is chosen, for data sheets give the width with a reserve (common practice, no
/// source). Either way the pulse fails its check.
pub(super) const COUNTS: f64 = 0.5;

/// Where something was.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Place {
    time: i64,
    axis: usize,
    line: Option<u32>,
}

#[derive(Clone, Copy, Debug, Default)]
struct Found {
    worst: Option<(i64, Place)>,
    first: Option<Place>,
    faults: u64,
}

/// The checks under way.
pub(super) struct LineChecks {
    limits: Limits,
    room: String,
    width: Found,
    period: Found,
    setup: Found,
    hold: Found,
    /// Pulses that were not counted as steps.
    left_out: u64,
    /// The first time that motors stood apart, and the most steps.
    apart: Option<(Place, i64)>,
}

/// The limits in the time of the capture: a time in it may be `sample` too short, and is judged
/// `stretch` times as long.
pub(super) fn limits(controller: &Controller, stretch: f64, sample: f64) -> Limits {
    // A limit that comes out a hair above a whole picosecond must not round up.
    let least = |s: f64| ((s / stretch - sample) * PS - 1e-3).ceil().max(0.0) as i64;
    Limits {
        width: least(controller.pulse_width_s),
        period: least(controller.pulse_period_s),
        setup: least(controller.direction_setup_s),
        hold: (sample * PS).floor() as i64,
        counts: least(COUNTS * controller.pulse_width_s).max(1),
        together: (controller.pulse_period_s / stretch * PS).round() as i64,
    }
}

impl LineChecks {
    pub fn new(limits: Limits, stretch: f64, sample: f64) -> Self {
        let mut room = String::new();
        if stretch != 1.0 {
            room += &format!(" {:.0} ppm for the clocks", (stretch - 1.0) * 1e6);
        }
        if sample > 0.0 {
            let and = if room.is_empty() { "" } else { " and" };
            room += &format!(
                "{and} {:.3} µs for how finely times are known",
                sample * 1e6
            );
        }
        Self {
            limits,
            room: if room.is_empty() {
                String::new()
            } else {
                format!(" The limit has room of{room}.")
            },
            width: Found::default(),
            period: Found::default(),
            setup: Found::default(),
            hold: Found::default(),
            left_out: 0,
            apart: None,
        }
    }

    /// A measure of a pulse, ps.
    pub fn measured(
        &mut self,
        measure: Measure,
        value: i64,
        (time, axis, line): (i64, usize, Option<u32>),
    ) {
        let place = Place { time, axis, line };
        let limits = &self.limits;
        let (found, least, worse) = match measure {
            Measure::Width => (&mut self.width, limits.width, true),
            Measure::Period => (&mut self.period, limits.period, true),
            Measure::Setup => (&mut self.setup, limits.setup, true),
            Measure::Hold => (&mut self.hold, limits.hold, false),
        };
        let fault = if worse { value < least } else { value > least };
        let news = |before: i64| {
            if worse {
                value < before
            } else {
                value > before
            }
        };
        if found.worst.is_none_or(|(before, _)| news(before)) {
            found.worst = Some((value, place));
        }
        if fault {
            found.faults += 1;
            found.first.get_or_insert(place);
        }
        if measure == Measure::Width && value < limits.counts {
            self.left_out += 1;
        }
    }

    /// Motors of an axis stood apart by so many `steps`.
    pub fn apart(&mut self, steps: i64, (time, axis, line): (i64, usize, Option<u32>)) {
        let place = Place { time, axis, line };
        let (_, most) = self.apart.get_or_insert((place, 0));
        *most = steps.max(*most);
    }

    /// The results; `pairs` tells for each axis with several motors how far they stand apart at the
    /// end.
    pub fn results(&self, pairs: [Option<i64>; AXES]) -> Vec<CheckResult> {
        let mut width = self.one(
            "pulse width",
            &self.width,
            self.limits.width,
            "Shortest pulse of a step line; at least the driver's pulse width.",
        );
        if self.left_out > 0 {
            width.what += &format!(
                " Of these, {} shorter than {:.3} µs, half of the width, are not counted as steps; a \
                 driver may count them or not.",
                self.left_out,
                self.limits.counts as f64 * 1e6 / PS,
            );
        }
        let mut results = vec![
            width,
            self.one(
                "pulse period",
                &self.period,
                self.limits.period,
                "Shortest time from the start of a step of a motor to that of its next; at least the \
                 driver's minimum period.",
            ),
            self.one(
                "direction setup",
                &self.setup,
                self.limits.setup,
                "Shortest time from a change of a direction line to the next step of its motor; at \
                 least the driver's set-up time.",
            ),
            self.one(
                "direction hold",
                &self.hold,
                self.limits.hold,
                "How long before the end of a pulse the direction of its motor changed; at most not \
                 at all.",
            ),
        ];
        if pairs.iter().any(Option::is_some) {
            results.push(self.together(pairs));
        }
        results
    }

    fn one(&self, name: &'static str, found: &Found, limit: i64, what: &str) -> CheckResult {
        let mut what = format!("{what}{}", self.room);
        if let Some(first) = found.first {
            what += &format!(
                " {} outside the limit, the first {}.",
                found.faults,
                shown(first)
            );
        }
        let hold = name == "direction hold";
        // Nothing found where pulses were seen is a hold that was kept.
        let none = if hold && self.width.worst.is_some() {
            0.0
        } else {
            f64::NAN
        };
        let worst = found.worst.map_or(none, |(value, _)| value as f64 / PS);
        let place = found.worst.map(|(_, place)| place);
        result(
            name,
            what,
            (limit as f64 / PS, worst, "s"),
            place,
            found.faults == 0,
        )
    }

    fn together(&self, pairs: [Option<i64>; AXES]) -> CheckResult {
        let mut what = format!(
            "Motors of one axis step together: no more than {:.3} µs, the pulse period, after each \
             other. The largest number of steps that they stood apart for longer.",
            self.limits.together as f64 * 1e6 / PS
        );
        if let Some((first, _)) = self.apart {
            what += &format!(" The first time was {}.", shown(first));
            for (axis, end) in pairs.iter().enumerate() {
                if let Some(end) = end.filter(|end| *end > 0) {
                    what += &format!(
                        " At the end the motors of {} are {end} step{} apart.",
                        AXIS_NAMES[axis],
                        if end == 1 { "" } else { "s" }
                    );
                }
            }
        }
        let most = self.apart.map_or(0, |(_, most)| most);
        let place = self.apart.map(|(place, _)| place);
        let figures = (0.0, most as f64, "steps");
        result(
            "motors together",
            what,
            figures,
            place,
            self.apart.is_none(),
        )
    }
}

fn shown(place: Place) -> String {
    let axis = AXIS_NAMES[place.axis];
    let line = place
        .line
        .map_or(String::new(), |line| format!(", line {line}"));
    format!("{axis} at {}{line}", seconds(place.time))
}

fn result(
    name: &'static str,
    what: String,
    (limit, worst, unit): (f64, f64, &'static str),
    place: Option<Place>,
    pass: bool,
) -> CheckResult {
    CheckResult {
        name,
        what,
        limit,
        worst,
        unit,
        axis: place.map(|place| place.axis),
        line: place.and_then(|place| place.line),
        time_s: place.map(|place| place.time as f64 / PS),
        position: None,
        pass,
    }
}
