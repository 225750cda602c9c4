//! One axis: what its parts do, what its limits ask of them, and what they can give.

use super::ceilings::{
    Bound, Ceiling, of_buckling, of_torque, possible_acceleration, push_n, without_motor,
};
use super::limits::{Limits, choose};
use super::sentences;
use crate::machine_file::{Draft, DraftAxis};
use crate::motion::AXIS_NAMES;
use crate::motor::Torque;
use crate::parts::{Driven, Parts};
use serde::Serialize;

/// How many times the acceleration limit a corner may ask of an axis for an instant (docs/theory.md,
/// "What the checker proves").
pub const CORNER_FACTOR: f64 = 2.1;

/// Parts of a picture's curves, beside where they bend.
const POINTS: i32 = 200;

/// What was found of one axis. The names are those of the JSON; what needs a load or a motor that is
/// not given is left out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AxisSize {
    /// Its name.
    pub axis: char,
    /// The kind of its drive.
    pub drive: &'static str,
    /// The drive's size: diameter and lead, or pitch and teeth; and the ratio, where it is not 1.
    pub drive_size: String,
    /// Travel in a turn of the drive, mm.
    pub travel_per_turn_mm: f64,
    /// Turns of the motor for a turn of the drive.
    pub ratio: f64,
    /// Steps for 1 mm.
    pub steps_per_mm: f64,
    /// Part of the motor's work that reaches the load.
    pub efficiency: f64,
    /// Part of the load's work that reaches the motor; 0 or less locks itself.
    pub efficiency_back: f64,
    /// The most that each screw may be pushed with, N.
    pub most_push_n: Option<f64>,
    /// All that moves, kg.
    pub moving_mass_kg: Option<f64>,
    /// The motor.
    pub motor: Option<MotorSize>,
    /// Speeds that it may not pass.
    pub ceilings: Vec<Ceiling>,
    /// Speed limit of the file, mm/s.
    pub file_speed_mm_s: Option<f64>,
    /// Acceleration limit of the file, mm/s².
    pub file_acceleration_mm_s2: Option<f64>,
    /// The file's limits, and what goes with them where it gives none.
    pub limits: Option<Limits>,
    /// What the limits ask for, and what there is.
    pub demand: Option<Demand>,
    /// What the parts could give for the move that limits are chosen for, whatever the file says.
    pub chosen: Option<Limits>,
    /// The move that limits are chosen for, mm.
    pub stroke_mm: f64,
    /// How the file's limits ask for more than the parts can give, in sentences.
    pub faults: Vec<String>,
    /// What to mind, in sentences.
    pub cautions: Vec<String>,
    /// Torque against speed.
    pub curve: Vec<CurvePoint>,
}

/// A motor on its axis.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MotorSize {
    /// How many there are.
    pub count: u16,
    /// Whether the torque is an estimate.
    pub torque_is_estimate: bool,
    /// Inertia of the rotor of each, kg·m².
    pub rotor_inertia_kg_m2: f64,
    /// Inertia that each turns besides, at its shaft, kg·m².
    pub load_inertia_kg_m2: f64,
    /// Torque with which the load turns each without current, N·m.
    pub back_driving_torque_nm: f64,
}

/// What limits ask of each motor.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Demand {
    /// Speed of the motor at the speed limit, rpm.
    pub motor_rpm: f64,
    /// Torque needed at both limits, N·m.
    pub needed_nm: f64,
    /// Torque there is at that speed, N·m, without the safety factor.
    pub available_nm: f64,
    /// Torque needed there for the instant of a corner, N·m: at [`CORNER_FACTOR`] times the
    /// acceleration limit.
    pub corner_nm: f64,
    /// The most that each drive pushes with, N.
    pub push_n: f64,
}

/// A point of the curves.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CurvePoint {
    /// Speed, mm/s.
    pub speed_mm_s: f64,
    /// Torque that each motor has, N·m.
    pub available_nm: f64,
    /// Torque needed at a constant speed, N·m.
    pub steady_nm: f64,
    /// Torque needed at the acceleration limit, N·m.
    pub needed_nm: f64,
}

