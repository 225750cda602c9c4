//! How fast two moves that meet may be joined.

use crate::machine::Machine;
use crate::math::sqrt;
use crate::vector::{add_scaled, length, reach};

/// The most v² (mm²/s²) that the corner from direction `before` to direction `after` (unit
/// vectors) allows; infinite for a straight join, 0 for a reversal.
///
/// A circle that touches both moves and passes the corner at the junction deviation δ has radius
/// R = δ·c(1+c)/s² for a turn φ, s = sin(φ/2), c = cos(φ/2); going round it at v takes the
/// acceleration v²/R (any mechanics text), along n, the direction in which the velocity changes.
/// s and c come from the difference and the sum of the directions, so that neither a straight
/// join nor a reversal loses its digits, as 1 − cos φ would.
pub(crate) fn corner<const N: usize>(
    machine: &Machine<N>,
    before: &[f32; N],
    after: &[f32; N],
) -> f32 {
    let change = add_scaled(after, before, -1.0);
    let s = 0.5 * length(&change);
    // Directions are right to 2⁻²³ or so: below that, nothing is known to turn.
    if s < f32::EPSILON {
        return f32::INFINITY;
    }
    let c = 0.5 * length(&add_scaled(after, before, 1.0));
    let inverse = 0.5 / s;
    let normal: [f32; N] = core::array::from_fn(|i| change[i] * inverse);
    let (acceleration, _) = reach(&normal, |i| machine.axes()[i].acceleration_limit);
    acceleration * machine.junction_deviation() * c * (1.0 + c) / (s * s)
}

/// The most speed, mm/s, that the bound on v² stands for; `None` for no limit.
pub(crate) fn corner_speed(v2: f32) -> Option<f32> {
    v2.is_finite().then(|| sqrt(v2))
}
