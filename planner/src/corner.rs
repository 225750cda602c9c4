//! How fast two directions that meet may be joined.

use crate::math::{less, sqrt};
use crate::vector::{Change, Limits, pairwise, square};

/// Two directions that meet, in a turn φ.
///
/// A circle that touches both and passes the corner at the junction deviation δ has radius
/// R = δ·c(1+c)/s² for a turn φ, s = sin(φ/2), c = cos(φ/2); going round it at v takes the
/// acceleration v²/R (any mechanics text), along the direction in which the velocity changes.
/// s and c come from the difference w and the sum of the directions, so that neither a straight
/// join nor a reversal loses its digits, as 1 − cos φ would.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Corner<const N: usize> {
    /// w
    pub change: Change<N>,
    /// |w| = 2s
    pub width: f32,
    /// 2c
    twice_c: f32,
    /// δ·(2 + 2c), mm
    touch: f32,
    /// |w|·(the share of w in the limits of the axes): the acceleration limit along w is |w|/share.
    pub asked: f32,
}

/// Directions are right to 2⁻²³ or so: below twice that, squared, nothing is known to turn, or to go
/// on.
const NOTHING: f32 = 4.0 * f32::EPSILON * f32::EPSILON;

impl<const N: usize> Corner<N> {
    /// From the direction `before` to `after`, unit vectors, with the junction deviation `deviation`,
    /// mm; `None` where nothing turns.
    pub fn between(
        accelerations: &Limits<N>,
        deviation: f32,
        before: &[f32; N],
        after: &[f32; N],
    ) -> Option<Self> {
        let change = Change::between(before, after);
        if less(change.square, NOTHING) {
            return None;
        }
        // (2c)²: up to 120°, no digits are lost by the difference either.
        let mut sum2 = 4.0 - change.square;
        if less(sum2, 1.0) {
            sum2 = square(&pairwise(after, before, |after, before| after + before));
        }
        let width = sqrt(change.square);
        let twice_c = if less(sum2, NOTHING) { 0.0 } else { sqrt(sum2) };
        Some(Self {
            change,
            width,
            twice_c,
            touch: deviation * (2.0 + twice_c),
            asked: width * accelerations.share(&change.by).0,
        })
    }

    /// The most v² (mm²/s²) that the corner allows, with the acceleration limit along w, A:
    /// A·R = 4·δ·c(1+c)/(|w|·share); 0 for a reversal.
    pub fn v2(&self) -> f32 {
        self.touch * self.twice_c / self.asked
    }

    /// Twice sin φ.
    pub fn twice_sine(&self) -> f32 {
        self.width * self.twice_c
    }

    /// How far to each side of it the circle touches both directions: R·tan(φ/2) = δ·(1 + c)/s.
    pub fn spread(&self) -> f32 {
        self.touch / self.width
    }
}
