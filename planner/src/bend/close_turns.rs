//! What turns close together may change the velocity by.
//!
//! A corner by itself is left to the corner rule: it changes the velocity by A·T at most, and a ramp
//! before or after it within the same T by as much again. Two corners within T must leave room for
//! those ramps too, and so must one that has several vertices.

use super::{Bends, Chord};
use crate::corner::Corner;
use crate::math::{halved, least, less, most, sqrt};
use crate::vector::{Change, Limits};

/// The change of velocity at two turns within T together, as a multiple of A·T: so much right after
/// each other, and more by the part of T that the way between them takes, in which the machine
/// speeds up and brakes again; at most [`PAIR`]. With the ramps around them that is 2.1 or less.
const CLOSE_PAIR: f32 = 1.05;
const PAIR: f32 = 1.6;

/// Half of the length of a chord on which speeding up and braking within a T come to nothing: A·T²/4,
/// at most, with T² = 8δ/A at least for the weakest axis, and A along all axes together.
pub(super) fn swing<const N: usize>(accelerations: &Limits<N>, window: f32) -> f32 {
    0.25 * window * accelerations.ratio()
}

impl<const N: usize> Bends<N> {
    /// The most v² at a turn between two chords, whatever vertices it has: by the law for a stretch of
    /// no length. The corner rule knows the vertices alone, however close they lie.
    pub(super) fn one_turn(&self, corner: &Corner<N>) -> f32 {
        // As below, without a way between.
        CLOSE_PAIR * CLOSE_PAIR * self.window / corner.asked
    }

    /// The most v² at a turn at one end of a chord that has rest at its other end.
    ///
    /// The path may turn back there, and what comes within the same T is not known on the other side of a
    /// rest: to each side of it, half of what two turns may change.
    pub(super) fn beside_rest(&self, chord: &Chord<N>, corner: &Corner<N>) -> f32 {
        let length = chord.length;
        let apart = less(self.swing, length) && less(self.long2, length * length);
        if apart || self.is_slight(&corner.change) {
            f32::INFINITY
        } else {
            halved(self.one_turn(corner), 2)
        }
    }

    /// The way between two turns takes T and more at any speed.
    pub(super) fn are_apart(&self, between: &Chord<N>) -> bool {
        let half = halved(between.length, 1);
        less(self.swing, half) && less(self.long2, half * half)
    }

    /// A change that can be made at once at any speed: with A·T = √(A·8δ), and A no less than that of
    /// the weakest axis.
    pub(super) fn is_slight(&self, turn: &Change<N>) -> bool {
        !less(self.window2, self.long2 * turn.square)
    }

    /// The most v² at the two newest turns, of which both may fall in one T, and which together make
    /// this change: their change of velocity together is held to [`CLOSE_PAIR`] to [`PAIR`] of A·T,
    /// unless the way between takes T.
    pub(super) fn pair(&self, turn: &Change<N>, between: &Chord<N>) -> f32 {
        if self.is_slight(turn) {
            return f32::INFINITY;
        }
        let length = between.length;
        let (share, _) = self.accelerations.share(&turn.by);
        if !less(0.0, share) {
            return f32::INFINITY;
        }
        // A·|Δu| = |Δu|²/share, and T² = 8δ/A.
        let t = sqrt(self.window * share / sqrt(turn.square));
        let (along, _) = self.accelerations.share(&between.way);
        // The part of T that the way between takes at least from v to v: l = v·t + a·t²/4, where the
        // machine speeds up and brakes again.
        let part = |v: f32| {
            let reach = length / along;
            (length + length) / (t * (v + sqrt(v * v + reach)))
        };
        // What changes the velocity by A·T. The way takes less of T at a speed that is too high, so
        // the speed that this leaves is none.
        let whole = t / share;
        let v = whole * least(CLOSE_PAIR + part(whole * PAIR), PAIR);
        let apart = most(length / t - 0.25 * t / along, 0.0);
        most(v * v, apart * apart)
    }
}
