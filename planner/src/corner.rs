//! How fast two moves that meet may be joined.

use crate::math::{less, sqrt};
use crate::vector::{Limits, change, pairwise, square};

/// The most v² (mm²/s²) that the corner from direction `before` to direction `after` (unit
/// vectors) allows with the junction deviation `deviation`, mm; infinite for a straight join, 0
/// for a reversal.
///
/// A circle that touches both moves and passes the corner at the junction deviation δ has radius
/// R = δ·c(1+c)/s² for a turn φ, s = sin(φ/2), c = cos(φ/2); going round it at v takes the
/// acceleration v²/R (any mechanics text), along the direction in which the velocity changes.
/// s and c come from the difference w and the sum of the directions, so that neither a straight
/// join nor a reversal loses its digits, as 1 − cos φ would. With |w| = 2s and the acceleration
/// limit along w, A = |w|/share: v² = A·R = 4·δ·c(1+c)/(|w|·share).
pub(crate) fn corner<const N: usize>(
    accelerations: &Limits<N>,
    deviation: f32,
    before: &[f32; N],
    after: &[f32; N],
) -> f32 {
    let change = change(before, after);
    let width2 = square(&change);
    // Directions are right to 2⁻²³ or so: below that, nothing is known to turn, or to go on.
    const NOTHING: f32 = 4.0 * f32::EPSILON * f32::EPSILON;
    if less(width2, NOTHING) {
        return f32::INFINITY;
    }
    // (2c)²: up to 120°, no digits are lost by the difference either.
    let mut sum2 = 4.0 - width2;
    if less(sum2, 1.0) {
        sum2 = square(&pairwise(after, before, |after, before| after + before));
        if less(sum2, NOTHING) {
            return 0.0;
        }
    }
    let twice_c = sqrt(sum2);
    let (share, _) = accelerations.share(&change);
    deviation * twice_c * (2.0 + twice_c) / (sqrt(width2) * share)
}
