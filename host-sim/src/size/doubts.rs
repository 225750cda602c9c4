//! Figures of a motor that are possible, but look like a slip of a digit or of a unit.

use crate::motor::{Motor, Torque};
use crate::setting::digits;

/// By what part a torque curve may rise before that is said. Chosen: pull-out curves have small dips and
/// rises where the motor resonates; none that is sound rises by a quarter (memory).
const RISE: f64 = 1.25;

/// Inertia of a stepper's rotor over its torque, kg·m² / N·m: from data sheets of 0.02 to 12 N·m 1e-5 to
/// 4e-5 (memory). Ten times less and more than that is said.
const INERTIA_FOR_TORQUE: [f64; 2] = [1e-6, 4e-4];

/// What looks odd about the motor of `axis`, in sentences.
pub(super) fn doubts(axis: char, motor: &Motor) -> Vec<String> {
    let curve = match &motor.torque {
        Torque::Curve(curve) => rise(curve.points()),
        Torque::Estimate(_) => None,
    };
    let curve = curve.map(|[low, high]| {
        format!(
            "{axis}: the torque curve rises from {} to {} N m, at {} and {} rpm: has a digit slipped? Torque \
             falls with the speed, but for small bumps.",
            digits(low.1),
            digits(high.1),
            digits(low.0),
            digits(high.0)
        )
    });
    let rotor = motor.rotor_inertia_kg_m2;
    let most = match &motor.torque {
        Torque::Curve(curve) => curve
            .points()
            .iter()
            .fold(0.0, |most: f64, at| most.max(at.1)),
        Torque::Estimate(estimate) => estimate.holding_torque_nm,
    };
    let [least, greatest] = INERTIA_FOR_TORQUE.map(|part| part * most);
    // An inertia of 0 is one that is not known.
    let odd = rotor > 0.0 && most > 0.0 && !(least..=greatest).contains(&rotor);
    let rotor = odd.then(|| {
        let g_cm2 = |inertia: f64| format!("{:.3}", 1e7 * inertia);
        let shown = |inertia: f64| digits(g_cm2(inertia).parse().unwrap_or(1e7 * inertia));
        format!(
            "{axis}: a rotor of {} g cm² in a motor of {} N m: has its unit or a digit slipped? Steppers of \
             such a torque have some {} to {} g cm².",
            shown(rotor),
            digits(most),
            shown(10.0 * least),
            shown(0.1 * greatest)
        )
    });
    curve.into_iter().chain(rotor).collect()
}

/// The lowest point, and the first after it that is too high beside it.
fn rise(points: &[(f64, f64)]) -> Option<[(f64, f64); 2]> {
    let mut low = *points.first()?;
    for point in points {
        if point.1 > RISE * low.1 {
            return Some([low, *point]);
        }
        if point.1 < low.1 {
            low = *point;
        }
    }
    None
}
