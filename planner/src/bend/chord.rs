//! Chords, and the turns between them.

use crate::brake_map::BrakeMap;
use crate::math::sqrt;
use crate::vector::{Limits, square};

/// How far past its limit turning and changing speed together may take an axis. With nothing, the
/// machine could not slow within a bend at all where both ask for the same axis.
const BOTH: f32 = 0.95;

/// The least part of the acceleration that a bend leaves: it is no limit of speed.
const LEFT: f32 = 0.03;

/// Moves that thinning made one.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Chord<const N: usize> {
    /// Direction, from end to end.
    pub way: [f32; N],
    /// Along the path, mm.
    pub length: f32,
    /// How many.
    pub moves: u32,
    /// The path begins here, from rest.
    pub from_rest: bool,
    /// The most that feed and axes allow on any of the moves, as v².
    pub fastest: f32,
    /// Braking over the chord, its bends left out.
    pub braking: BrakeMap,
    /// The turn at its start.
    pub turn: Turn<N>,
}

impl<const N: usize> Chord<N> {
    /// How much of it, from its start and to its end, belongs to the turns there: as far as they
    /// spread, or all of it where they leave no more than two thirds between, as on a curve that
    /// was cut unevenly.
    pub fn zones(&self, end: &Turn<N>) -> (f32, f32) {
        let (at_start, at_end) = (self.turn.spread, end.spread);
        let both = at_start + at_end;
        if self.turn.lone || end.lone || self.length > 3.0 * both {
            return (at_start, at_end);
        }
        let part = self.length / both;
        (at_start * part, at_end * part)
    }

    /// How much the turn at its start and the one at its end take of the acceleration along it, per
    /// v².
    ///
    /// Where the turn asks for a part r·v² of an axis and full acceleration along the chord for a
    /// part p, acceleration is reduced to the part 1 − s·v², with s the least that keeps
    /// p·(1 − s·v²) + r·v² within [`BOTH`] up to the highest speed.
    pub fn shares(&self, accelerations: &Limits<N>, end: &Turn<N>) -> (f32, f32) {
        let (most, _) = accelerations.share(&self.way);
        let along = accelerations.parts(&self.way).map(|part| part / most);
        let share = |turn: &Turn<N>| {
            if turn.lone {
                return 0.0;
            }
            let top = turn.most.min(self.fastest);
            let left = along
                .iter()
                .zip(&turn.rate)
                .filter(|(along, _)| **along > 0.0)
                .map(|(along, rate)| (BOTH - rate * top) / along)
                .fold(1.0, f32::min);
            (1.0 - left.max(LEFT)) / top
        };
        (share(&self.turn), share(end))
    }
}

/// A turn between two chords, and the most v² that stretches with it allow.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Turn<const N: usize> {
    /// How far it goes to each side, mm.
    pub spread: f32,
    /// It has all the room that it asks for: a corner, which no curve of chords is.
    pub lone: bool,
    /// Most v², mm²/s².
    pub most: f32,
    /// What turning asks of each axis, as a part of its limit per v².
    pub rate: [f32; N],
    /// For stretches that begin where it begins, and where it ends: the other end is found.
    pub met: [bool; 2],
}

/// The larger of each component.
pub(super) fn most<const N: usize>(of: &mut [f32; N], and: &[f32; N]) {
    for (most, other) in of.iter_mut().zip(and) {
        *most = most.max(*other);
    }
}

impl<const N: usize> Turn<N> {
    /// Nothing turns.
    pub const NONE: Self = Self {
        spread: 0.0,
        lone: true,
        most: f32::INFINITY,
        rate: [0.0; N],
        met: [true; 2],
    };

    /// A stretch that comes to 8δ asks so much of each axis.
    pub fn limit(&mut self, rate: &[f32; N]) {
        self.most = self.most.min(1.0 / sqrt(square(rate)));
        self.bend(rate);
    }

    /// A stretch asks so much of each axis, which may limit nothing.
    pub fn bend(&mut self, rate: &[f32; N]) {
        most(&mut self.rate, rate);
    }
}
