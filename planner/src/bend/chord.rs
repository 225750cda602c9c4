//! Chords, and the turns between them.

use super::zone::Zone;
use crate::brake_map::BrakeMap;
use crate::math::{least, less, most};
use crate::vector::{Axes, Limits, pairwise, split};

/// The part of an axis's limit that turning and changing speed together may ask for on a bend. What
/// is left makes up for shares being means over half a stretch and more (`tests/bends`).
const BOTH: f32 = 0.95;

/// The same at a corner by itself, where either may use all of it.
const BOTH_ALONE: f32 = 2.0;

/// Turns that have up to this part of the room that they ask for are a bend: on a curve of even
/// chords, those are half of v·T apart then.
const BEND: f32 = 0.25;

/// What turning and changing speed together may ask for at a turn that has this part, less than all,
/// of the room that it asks for: so that a corner becomes a bend by degrees.
pub(super) fn both(room: f32) -> f32 {
    BOTH + (BOTH_ALONE - BOTH) / (1.0 - BEND) * most(room - BEND, 0.0)
}

/// The least part of the acceleration that a bend leaves: it is no limit of speed.
const LEFT: f32 = 0.03;

/// The share of a turn that nobody asked for yet.
const UNKNOWN: f32 = -1.0;

/// A chord that is growing.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Open<const N: usize> {
    pub way: [f32; N],
    pub length: f32,
    pub moves: u16,
    pub from_rest: bool,
    pub fastest: f32,
    pub braking: BrakeMap,
}

impl<const N: usize> Open<N> {
    /// Without moves.
    pub const fn new(from_rest: bool) -> Self {
        Self {
            way: [0.0; N],
            length: 0.0,
            moves: 0,
            from_rest,
            fastest: 0.0,
            braking: BrakeMap::NONE,
        }
    }
}

/// Moves that thinning made one.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Chord<const N: usize> {
    /// Direction, from end to end.
    pub way: [f32; N],
    /// Along the path, mm.
    pub length: f32,
    /// How many.
    pub moves: u16,
    /// Which axes it goes along.
    pub axes: Axes,
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
    /// What has grown, without a turn.
    pub fn new(open: &Open<N>) -> Self {
        Self {
            way: open.way,
            length: open.length,
            moves: open.moves,
            axes: Axes::of(&open.way),
            from_rest: open.from_rest,
            fastest: open.fastest,
            braking: open.braking,
            turn: Turn::NONE,
        }
    }

    /// This and `next` as one: the turn between does not count for direction any more.
    pub fn joined(&self, next: &Self) -> Self {
        let sum = pairwise(&self.way, &next.way, |way, then| {
            self.length * way + next.length * then
        });
        let mut turn = self.turn;
        turn.inherit(&next.turn);
        Self {
            way: split(&sum).1,
            length: self.length + next.length,
            moves: self.moves.saturating_add(next.moves),
            axes: self.axes.and(next.axes),
            from_rest: self.from_rest,
            fastest: most(self.fastest, next.fastest),
            braking: self.braking.then(&next.braking),
            turn,
        }
    }

    /// What belongs to the turn at its start, as far as that spreads.
    pub fn zone(&mut self, accelerations: &Limits<N>) -> Zone {
        Zone {
            reach: self.turn.spread,
            most: self.turn.most,
            share: self.turn.share(accelerations, &self.way, self.fastest),
            lone: self.turn.lone(),
        }
    }
}

/// A turn between two chords, and the most v² that stretches with it allow.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Turn<const N: usize> {
    /// How far it goes to each side, mm.
    pub spread: f32,
    /// The part of an axis's limit that turning and changing speed together may ask for.
    pub both: f32,
    /// Most v², mm²/s².
    pub most: f32,
    /// What turning asks of each axis, as a part of its limit per v².
    pub rate: [f32; N],
    /// How much of the acceleration along the path it takes per v²; below 0 until it is asked for.
    pub(super) share: f32,
    /// For stretches that begin where it begins, and where it ends: the other end is found.
    pub met: [bool; 2],
}

/// What a stretch asks of each axis, as a part of its limit per v², and the most v² that this leaves.
pub(crate) struct Asked<const N: usize> {
    pub v2: f32,
    pub rate: [f32; N],
}

/// The larger of each component; whether that changes anything.
pub(super) fn most_of_each<const N: usize>(of: &mut [f32; N], and: &[f32; N]) -> bool {
    let mut more = false;
    for (most, other) in of.iter_mut().zip(and) {
        if less(*most, *other) {
            *most = *other;
            more = true;
        }
    }
    more
}

impl<const N: usize> Turn<N> {
    /// Nothing turns.
    pub const NONE: Self = Self {
        spread: 0.0,
        both: BOTH,
        most: f32::INFINITY,
        rate: [0.0; N],
        share: UNKNOWN,
        met: [true; 2],
    };

    /// It has all the room that it asks for: a corner, which no curve of chords is.
    fn lone(&self) -> bool {
        !less(self.both, f32::INFINITY)
    }

    /// It spreads so far now, and turning and changing speed together may ask for so much; no turn is
    /// more by itself for that. What it takes along its chord has to be found anew.
    pub fn makes(&mut self, spread: f32, both: f32) {
        self.spread = spread;
        self.both = least(self.both, both);
        self.share = UNKNOWN;
    }

    /// A stretch asks so much.
    pub fn limit(&mut self, asked: &Asked<N>) {
        self.cap(asked.v2);
        if most_of_each(&mut self.rate, &asked.rate) {
            self.share = UNKNOWN;
        }
    }

    /// At most this v².
    pub fn cap(&mut self, v2: f32) {
        if less(v2, self.most) {
            self.most = v2;
            self.share = UNKNOWN;
        }
    }

    /// What limits a neighbour limits this as well.
    pub fn inherit(&mut self, other: &Self) {
        self.limit(&Asked {
            v2: other.most,
            rate: other.rate,
        });
        self.makes(self.spread, other.both);
    }

    /// How much of the acceleration along `way` it takes per v², up to v² = `fastest`.
    ///
    /// Where the turn asks for a part r·v² of an axis and full acceleration along the path for a
    /// part p, acceleration is reduced to the part 1 − s·v², with s the least that keeps
    /// p·(1 − s·v²) + r·v² within [`BOTH`] up to the highest speed.
    pub fn share(&mut self, accelerations: &Limits<N>, way: &[f32; N], fastest: f32) -> f32 {
        if self.lone() {
            return 0.0;
        }
        if less(self.share, 0.0) {
            let top = least(self.most, fastest);
            let parts = accelerations.parts(way);
            let along = parts.iter().fold(0.0, |along, part| most(along, *part));
            let mut left = 1.0_f32;
            for (part, rate) in parts.iter().zip(&self.rate) {
                let room = self.both - rate * top;
                if less(room, 0.0) {
                    left = 0.0;
                } else if less(room, 1.0) && less(0.0, *part) {
                    // Both as parts of what the axis asked most uses.
                    let room = room * along;
                    if less(room, left * part) {
                        left = room / part;
                    }
                }
            }
            self.share = (1.0 - most(left, LEFT)) / top;
        }
        self.share
    }
}