impl AxisSize {
    /// How fast the motor turns at `speed_mm_s`, rpm.
    pub fn rpm_at(&self, speed_mm_s: f64) -> f64 {
        60.0 * self.ratio * speed_mm_s / self.travel_per_turn_mm
    }
}

/// Sizes the axis `index` of `draft`; none where it has no drive.
pub(super) fn size(
    draft: &Draft,
    index: usize,
    safety: f64,
    stroke: Option<f64>,
    anew: bool,
) -> Option<AxisSize> {
    let parts = draft.parts[index].as_ref()?;
    let axis = &draft.axes[index];
    let (speed, acceleration) = file_limits(axis, anew);
    let [lower, upper] = axis.travel_mm;
    let stroke_mm = stroke.unwrap_or(0.1 * (upper - lower)).min(upper - lower);
    let (drive, drive_size) = sentences::drive(&parts.drive);
    let mut found = AxisSize {
        axis: AXIS_NAMES[index],
        drive,
        drive_size,
        travel_per_turn_mm: parts.drive.travel_per_turn_mm(),
        ratio: parts.drive.ratio,
        steps_per_mm: axis.steps_per_mm,
        efficiency: parts.drive.efficiency(),
        efficiency_back: parts.drive.efficiency_back(),
        most_push_n: parts.drive.most_push_n(),
        moving_mass_kg: parts.load.map(|load| load.moving_mass_kg),
        motor: None,
        ceilings: without_motor(parts, &draft.controller),
        file_speed_mm_s: speed,
        file_acceleration_mm_s2: acceleration,
        limits: None,
        demand: None,
        chosen: None,
        stroke_mm,
        faults: Vec::new(),
        cautions: Vec::new(),
        curve: Vec::new(),
    };
    if let Some(driven) = parts.driven() {
        with_motor(&mut found, &driven, draft, safety);
    }
    faults(&mut found, parts, safety);
    Some(found)
}

fn file_limits(axis: &DraftAxis, anew: bool) -> (Option<f64>, Option<f64>) {
    if anew {
        (None, None)
    } else {
        (axis.speed_limit_mm_s, axis.acceleration_limit_mm_s2)
    }
}

fn with_motor(found: &mut AxisSize, driven: &Driven, draft: &Draft, safety: f64) {
    let rotor = driven.motor().rotor_inertia_kg_m2;
    found.motor = Some(MotorSize {
        count: driven.motor().count,
        torque_is_estimate: driven.motor().is_estimate(),
        rotor_inertia_kg_m2: rotor,
        load_inertia_kg_m2: driven.inertia_kg_m2() - rotor,
        back_driving_torque_nm: driven.holding_torque().abs(),
    });
    found.ceilings.insert(0, of_torque(driven, safety));
    let file = (found.file_speed_mm_s, found.file_acceleration_mm_s2);
    let choose = |file| choose(driven, &found.ceilings, safety, found.stroke_mm, file);
    found.limits = choose(file);
    found.chosen = choose((None, None));
    if let Some(limits) = found.limits {
        found.demand = Some(demand(driven, &limits));
    }
    found.cautions = sentences::cautions(found, driven, draft.junction_deviation_mm);
    found.curve = curve(found, driven);
}

fn demand(driven: &Driven, limits: &Limits) -> Demand {
    let rpm = driven.motor_rpm(limits.speed_mm_s);
    Demand {
        motor_rpm: rpm,
        needed_nm: driven.worst_torque(limits.speed_mm_s, limits.acceleration_mm_s2),
        available_nm: driven.torque_available(rpm),
        corner_nm: driven
            .worst_torque(limits.speed_mm_s, CORNER_FACTOR * limits.acceleration_mm_s2),
        push_n: push_n(driven, limits.acceleration_mm_s2),
    }
}

