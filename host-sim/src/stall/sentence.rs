//! Stall margins in sentences, and what would mend those that are too small.

use super::found::{SpeedChange, Stall, StallMargin};
use super::stretch::Stretch;
use crate::parts::Driven;
use crate::setting::digits;
use crate::size::{halve, rounded_down};
use crate::terminal::figure;

/// What the check of the margin looks at: the axes that fail, or else the least margin.
pub(super) fn margins(stall: &Stall) -> String {
    let asked = figure(stall.asked);
    let failed: Vec<&StallMargin> = stall.margins.iter().filter(|one| !one.pass).collect();
    if failed.is_empty() {
        let what = format!(
            "torque that each motor has over torque that it must give, at every moment of the plan; {asked} \
             times as much is asked for"
        );
        return match stall.least() {
            Some(least) => format!("{what}; least is {}", moment(least)),
            None => what,
        };
    }
    let said = failed.into_iter().map(|one| {
        let remedy = one.remedy.as_deref().unwrap_or_default();
        format!(
            "{}, where {asked} times is asked for: {remedy}",
            moment(one)
        )
    });
    said.collect::<Vec<_>>().join("; ")
}

/// As in `line 12, at 3.204 s, x 1.000, y 2.000, z 0.000 mm: …`.
fn moment(found: &StallMargin) -> String {
    let [x, y, z] = found.position_mm.each();
    let who = if found.motors > 1 {
        format!("each of the {} motors of {}", found.motors, found.axis)
    } else {
        format!("the motor of {}", found.axis)
    };
    let estimate = if found.estimate {
        ", by an estimate from its ratings,"
    } else {
        ""
    };
    format!(
        "line {}, at {:.3} s, x {x:.3}, y {y:.3}, z {z:.3} mm, {}: {who} must give {} N·m and \
         has{estimate} {} N·m at {} rpm, {} times as much",
        found.line,
        found.time_s,
        motion(found),
        figure(found.needed_nm),
        figure(found.available_nm),
        figure(found.motor_rpm.abs()),
        figure(found.margin),
    )
}

fn motion(found: &StallMargin) -> String {
    let (speed, acceleration) = (found.speed_mm_s, found.acceleration_mm_s2);
    let cut = if found.with_cutting_force {
        " against the cutting force"
    } else {
        ""
    };
    if speed == 0.0 && acceleration == 0.0 {
        return format!("standing{cut}");
    }
    let turning = if found.in_bend { "in a bend, " } else { "" };
    let change = match acceleration * speed {
        _ if acceleration == 0.0 => String::new(),
        product if product < 0.0 => format!(", braking with {} mm/s²", figure(acceleration.abs())),
        _ => format!(
            ", gathering speed with {} mm/s²",
            figure(acceleration.abs())
        ),
    };
    format!(
        "{turning}moving at {} mm/s{change}{cut}",
        figure(speed.abs())
    )
}

/// What would give the motor what is `asked` for at the moment that was `found` in `stretch`.
pub(super) fn remedy(driven: &Driven, found: &StallMargin, stretch: Stretch, asked: f64) -> String {
    let axis = found.axis;
    let mut ways = Vec::new();
    if let Some(most) = enough_acceleration(driven, found, stretch, asked) {
        ways.push(format!(
            "an acceleration_limit of {axis} of {most} mm/s² or less"
        ));
    }
    if let Some(most) = enough_speed(driven, found, asked) {
        ways.push(format!("moving {axis} at {most} mm/s or less there"));
    }
    if ways.is_empty() {
        "no acceleration and no speed is low enough; it takes less load or friction, a lower cutting \
         force, another ratio or a stronger motor"
            .into()
    } else {
        format!("{} would do", ways.join(", or "))
    }
}

/// The highest acceleration with which the motor has enough at that speed, mm/s², rounded down: in all
/// directions and cutting, where there is such a one, or else in this stretch.
fn enough_acceleration(
    driven: &Driven,
    found: &StallMargin,
    stretch: Stretch,
    asked: f64,
) -> Option<String> {
    let now = found.acceleration_mm_s2.abs();
    let anywhere = driven.acceleration_at(found.speed_mm_s.abs(), asked);
    if 0.0 < anywhere && anywhere < now {
        return Some(digits(rounded_down(anywhere)));
    }
    let enough = |part: f64| {
        let stretch = Stretch {
            acceleration_mm_s2: part * found.acceleration_mm_s2,
            ..stretch
        };
        stretch.worst(driven).needed_nm * asked <= found.available_nm
    };
    most(now, enough)
}

/// The highest speed up to which the motor has enough for what it must give now, mm/s, rounded down.
fn enough_speed(driven: &Driven, found: &StallMargin, asked: f64) -> Option<String> {
    let enough = |part: f64| {
        let stretch = Stretch {
            speeds_mm_s: [0.0, part * found.speed_mm_s.abs()],
            acceleration_mm_s2: 0.0,
            cuts: false,
        };
        stretch.worst(driven).available_nm >= found.needed_nm * asked
    };
    most(found.speed_mm_s.abs(), enough)
}

/// `now` times the greatest part of it, 0 to 1, that is `enough`, rounded down; none where no part is, or
/// next to none.
fn most(now: f64, enough: impl Fn(f64) -> bool) -> Option<String> {
    let part = if enough(0.0) { halve(1.0, enough) } else { 0.0 };
    let most = now * part;
    (most >= 1e-3).then(|| digits(rounded_down(most)))
}

/// What the check of sudden changes of speed looks at: the axes that fail, or else all that are judged.
pub(super) fn changes(stall: &Stall) -> String {
    let judged = stall
        .speed_changes
        .iter()
        .filter(|one| one.allowed_steps_s.is_some());
    let failed: Vec<&SpeedChange> = judged.clone().filter(|one| !one.pass).collect();
    if failed.is_empty() {
        let said: Vec<String> = judged.map(change).collect();
        return said.join("; ");
    }
    let said = failed.into_iter().map(|one| {
        let part = one.allowed_mm_s.unwrap_or(0.0) / one.change_mm_s;
        format!(
            "{}: a junction_deviation of {:.1} % of what it is would do (the speed of a corner goes with its \
             root), or a lower feed there",
            change(one),
            (1e3 * part * part).floor() / 10.0
        )
    });
    said.collect::<Vec<_>>().join("; ")
}

/// As in `line 7, at 1.250 s, …: x changes from 10 to 0 mm/s at once, …`.
fn change(one: &SpeedChange) -> String {
    let [x, y, z] = one.position_mm.each();
    format!(
        "line {}, at {:.3} s, x {x:.3}, y {y:.3}, z {z:.3} mm: {} changes from {} to {} mm/s at once, {} full \
         steps/s of its motor, which follows {} with its load there, by its start_stop_rate",
        one.line,
        one.time_s,
        one.axis,
        figure(one.before_mm_s),
        figure(one.after_mm_s),
        figure(one.change_steps_s),
        figure(one.allowed_steps_s.unwrap_or(0.0)),
    )
}
