//! The law of bends: in no stretch of T = √(8δ/A) may the velocity vector change by more than A·T.
//!
//! Over a stretch of path of length d in which the direction changes by Δu, at speed v, that is
//! v² ≤ A·d²/(8δ) unless d·|Δu| < 8δ. So the shortest stretch around a place with d·|Δu| = 8δ
//! limits it, to v² = A·d/|Δu|: on a circle the centripetal limit A·r, whatever δ (v²/r, any
//! mechanics text). A is what all axes together allow along Δu, each measured by its own limit:
//! A = 1/|(Δu₁/a₁, Δu₂/a₂ …)| for |Δu| = 1, so that a circle is passed at one speed all around.
//!
//! The path is given as chords. The turn between two of them happens over its inscribed circle,
//! tan(φ/2)·R = δ(1 + c)/s to each side, and at most over half of the shorter chord; in between, the
//! direction goes evenly. Stretches that begin or end where a turn does are tried, each with the
//! one other end at which d·|Δu| comes to 8δ. A turn by itself is left to the corner rule.

mod chord;
mod chords;
mod close_turns;
mod crowded;
mod end;
mod stretch;
mod zone;

pub(crate) use chord::Open;
pub(crate) use zone::Bent;

use chord::{Asked, Chord, Turn, both};
use chords::Chords;
use stretch::Newest;
use zone::Zone;

use crate::brake_map::BrakeMap;
use crate::corner::Corner;
use crate::math::{halved, least, less, most, sqrt};
use crate::vector::{Axes, Change, Limits, square};

/// Most chords that are looked back at. A smooth curve is no further than δ/8 from its chords, so
/// that each is at least 1/√8 of the stretch that limits it: five matter there.
const LOOK_BACK: usize = 12;

#[derive(Debug)]
pub(crate) struct Bends<const N: usize> {
    accelerations: Limits<N>,
    /// δ and 8δ, mm.
    deviation: f32,
    window: f32,
    /// Square of that.
    window2: f32,
    chords: Chords<N, LOOK_BACK>,
    /// So many chords at the front are out of the caller's hands.
    settled: usize,
    /// The turns at the start of so many chords at the front will not change any more.
    done: usize,
    /// The axes that move on these chords.
    axes: Axes,
    /// Square of the length of a stretch that cannot limit v² any more, per v²: 8δ over the least
    /// acceleration limit of those axes.
    reach2: f32,
    /// The fastest of these chords, v², and what that makes.
    fastest: f32,
    long2: f32,
    /// So many chords before the newest still limit something.
    near: usize,
    /// A chord of twice this length leaves room for all speeding up and braking within a T, mm.
    swing: f32,
}

impl<const N: usize> Bends<N> {
    pub fn new(accelerations: Limits<N>, deviation: f32) -> Self {
        let window = 8.0 * deviation;
        Self {
            accelerations,
            deviation,
            window,
            window2: window * window,
            chords: Chords::new(),
            settled: 0,
            done: 1,
            axes: Axes::NONE,
            reach2: 0.0,
            fastest: 0.0,
            long2: 0.0,
            near: 0,
            swing: close_turns::swing(&accelerations, window),
        }
    }

    /// Forgets all chords.
    pub fn clear(&mut self) {
        self.chords.clear();
        self.settled = 0;
        self.done = 1;
    }

    /// Gives every chord that is not settled another map of its braking; `braking` is called with the
    /// number of its moves, from front to back.
    pub fn renew(&mut self, mut braking: impl FnMut(u16) -> BrakeMap) {
        for chord in self.chords.iter_mut().skip(self.settled) {
            chord.braking = braking(chord.moves);
        }
    }

    /// Square of the length of a stretch that cannot limit v² = `v2` any more.
    pub fn out_of_reach(&self, v2: f32) -> f32 {
        // Mostly the fastest chord is meant.
        if v2.to_bits() == self.fastest.to_bits() {
            self.long2
        } else {
            v2 * self.reach2
        }
    }

    /// Every chord is settled.
    pub fn all_settled(&self) -> bool {
        self.settled >= self.chords.len()
    }

    /// Takes in the next chord, with all that its turn means; the corner at its start, where that is
    /// known.
    pub fn close(&mut self, open: &Open<N>, corner: Option<Corner<N>>) {
        if open.from_rest {
            self.clear();
        } else if self.chords.is_full() {
            self.make_room();
        }
        self.chords.push(Chord::new(open));
        self.near = self.near.saturating_add(1);
        let (mut axes, mut fastest) = (Axes::NONE, 0.0_f32);
        for chord in self.chords.iter() {
            axes = axes.and(chord.axes);
            fastest = most(fastest, chord.fastest);
        }
        if axes != self.axes || fastest.to_bits() != self.fastest.to_bits() {
            (self.axes, self.fastest) = (axes, fastest);
            self.reach2 = self.window * self.accelerations.weakest(axes);
            self.long2 = fastest * self.reach2;
        }
        self.relate(corner);
        while self.settled > 0 && self.near + 1 < self.chords.len() {
            self.chords.drop_oldest();
            self.settled -= 1;
            self.done = self.done.saturating_sub(1);
        }
    }

