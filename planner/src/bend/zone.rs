//! What of a chord belongs to the turns at its ends.

use super::Chord;
use crate::brake_map::BrakeMap;
use crate::math::{halved, least, less, most};
use crate::moves::LONG;

/// The part of a chord that belongs to a turn.
#[derive(Clone, Copy)]
pub(crate) struct Zone {
    /// How long, mm.
    pub reach: f32,
    /// Most v² within.
    pub most: f32,
    /// How much of the acceleration along the path the turn takes, per v².
    pub share: f32,
    /// The turn has all the room that it asks for: a corner, which no curve of chords is.
    pub lone: bool,
}

impl Zone {
    /// Where nothing turns.
    pub const NONE: Self = Self {
        reach: 0.0,
        most: f32::INFINITY,
        share: 0.0,
        lone: false,
    };

    /// The most v² where it takes of the acceleration along the path.
    fn within(&self) -> f32 {
        if less(0.0, self.share) {
            self.most
        } else {
            0.0
        }
    }

    /// What the turn takes of the acceleration along a move, per v², times the length of that: a move
    /// of this length that lies so far off.
    pub fn taken(&self, off: f32, length: f32) -> f32 {
        let mut inside = self.reach;
        if less(0.0, off) {
            inside = most(inside - off, 0.0);
        }
        least(inside, length) * self.share
    }
}

/// A chord, as its moves are given their limits.
pub(crate) struct Bent {
    pub moves: u16,
    /// mm
    pub length: f32,
    /// Braking over it, its bends left out.
    braking: BrakeMap,
    pub start: Zone,
    pub end: Zone,
    /// The most v² at which a turn that takes of the acceleration along it is passed; infinite where the
    /// chord is hardly faster.
    pub within: f32,
}

impl Bent {
    /// How much of the chord, from its start and to its end, belongs to the turns there: as far as
    /// they spread, or all of it where they leave no more than three quarters between.
    ///
    /// So it is where a curve was cut unevenly, and where its curvature changes sign: with
    /// curvature c·s, thinning by ε goes on to c·L³/(9√3) = ε to each side, and then to chords of
    /// √(8ε/(c·L)) = 0.7·L and less. Spread over half of those, turns take a third of L.
    pub fn new<const N: usize>(chord: &Chord<N>, mut start: Zone, mut end: Zone) -> Self {
        let mut within = f32::INFINITY;
        let both = start.reach + end.reach;
        let apart = start.lone || end.lone;
        if apart || less(both, halved(chord.length, 2)) {
            let most = most(start.within(), end.within());
            if less(most, halved(chord.fastest, LONG)) {
                within = most;
            }
        } else {
            let part = chord.length / both;
            start.reach *= part;
            end.reach *= part;
        }
        Self {
            moves: chord.moves,
            length: chord.length,
            braking: chord.braking,
            within,
            start,
            end,
        }
    }

    /// The turns take nothing of the acceleration along it.
    pub fn is_free(&self) -> bool {
        !less(0.0, self.start.share) && !less(0.0, self.end.share)
    }

    /// Braking over it, with what the turns take.
    pub fn braking(&self) -> BrakeMap {
        let mut share = 0.0;
        if !self.is_free() {
            let (start, end) = (&self.start, &self.end);
            share = (start.reach * start.share + end.reach * end.share) / self.length;
        }
        self.braking.on_bend(share, self.within, self.start.most)
    }
}

#[cfg(test)]
mod tests;
