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

use crate::brake_map::{BrakeMap, ROOM};
use crate::math::sqrt;
use crate::reason::LowPoint;
use crate::vector::{Limits, change, square};
use heapless::Deque;

/// Most chords that are looked back at. A smooth curve is no further than δ/8 from its chords, so
/// that each is at least 1/√8 of the stretch that limits it: five matter there.
const LOOK_BACK: usize = 16;

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
    pub turn: Turn,
}

/// A turn between two chords, and the most v² that stretches with it allow.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Turn {
    /// How far it goes to each side, mm.
    pub spread: f32,
    /// It has all the room that it asks for: a corner, which no curve of chords is.
    pub lone: bool,
    /// Most v², mm²/s².
    pub most: f32,
    /// For stretches that begin where it begins, and where it ends: the other end is found.
    met: [bool; 2],
}

impl Turn {
    /// Nothing turns.
    pub const NONE: Self = Self {
        spread: 0.0,
        lone: true,
        most: f32::INFINITY,
        met: [true; 2],
    };

    /// How much of the acceleration it takes, per v² and mm of its spread.
    pub fn share(&self) -> f32 {
        if self.lone { 0.0 } else { 1.0 / self.most }
    }
}

/// A place where a stretch may end: how far behind the newest turn it lies, and the direction there,
/// less that at the stretch's other end.
#[derive(Clone, Copy)]
struct End<const N: usize> {
    back: f32,
    change: [f32; N],
    change2: f32,
}

#[derive(Debug)]
pub(crate) struct Bends<const N: usize> {
    accelerations: Limits<N>,
    /// 8δ, mm.
    window: f32,
    chords: Deque<Chord<N>, LOOK_BACK>,
    /// So many chords at the front are out of the caller's hands.
    settled: usize,
}

impl<const N: usize> Bends<N> {
    pub fn new(accelerations: Limits<N>, deviation: f32) -> Self {
        Self {
            accelerations,
            window: 8.0 * deviation,
            chords: Deque::new(),
            settled: 0,
        }
    }

    /// Square of the length of a stretch that cannot limit v² = `v2` any more.
    pub fn out_of_reach(&self, v2: f32) -> f32 {
        v2 * self.window * self.accelerations.weakest()
    }

    /// The next chord must wait until one is settled.
    pub fn is_full(&self) -> bool {
        self.settled == 0 && self.chords.is_full()
    }

    /// Takes in the next chord, with all that its turn means.
    pub fn close(&mut self, chord: Chord<N>) {
        if chord.from_rest {
            self.chords.clear();
            self.settled = 0;
        } else if self.chords.is_full() {
            self.chords.pop_front();
            self.settled = self.settled.saturating_sub(1);
        }
        let _ = self.chords.push_back(chord);
        self.relate();
    }

    /// The oldest chord that is not settled and the turn at its end, if no later chord can change
    /// what they allow, or whatever `anyway`.
    pub fn ripe(&self, anyway: bool) -> Option<(Chord<N>, Turn)> {
        let chord = self.chords.get(self.settled)?;
        let Some(next) = self.chords.get(self.settled + 1) else {
            return anyway.then_some((*chord, Turn::NONE));
        };
        let behind: f32 = self
            .chords
            .iter()
            .skip(self.settled + 1)
            .map(|chord| chord.length)
            .sum();
        // Less the newest chord, whose own end is open, and with what its turn takes of it.
        let newest = self.chords.back()?;
        let past = behind - newest.length + newest.turn.spread;
        let fastest = chord.fastest.max(next.fastest);
        let done =
            |turn: &Turn, past: f32| past * past >= self.out_of_reach(turn.most.min(fastest));
        (anyway || done(&next.turn, past) && done(&chord.turn, past + chord.length))
            .then_some((*chord, next.turn))
    }

    /// The chord that [`Self::ripe`] gave is out of the caller's hands.
    pub fn settle(&mut self) {
        self.settled += 1;
    }

    /// Braking over all chords that are not settled, each taken as a whole.
    pub fn braking(&self) -> BrakeMap {
        let mut all = BrakeMap::NONE;
        let mut end = Turn::NONE;
        for chord in self.chords.iter().skip(self.settled).rev() {
            let turn = &chord.turn;
            let share = (turn.spread * turn.share() + end.spread * end.share()) / chord.length;
            all = chord
                .braking
                .on_bend(ROOM * share, turn.most, LowPoint::Bend)
                .then(&all);
            end = chord.turn;
        }
        all
    }

    /// Finds out how far the turn at the start of the newest chord spreads, and tries all
    /// stretches that end where it begins or ends.
    fn relate(&mut self) {
        let newest = self.chords.len() - 1;
        let (Some(new), Some(old)) = (
            self.chords.get(newest),
            newest.checked_sub(1).and_then(|last| self.chords.get(last)),
        ) else {
            return;
        };
        let turned = change(&old.way, &new.way);
        let half2 = 0.25 * square(&turned);
        // Directions are right to 2⁻²³ or so: below that, nothing is known to turn.
        if new.from_rest || half2 < f32::EPSILON * f32::EPSILON {
            return;
        }
        let s = sqrt(half2);
        let c = sqrt((1.0 - half2).max(0.0));
        let asked = 0.125 * self.window * (1.0 + c) / s;
        let spread = asked.min(0.5 * old.length).min(0.5 * new.length);
        let flat = old.length - spread - old.turn.spread;
        let (way, before) = (new.way, old.way);
        let fastest = new.fastest.max(old.fastest);
        // Where the old turn's end is this one's beginning, it has been tried.
        let tried = flat <= 1e-3 * old.length;
        if let Some(new) = self.chords.back_mut() {
            new.turn = Turn {
                spread,
                lone: spread >= asked,
                most: f32::INFINITY,
                met: [false; 2],
            };
        }
        self.walk_back(way, before, spread, fastest, tried);
    }

