//! Why a place is slow, in a sentence for the one who stands at the machine.

use super::place::{Place, Stop};
use crate::machine::Machine;
use crate::motion::{AXIS_NAMES, RestReason};
use crate::terminal::figure;
use crate::trace::{Override, Reason};
use spokeshave::{Limit, LowPoint};

/// The reason of `place` on `machine`.
pub fn sentence(place: &Place, machine: &Machine) -> String {
    let lowest = figure(place.lowest_mm_s);
    let (limit, low_point) = match place.reason {
        Reason::Planned(limit, low_point) => (limit, low_point),
        Reason::Override(by) => return overridden(by),
    };
    match (limit, low_point) {
        (_, LowPoint::Hold) if place.stood_s > 0.0 => format!(
            "a feed hold was asked for, and the machine stood for {}",
            seconds(place.stood_s)
        ),
        (_, LowPoint::QueueEnd) if place.stood_s > 0.0 => format!(
            "the main loop stalled: all that was queued ran, and the machine stood for {} until moves came",
            seconds(place.stood_s)
        ),
        (Limit::Feed, _) => "the machine moves at the programmed feed".to_owned(),
        (Limit::Rest, _) => "the machine rests, as the program asks".to_owned(),
        (Limit::AxisSpeed(axis), _) => format!(
            "{}, so the moves cannot follow their feed",
            speed(usize::from(axis), machine)
        ),
        (Limit::AxisAcceleration(_), LowPoint::Corner) => corner(place, machine),
        (Limit::AxisAcceleration(_), LowPoint::Bend) => bend(place, machine),
        (Limit::AxisAcceleration(_), LowPoint::Stop) => stop(place, machine),
        (Limit::AxisAcceleration(_), LowPoint::QueueEnd) => format!(
            "the look-ahead of {} moves ends here, and the machine must be able to stop within what \
             it knows; a longer look_ahead, or fewer and longer moves, would help",
            machine.look_ahead
        ),
        (Limit::AxisAcceleration(_), LowPoint::Hold) => {
            format!("a feed hold was asked for; {}", change(place, machine))
        }
        (Limit::AxisAcceleration(_), LowPoint::Feed) => format!(
            "the program asks for a lower feed in the next move or the one before, {lowest} mm/s; {}",
            change(place, machine)
        ),
        (Limit::AxisAcceleration(_), LowPoint::AxisSpeed(axis)) => format!(
            "in the next move or the one before, {}; {}",
            speed(usize::from(axis), machine),
            change(place, machine)
        ),
    }
}

/// What an override does.
fn overridden(by: Override) -> String {
    let (what, whose) = match by {
        Override::Feed(_) => ("feed", "the moves keep to that part of their feed"),
        Override::Rapid(_) => ("rapid", "rapids keep to that part of their speed"),
    };
    let percent = figure_short(100.0 * by.part());
    format!("{what} override {percent} %: {whose}")
}

/// A time as a sentence has it.
fn seconds(seconds: f64) -> String {
    format!("{} s", figure_short((seconds * 1e3).round() / 1e3))
}

fn corner(place: &Place, machine: &Machine) -> String {
    let Some(turn) = place.turn else {
        return format!("the path has a corner; {}", change(place, machine));
    };
    let degrees = angle(turn.degrees);
    if place.lowest_mm_s == 0.0 {
        return format!(
            "the path turns {degrees} at once, so the machine must stop; {}",
            change(place, machine)
        );
    }
    format!(
        "the path turns {degrees} at once, and the junction deviation is {} mm; {}",
        figure_short(machine.junction_deviation_mm),
        change(place, machine)
    )
}

fn bend(place: &Place, machine: &Machine) -> String {
    let change = change(place, machine);
    match place.turn {
        None => format!("the path bends; {change}"),
        Some(turn) if turn.within_mm == 0.0 => {
            format!("the path turns {} at once; {change}", angle(turn.degrees))
        }
        Some(turn) => format!(
            "the path turns {} within {} mm; {change}",
            angle(turn.degrees),
            length(turn.within_mm)
        ),
    }
}

fn stop(place: &Place, machine: &Machine) -> String {
    let what = match place.stop {
        Some(Stop::Start) => "the job starts from rest",
        Some(Stop::End) => "the job ends at rest",
        Some(Stop::Rest(RestReason::Dwell)) => "the program asks for a dwell",
        Some(Stop::Rest(RestReason::OperatorStop)) => {
            "the program stops for the operator (M0 or M1)"
        }
        Some(Stop::Rest(RestReason::Spindle)) => {
            "the program stops to start or stop the spindle (M3 to M5)"
        }
        Some(Stop::Rest(RestReason::ToolChange)) => "the program stops to change the tool (M6)",
        Some(Stop::Rest(RestReason::ExactStop)) => "the program asks for an exact stop (G61.1)",
        Some(Stop::Rest(RestReason::End)) => "the program ends",
        None => "the program stops here",
    };
    format!("{what}; {}", change(place, machine))
}

/// What an axis can do.
fn change(place: &Place, machine: &Machine) -> String {
    match place.axis {
        Some(axis) => format!(
            "{} can change speed by at most {} mm/s²",
            AXIS_NAMES[axis],
            figure_short(machine.axes[axis].acceleration_limit_mm_s2)
        ),
        None => "the axes can change speed no faster".to_owned(),
    }
}

fn speed(axis: usize, machine: &Machine) -> String {
    match machine.axes.get(axis) {
        Some(limits) => format!(
            "{} is at its speed limit of {} mm/s",
            AXIS_NAMES[axis],
            figure(limits.speed_limit_mm_s)
        ),
        None => "an axis is at its speed limit".to_owned(),
    }
}

/// Degrees as people say them.
pub(crate) fn angle(degrees: f64) -> String {
    if degrees < 9.95 {
        format!("{degrees:.1}°")
    } else {
        format!("{degrees:.0}°")
    }
}

/// Millimetres, two digits that count.
pub(crate) fn length(mm: f64) -> String {
    match mm {
        _ if mm >= 9.95 => format!("{mm:.0}"),
        _ if mm >= 0.995 => format!("{mm:.1}"),
        _ if mm >= 0.0995 => format!("{mm:.2}"),
        _ => format!("{mm:.3}"),
    }
}

/// A setting as it is written, with no more digits than it has.
fn figure_short(value: f64) -> String {
    let text = format!("{value:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