/// Finds where the file's limits ask for more than there is.
fn faults(found: &mut AxisSize, parts: &Parts, safety: f64) {
    let mut faults = Vec::new();
    if let Some(speed) = found.file_speed_mm_s {
        for ceiling in &found.ceilings {
            // What the driver allows is seen to where the file is read.
            if speed > ceiling.speed_mm_s * (1.0 + 1e-9) {
                faults.push(sentences::too_fast(found, speed, ceiling, safety));
            }
        }
    }
    if let Some(driven) = parts.driven() {
        match found.limits {
            Some(limits) => faults.extend(too_much(found, &driven, &limits, safety)),
            // Too fast, it has no acceleration either: that is not the news.
            None if faults.is_empty() => faults.push(sentences::cannot_move(found, safety)),
            None => {}
        }
    }
    found.faults = faults;
}

/// What an acceleration limit asks too much of: the motor, the screw. The motor is asked at the fastest
/// that the axis may go.
fn too_much(
    found: &AxisSize,
    driven: &Driven,
    limits: &Limits,
    safety: f64,
) -> impl Iterator<Item = String> + use<> {
    let fastest = found
        .ceilings
        .iter()
        .filter(|ceiling| ceiling.bound != Bound::Torque)
        .map(|ceiling| ceiling.speed_mm_s)
        .fold(limits.speed_mm_s, f64::min);
    let by_torque = possible_acceleration(driven, fastest, safety);
    let by_screw = of_buckling(driven);
    let above = |most: f64| limits.acceleration_mm_s2 > most * (1.0 + 1e-9);
    let reached = Limits {
        speed_mm_s: fastest,
        ..*limits
    };
    // With no torque left for moving alone the speed is at fault, which is told already.
    let weak = by_torque > 0.0 && above(by_torque);
    let weak = weak.then(|| sentences::too_quick(found, driven, &reached, by_torque, safety));
    let thin = above(by_screw).then(|| sentences::buckles(found, limits, by_screw));
    weak.into_iter().chain(thin)
}

/// Curves as far as a picture shows them.
fn curve(found: &AxisSize, driven: &Driven) -> Vec<CurvePoint> {
    let limits = found.limits.or(found.chosen);
    let shown = limits.map_or(0.0, |limits| limits.speed_mm_s);
    let end = driven.drive().speed_mm_s(driven.motor().last_rpm());
    let last = if shown > 0.0 {
        end.min(3.0 * shown).max(1.1 * shown)
    } else {
        end
    };
    let acceleration = limits.map_or(0.0, |limits| limits.acceleration_mm_s2);
    curve_speeds(driven, last)
        .into_iter()
        .map(|speed| CurvePoint {
            speed_mm_s: speed,
            available_nm: driven.torque_available(driven.motor_rpm(speed)),
            // Just moving, at the first: at rest friction helps to hold.
            steady_nm: driven.worst_torque(speed.max(f64::MIN_POSITIVE), 0.0),
            needed_nm: driven.worst_torque(speed, acceleration),
        })
        .collect()
}

/// Speeds from 0 to `last`, mm/s: evenly apart, where a torque curve bends, and on both sides of where the
/// torque drops.
fn curve_speeds(driven: &Driven, last: f64) -> Vec<f64> {
    // Past the end of a curve by more than is taken for it (`TorqueCurve::at`), and by nothing to see.
    const BEYOND: f64 = 1.0 + 1e-5;
    let bends: Vec<f64> = match &driven.motor().torque {
        Torque::Curve(curve) => curve.points().iter().map(|point| point.0).collect(),
        Torque::Estimate(_) => Vec::new(),
    };
    let bends = bends.into_iter().map(|rpm| driven.drive().speed_mm_s(rpm));
    let end = driven.drive().speed_mm_s(driven.motor().last_rpm());
    let cut = driven.load().cutting_speed_mm_s;
    let drops = cut.into_iter().chain([end]);
    let drops = drops.flat_map(|speed| [speed, speed * BEYOND]);
    let even = (0..=POINTS).map(|point| last * f64::from(point) / f64::from(POINTS));
    let mut speeds: Vec<f64> = even.chain(bends).chain(drops).collect();
    speeds.retain(|speed| *speed <= last);
    speeds.sort_by(f64::total_cmp);
    speeds.dedup();
    speeds
}
