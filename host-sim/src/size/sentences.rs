//! What is said of an axis in sentences: its drive, what its limits ask too much of, what to mind.

use super::axis::{AxisSize, CORNER_FACTOR};
use super::ceilings::{Bound, Ceiling};
use super::doubts::doubts;
use super::limits::{Limits, rounded_down};
use crate::drive::{BUCKLING_PART, Drive, Mechanism, ScrewKind, WHIP_PART};
use crate::parts::Driven;
use crate::setting::digits;

/// A drive in words: its kind, and its size.
pub(super) fn drive(drive: &Drive) -> (&'static str, String) {
    let mm = |length: f64| digits(length);
    let of_teeth = |pitch: f64, teeth: u16| format!("{} mm × {teeth}", mm(pitch));
    let (kind, size) = match &drive.mechanism {
        Mechanism::Screw(screw) => {
            let kind = match screw.kind {
                ScrewKind::Lead => "lead screw",
                ScrewKind::Ball => "ball screw",
            };
            (
                kind,
                format!("{} × {} mm", mm(screw.diameter_mm), mm(screw.lead_mm)),
            )
        }
        Mechanism::Belt(belt) => ("belt", of_teeth(belt.pitch_mm, belt.teeth)),
        Mechanism::Rack(rack) => ("rack", of_teeth(rack.pitch_mm, rack.teeth)),
    };
    if drive.ratio == 1.0 {
        (kind, size)
    } else {
        (kind, format!("{size}, ratio {}", digits(drive.ratio)))
    }
}

/// A speed limit above a ceiling.
pub(super) fn too_fast(found: &AxisSize, speed: f64, ceiling: &Ceiling, safety: f64) -> String {
    let (axis, speed, most) = (
        found.axis,
        digits(speed),
        digits(rounded_down(ceiling.speed_mm_s)),
    );
    let why = match ceiling.bound {
        Bound::Torque => format!(
            "from {most} mm/s on the motor has less than {} times the torque that the axis needs to keep \
             moving",
            digits(safety)
        ),
        Bound::EndOfCurve => format!(
            "the torque curve ends at {most} mm/s, and nothing says what the motor has beyond"
        ),
        Bound::Whip => format!(
            "its screw may whip from {most} mm/s on, {} of its critical speed",
            digits(WHIP_PART)
        ),
        _ => format!("the steps come too fast from {most} mm/s on"),
    };
    format!("{axis}: the speed limit is {speed} mm/s, but {why}.")
}

/// An acceleration limit that the motor cannot give up to the speed limit.
pub(super) fn too_quick(
    found: &AxisSize,
    driven: &Driven,
    limits: &Limits,
    most: f64,
    safety: f64,
) -> String {
    let rpm = driven.motor_rpm(limits.speed_mm_s);
    let each = if driven.motor().count == 2 {
        "each motor"
    } else {
        "the motor"
    };
    format!(
        "{}: at {} mm/s with {} mm/s² {each} needs {:.3} N m, {:.3} N m with a safety factor of {}, \
         and has {:.3} N m{} at {:.0} rpm; up to that speed it can give {} mm/s².",
        found.axis,
        digits(limits.speed_mm_s),
        digits(limits.acceleration_mm_s2),
        driven.worst_torque(limits.speed_mm_s, limits.acceleration_mm_s2),
        safety * driven.worst_torque(limits.speed_mm_s, limits.acceleration_mm_s2),
        digits(safety),
        driven.torque_available(rpm),
        if driven.motor().is_estimate() {
            " (an estimate)"
        } else {
            ""
        },
        rpm,
        digits(rounded_down(most)),
    )
}

/// A screw that may buckle.
pub(super) fn buckles(found: &AxisSize, limits: &Limits, most: f64) -> String {
    let allowed = found.most_push_n.unwrap_or(0.0);
    let begin = format!(
        "{}: its screw may buckle: it may be pushed with {} N ({} of its Euler load), and with {} mm/s² it \
         is pushed harder",
        found.axis,
        digits(rounded_down(allowed)),
        digits(BUCKLING_PART),
        digits(limits.acceleration_mm_s2)
    );
    if most < 1.0 {
        format!("{begin}; friction, cutting and weight alone are too much.")
    } else {
        format!(
            "{begin}; {} mm/s² are the most.",
            digits(rounded_down(most))
        )
    }
}

