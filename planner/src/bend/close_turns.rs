//! What turns close together may change the velocity by.
//!
//! A corner by itself is left to the corner rule: it changes the velocity by A·T at most, and a ramp
//! before or after it within the same T by as much again. Two corners within T must leave room for
//! those ramps too, and so must one that has several vertices.

use super::{Bends, Chord};
use crate::math::{least, most, sqrt};
use crate::vector::{change, square};

/// The change of velocity at two turns within T together, as a multiple of A·T: so much right after
/// each other, and more by the part of T that the way between them takes, in which the machine
/// speeds up and brakes again; at most [`PAIR`]. With the ramps around them that is 2.1 or less.
const CLOSE_PAIR: f32 = 1.05;
const PAIR: f32 = 1.6;

impl<const N: usize> Bends<N> {
    /// The most v² at a turn between two chords, whatever vertices it has: by the law for a stretch of
    /// no length. The corner rule knows the vertices alone, however close they lie.
    pub(super) fn one_turn(&self, old: &Chord<N>, new: &Chord<N>) -> f32 {
        let turned = change(&old.way, &new.way);
        let (share, _) = self.accelerations.share(&turned);
        // As below, without a way between.
        CLOSE_PAIR * CLOSE_PAIR * self.window / (share * sqrt(square(&turned)))
    }

    /// The most v² at the two newest turns, of which both may fall in one T: their change of velocity
    /// together is held to [`CLOSE_PAIR`] to [`PAIR`] of A·T, unless the way between takes T.
    pub(super) fn pair(&self) -> f32 {
        let newest = self.chords.len().saturating_sub(1);
        let chord = |back: usize| newest.checked_sub(back).and_then(|k| self.chords.get(k));
        let (Some(next), Some(between), Some(first)) = (chord(0), chord(1), chord(2)) else {
            return f32::INFINITY;
        };
        let turned = change(&first.way, &next.way);
        let (share, _) = self.accelerations.share(&turned);
        if between.from_rest || share <= 0.0 {
            return f32::INFINITY;
        }
        // A·|Δu| = |Δu|²/share, and T² = 8δ/A.
        let size = sqrt(square(&turned));
        let t = sqrt(self.window * share / size);
        let (along, _) = self.accelerations.share(&between.way);
        // The part of T that the way between takes at least from v to v: l = v·t + a·t²/4, where the
        // machine speeds up and brakes again.
        let part = |v: f32| {
            let reach = between.length / along;
            2.0 * between.length / (t * (v + sqrt(v * v + reach)))
        };
        // What changes the velocity by A·T. The way takes less of T at a speed that is too high, so
        // the speed that this leaves is none.
        let whole = t / share;
        let v = whole * least(CLOSE_PAIR + part(whole * PAIR), PAIR);
        let apart = most(between.length / t - 0.25 * t / along, 0.0);
        most(v * v, apart * apart)
    }
}