    /// The oldest chord that is not settled, if no later chord can change what its turns allow, or
    /// whatever `anyway`.
    pub fn ripe(&mut self, anyway: bool) -> Option<Bent> {
        (anyway || self.is_ripe()?).then(|| self.take())?
    }

    fn take(&mut self) -> Option<Bent> {
        let bent = self.bent(self.settled)?;
        self.settled += 1;
        Some(bent)
    }

    /// The chord so far back from the oldest, with what belongs to its turns.
    fn bent(&mut self, at: usize) -> Option<Bent> {
        let end = match self.chords.get_mut(at + 1) {
            Some(next) => next.zone(&self.accelerations),
            None => Zone::NONE,
        };
        let chord = self.chords.get_mut(at)?;
        let start = chord.zone(&self.accelerations);
        Some(Bent::new(chord, start, end))
    }

    /// No later chord can change the turns at its ends.
    fn is_ripe(&mut self) -> Option<bool> {
        while self.done <= self.settled + 1 {
            let turn = self.chords.get(self.done)?;
            let last = self.done.checked_sub(1).and_then(|at| self.chords.get(at));
            let last = last.map_or(0.0, |last| last.fastest);
            // To the newest chord, whose own end is open, and with what its turn takes of it.
            let mut newest = self.chords.iter().rev();
            let mut past = newest.next()?.turn.spread;
            for chord in newest.take(self.chords.len() - 1 - self.done) {
                past += chord.length;
            }
            let fastest = least(turn.turn.most, most(last, turn.fastest));
            if less(past * past, self.out_of_reach(fastest)) {
                return Some(false);
            }
            self.done += 1;
        }
        Some(true)
    }

    /// Braking over all chords that are not settled, each taken as a whole.
    pub fn braking(&mut self) -> BrakeMap {
        let mut all = BrakeMap::NONE;
        for at in self.settled..self.chords.len() {
            let Some(bent) = self.bent(at) else { break };
            all = all.then(&bent.braking());
            if all.is_whole() {
                break;
            }
        }
        all
    }

    /// The same, and the v² that it leaves.
    fn asked(&self, turned: &[f32; N], length: f32) -> Asked<N> {
        let rate = self.rate(turned, length);
        Asked {
            v2: 1.0 / sqrt(square(&rate)),
            rate,
        }
    }

    /// What a change of direction over a length asks of each axis, as a part of its limit per v².
    fn rate(&self, turned: &[f32; N], length: f32) -> [f32; N] {
        self.accelerations.parts(turned).map(|part| part / length)
    }

    fn corner(&self, before: &[f32; N], after: &[f32; N]) -> Option<Corner<N>> {
        Corner::between(&self.accelerations, self.deviation, before, after)
    }

    /// How far a turn spreads to each side between two chords, of which one is so short, and what turning
    /// and changing speed together may ask for there.
    fn spread(&self, corner: &Corner<N>, shorter: f32) -> (f32, f32) {
        let asked = corner.spread();
        let room = halved(shorter, 1);
        if !less(room, asked) {
            return (asked, f32::INFINITY);
        }
        (room, both(room / asked))
    }

    /// Finds out how far the turn at the start of the newest chord spreads, and tries all
    /// stretches that end where it begins or ends.
    fn relate(&mut self, corner: Option<Corner<N>>) {
        let mut newest = self.chords.iter().rev();
        let (Some(new), Some(old)) = (newest.next(), newest.next()) else {
            return;
        };
        if new.from_rest {
            return;
        }
        let Some(corner) = corner.or_else(|| self.corner(&old.way, &new.way)) else {
            return;
        };
        let (spread, both) = self.spread(&corner, least(old.length, new.length));
        let mut turn = Newest {
            before: old.way,
            after: new.way,
            spread,
            fastest: most(new.fastest, old.fastest),
            last: (old.length, old.turn.spread),
            lone: !less(both, f32::INFINITY),
            slight: self.is_slight(&corner.change),
            corner,
            over_two: None,
        };
        let mut pair = f32::INFINITY;
        if old.from_rest {
            pair = self.beside_rest(old, &turn.corner);
        } else if !self.are_apart(old)
            && let Some(first) = newest.next()
        {
            let over_two = Change::between(&first.way, &new.way);
            pair = self.pair(&over_two, old);
            turn.over_two = Some(over_two);
        }
        if let Some(new) = self.chords.last_mut() {
            new.turn = Turn {
                spread,
                both,
                met: [false; 2],
                most: pair,
                ..Turn::NONE
            };
        }
        if let Some(old) = self.chords.iter_mut().nth_back(1) {
            old.turn.cap(pair);
        }
        self.walk_back(&turn);
    }
}

#[cfg(test)]
pub(crate) mod tests;