    fn walk_back(
        &mut self,
        way: [f32; N],
        before: [f32; N],
        spread: f32,
        fastest: f32,
        tried: bool,
    ) {
        let newest = self.chords.len() - 1;
        let window2 = self.window * self.window;
        let passes = |end: &End<N>, from: f32| {
            let d = end.back + from;
            d * d * end.change2 >= window2
        };
        let start = |change: [f32; N], back: f32| End {
            back,
            change,
            change2: square(&change),
        };
        // The last places tried, from where the turn ends and from where it begins.
        let mut from_end = start(change(&before, &way), spread);
        let mut from_begin = start([0.0; N], -spread);
        // A turn that fills a stretch by itself is a corner.
        let mut end_met = passes(&from_end, spread);
        let mut begin_met = tried;
        let mut way_back = 0.0;
        let mut top = 0.0_f32;
        for j in (0..newest).rev() {
            let Some(chord) = self.chords.get(j) else {
                break;
            };
            way_back += chord.length;
            top = top.max(chord.turn.most.min(chord.fastest));
            let earlier = j.checked_sub(1).and_then(|j| self.chords.get(j));
            let (turn, from_rest) = (chord.turn, chord.from_rest);
            // The end of the turn, with the direction after it, and its beginning.
            let places = [
                (1, -turn.spread, Some(chord.way)),
                (0, turn.spread, earlier.map(|chord| chord.way)),
            ];
            for (side, offset, direction) in places {
                let Some(direction) = direction else { break };
                let back = way_back + offset;
                let to_end = start(change(&direction, &way), back);
                let to_begin = start(change(&direction, &before), back);
                if !begin_met && passes(&to_begin, -spread) {
                    begin_met = true;
                    let stretch = self.stretch(&from_begin, &to_begin, -spread);
                    self.limit(spread, spread + stretch.0, stretch.1);
                }
                if !end_met && passes(&to_end, spread) {
                    end_met = true;
                    let stretch = self.stretch(&from_end, &to_end, spread);
                    self.limit(-spread, stretch.0 - spread, stretch.1);
                }
                if from_rest {
                    continue;
                }
                // The other way round: from a place before, to here.
                if !turn.met[side] {
                    if passes(&to_begin, -spread) {
                        // Reached where the path is straight: the change is that of the whole.
                        let d = self.window / sqrt(to_begin.change2);
                        let v2 = d / self.accelerations.together(&to_begin.change);
                        self.limit(back - d, back, v2);
                        self.meet(j, side);
                    } else if passes(&to_end, spread) {
                        let near = End {
                            back: back - spread,
                            ..to_begin
                        };
                        let far = End {
                            back: back + spread,
                            ..to_end
                        };
                        let stretch = self.stretch(&near, &far, 0.0);
                        self.limit(back - stretch.0, back, stretch.1);
                        self.meet(j, side);
                    }
                }
                (from_end, from_begin) = (to_end, to_begin);
            }
            // Longer stretches than this limit nothing that is left.
            let own = self.chords.back().map_or(0.0, |new| new.turn.most);
            if from_rest || way_back * way_back >= self.out_of_reach(top.max(own.min(fastest))) {
                break;
            }
        }
    }

    fn meet(&mut self, chord: usize, side: usize) {
        if let Some(chord) = self.chords.get_mut(chord) {
            chord.turn.met[side] = true;
        }
    }

    /// Where between two ends d·|Δu| comes to 8δ, `from` further on than they are counted from: the
    /// length, and the v² that it allows.
    fn stretch(&self, near: &End<N>, far: &End<N>, from: f32) -> (f32, f32) {
        let (d0, d1) = (near.back + from, far.back + from);
        let (g0, g1) = (sqrt(near.change2), sqrt(far.change2));
        let (longer, more) = (d1 - d0, g1 - g0);
        let product = |t: f32| (d0 + t * longer) * (g0 + t * more);
        // A secant and one Newton step on a product of two even slopes.
        let t = ((self.window - product(0.0)) / (product(1.0) - product(0.0))).clamp(0.0, 1.0);
        let slope = d0 * more + g0 * longer + 2.0 * t * longer * more;
        let t = if slope > 0.0 {
            (t + (self.window - product(t)) / slope).clamp(0.0, 1.0)
        } else {
            t
        };
        let d = d0 + t * longer;
        let turned =
            core::array::from_fn(|i| near.change[i] + t * (far.change[i] - near.change[i]));
        (d, d / self.accelerations.together(&turned))
    }

    /// The stretch from `near` to `far` behind the newest turn allows `v2` at all turns in it.
    fn limit(&mut self, near: f32, far: f32, v2: f32) {
        let mut back = 0.0;
        for (k, chord) in self.chords.iter_mut().rev().enumerate() {
            // A turn lies at the start of its chord: the newest at 0.
            if k > 0 {
                back += chord.length;
            }
            if back > far {
                break;
            }
            if back >= near && !chord.from_rest {
                chord.turn.most = chord.turn.most.min(v2);
            }
        }
    }
}