/// An axis for which no limits can be found.
pub(super) fn cannot_move(found: &AxisSize, safety: f64) -> String {
    let (axis, safety) = (found.axis, digits(safety));
    match found.file_acceleration_mm_s2 {
        Some(limit) if found.chosen.is_some() => format!(
            "{axis}: the motor cannot give the acceleration limit of {} mm/s² with a safety factor of {safety} \
             at any speed.",
            digits(limit)
        ),
        _ => format!(
            "{axis}: the motor cannot move the axis with a safety factor of {safety}: friction, cutting, weight \
             or the push that the screw bears leave nothing to accelerate with. Take a stronger motor, a \
             smaller lead or pulley, or a lighter load."
        ),
    }
}

/// What to mind of an axis.
pub(super) fn cautions(found: &AxisSize, driven: &Driven, deviation_mm: f64) -> Vec<String> {
    let mut cautions = Vec::new();
    cautions.extend(falling(found, driven));
    cautions.extend(jump(found, driven, deviation_mm));
    cautions.extend(corner(found));
    if driven.motor().is_estimate() {
        cautions.push(format!(
            "{}: the torque of the motor is an estimate from its ratings, and real motors are weaker at \
             speed; a torque curve from the data sheet is better.",
            found.axis
        ));
    }
    cautions.extend(doubts(found.axis, driven.motor()));
    let (screw, push) = (driven.drive().screw(), driven.drive().most_push_n());
    if let (Some(screw), Some(_)) = (screw, push)
        && screw.length_mm < 25.0 * screw.root_diameter_mm
        && found.limits.is_some()
    {
        // Told only where it could matter: such a screw bears far more than a router pushes with.
        let near = found
            .demand
            .is_some_and(|of| of.push_n > 0.5 * push.unwrap_or(0.0));
        if near {
            cautions.push(format!(
                "{}: the screw is too stout for Euler's load, which is what is given here; its material \
                 may give way before.",
                found.axis
            ));
        }
    }
    cautions
}

/// Whether the load moves when the power goes off.
fn falling(found: &AxisSize, driven: &Driven) -> Option<String> {
    if driven.load().weight_n() == 0.0 {
        return None;
    }
    let axis = found.axis;
    let pull = driven.holding_torque().abs();
    if driven.drive().is_self_locking() {
        return Some(format!(
            "{axis}: the drive locks itself, so the load should stay where it is without power; vibration \
             can still walk it down."
        ));
    }
    if pull == 0.0 {
        return Some(format!(
            "{axis}: without power friction of the guides alone holds the load: do not trust it."
        ));
    }
    let (falls, against) = match driven.motor().detent_torque_nm {
        Some(detent) if pull < detent => (
            "may fall",
            format!("against a detent torque of {detent:.3} N m, which shaking overcomes"),
        ),
        Some(detent) => (
            "FALLS",
            format!("against a detent torque of {detent:.3} N m"),
        ),
        None => (
            "FALLS",
            "and the file gives no detent torque against it".into(),
        ),
    };
    let motor = if driven.motor().count == 2 {
        "each motor"
    } else {
        "the motor"
    };
    Some(format!(
        "{axis} {falls} when the power goes off, as it does at an emergency stop: its weight turns {motor} \
         with {pull:.3} N m, {against}. Fit a brake, a spring or a counterweight, and prop it before you work \
         under it."
    ))
}

/// Whether a corner at full speed asks for all of the torque that there is.
fn corner(found: &AxisSize) -> Option<String> {
    let demand = found.demand?;
    (demand.corner_nm > demand.available_nm).then(|| {
        format!(
            "{}: a corner may ask for {CORNER_FACTOR} times the acceleration limit for an instant \
             (docs/theory.md): {:.3} N m at full speed, of the {:.3} N m that there are. Test with corners, or \
             take less.",
            found.axis, demand.corner_nm, demand.available_nm
        )
    })
}

/// Whether corners ask for more at once than the motor can follow.
fn jump(found: &AxisSize, driven: &Driven, deviation_mm: f64) -> Option<String> {
    let bare = driven.motor().start_stop_rpm?;
    let limits = found.limits?;
    // The law of bends: a change of √(8·a·δ) at once (docs/theory.md).
    let change = (8.0 * limits.acceleration_mm_s2 * deviation_mm).sqrt();
    let rpm = driven.motor_rpm(change);
    // A motor starts with J times its rotor's inertia at 1/√J of the speed: the same energy. Common
    // practice, no source.
    let rotor = driven.motor().rotor_inertia_kg_m2;
    let loaded = bare * (rotor / driven.inertia_kg_m2()).sqrt();
    (rpm > loaded).then(|| {
        format!(
            "{}: a corner may change the speed by {} mm/s at once, {rpm:.0} rpm, and with its load the motor \
             starts and stops at {loaded:.0} rpm ({bare:.0} rpm bare): lower junction_deviation or the \
             acceleration limit.",
            found.axis,
            digits(change)
        )
    })
}
