//! Stall margins in sentences.

use super::found::{SpeedChange, Stall, StallMargin};
use crate::terminal::figure;

/// What the check of the margin looks at: the axes that fail, or else the least margin.
pub(super) fn margins(stall: &Stall) -> String {
    let asked = figure(stall.asked);
    let mut failed: Vec<&StallMargin> = stall.margins.iter().filter(|one| !one.pass).collect();
    // The worst is the one that the check is named after.
    failed.sort_by(|a, b| a.margin.total_cmp(&b.margin));
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
        let more = match one.lines_below {
            0 | 1 => String::new(),
            2 => format!("; 1 more line of {} falls short", one.axis),
            lines => format!("; {} more lines of {} fall short", lines - 1, one.axis),
        };
        format!(
            "{}, where {asked} times is asked for{more}: {remedy}",
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

/// How many times the torque needed an estimate should have, so that twice it is left of a motor that is
/// weaker by a third (common practice, no source).
const OF_ESTIMATE: f64 = 3.0;

/// Which margins rest on an estimate, and what would be better.
pub(super) fn estimate(stall: &Stall) -> Option<String> {
    let of: Vec<String> = (stall.margins.iter())
        .filter(|found| found.estimate)
        .map(|found| found.axis.to_string())
        .collect();
    if of.is_empty() {
        return None;
    }
    let (rests, whose) = if of.len() == 1 {
        ("margin of", "its motor, which may be")
    } else {
        ("margins of", "their motors, which may be")
    };
    let verb = if of.len() == 1 { "rests" } else { "rest" };
    let more = if stall.asked < OF_ESTIMATE {
        format!(
            ", or ask for more of it, as with `stall_margin = {OF_ESTIMATE}` at the top of the file"
        )
    } else {
        String::new()
    };
    Some(format!(
        "ESTIMATE: the stall {rests} {} {verb} on an estimate from the ratings of {whose} weaker at speed, by \
         a third or more. Better give a torque_curve from the data sheet{more}.",
        of.join(", ")
    ))
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
