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
mod close_turns;
mod crowded;
mod stretch;

pub(crate) use chord::{Chord, Turn};

use chord::{Asked, both};
use stretch::Newest;

use crate::brake_map::BrakeMap;
use crate::math::{least, less, most, sqrt};
use crate::reason::LowPoint;
use crate::vector::{Limits, change, square};
use heapless::Deque;

/// Most chords that are looked back at. A smooth curve is no further than δ/8 from its chords, so
/// that each is at least 1/√8 of the stretch that limits it: five matter there.
const LOOK_BACK: usize = 12;

/// A chord whose limits are final.
pub(crate) struct Ripe {
    pub moves: u32,
    pub length: f32,
    /// The parts of it that belong to the turns at its ends.
    pub start: Zone,
    pub end: Zone,
}

/// The part of a chord that belongs to a turn.
pub(crate) struct Zone {
    /// How long, mm.
    pub reach: f32,
    /// Most v² within.
    pub most: f32,
    /// How much of the acceleration along the path the turn takes, per v².
    pub share: f32,
}

#[derive(Debug)]
pub(crate) struct Bends<const N: usize> {
    accelerations: Limits<N>,
    /// 8δ, mm.
    window: f32,
    chords: Deque<Chord<N>, LOOK_BACK>,
    /// So many chords at the front are out of the caller's hands.
    settled: usize,
    /// 1 over the least acceleration limit of the axes that move on these chords.
    weakest: f32,
    /// Further back than this from the newest turn, nothing limits anything any more, mm.
    far: f32,
}

impl<const N: usize> Bends<N> {
    pub fn new(accelerations: Limits<N>, deviation: f32) -> Self {
        Self {
            accelerations,
            window: 8.0 * deviation,
            chords: Deque::new(),
            settled: 0,
            weakest: 0.0,
            far: f32::INFINITY,
        }
    }

    /// Square of the length of a stretch that cannot limit v² = `v2` any more.
    pub fn out_of_reach(&self, v2: f32) -> f32 {
        v2 * self.window * self.weakest
    }

    /// The path ends here, in rest. Stretches that it cuts off never come to 8δ: what they turn in the
    /// length that they have counts.
    pub fn end(&mut self) {
        let Some(last) = self.chords.back().copied() else {
            return;
        };
        let mut back = 0.0;
        // Behind the newest turn, which is a corner by itself.
        for j in (0..self.chords.len().saturating_sub(1)).rev() {
            let Some(chord) = self.chords.get(j).copied() else {
                break;
            };
            back += chord.length;
            let before = j.checked_sub(1).and_then(|j| self.chords.get(j));
            let [met_begin, met_end] = chord.turn.met;
            let places = [
                (met_end, -chord.turn.spread, Some(chord.way)),
                (
                    met_begin,
                    chord.turn.spread,
                    before.map(|before| before.way),
                ),
            ];
            for (met, offset, way) in places {
                if let Some(way) = way
                    && !met
                {
                    let turned = change(&way, &last.way);
                    let asked = self.asked(&turned, back + offset + last.length);
                    self.each(-last.length, back + offset, |turn| turn.limit(&asked));
                }
            }
            if chord.from_rest {
                break;
            }
        }
    }

    /// Every chord is settled.
    pub fn all_settled(&self) -> bool {
        self.settled >= self.chords.len()
    }

    /// Takes in the next chord, with all that its turn means.
    pub fn close(&mut self, chord: Chord<N>) {
        if chord.from_rest {
            self.chords.clear();
            self.settled = 0;
        } else if self.chords.is_full() {
            self.make_room();
        }
        let _ = self.chords.push_back(chord);
        let ways = self.chords.iter().map(|chord| &chord.way);
        self.weakest = self.accelerations.weakest(ways);
        self.relate();
    }

    /// The oldest chord that is not settled, if no later chord can change what its turns allow, or
    /// whatever `anyway`.
    pub fn ripe(&mut self, anyway: bool) -> Option<Ripe> {
        (anyway || self.is_ripe()?).then(|| self.take())?
    }

    fn take(&mut self) -> Option<Ripe> {
        let accelerations = self.accelerations;
        let (end, end_share) = match self.chords.get_mut(self.settled + 1) {
            Some(next) => {
                let share = next.share(&accelerations);
                (next.turn, share)
            }
            None => (Turn::NONE, 0.0),
        };
        let chord = self.chords.get_mut(self.settled)?;
        let start_share = chord.share(&accelerations);
        let (at_start, at_end) = chord.zones(&end);
        self.settled += 1;
        Some(Ripe {
            moves: chord.moves,
            length: chord.length,
            start: Zone {
                reach: at_start,
                most: chord.turn.most,
                share: start_share,
            },
            end: Zone {
                reach: at_end,
                most: end.most,
                share: end_share,
            },
        })
    }

    fn is_ripe(&self) -> Option<bool> {
        let chord = self.chords.get(self.settled)?;
        let Some(next) = self.chords.get(self.settled + 1) else {
            return Some(false);
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
        let fastest = most(chord.fastest, next.fastest);
        let done = |turn: &Turn<N>, past: f32| {
            !less(past * past, self.out_of_reach(least(turn.most, fastest)))
        };
        Some(done(&next.turn, past) && done(&chord.turn, past + chord.length))
    }

    /// Braking over all chords that are not settled, each taken as a whole.
    pub fn braking(&mut self) -> BrakeMap {
        let mut all = BrakeMap::NONE;
        let mut end = (Turn::NONE, 0.0);
        for chord in self.chords.iter_mut().skip(self.settled).rev() {
            let (at_start, at_end) = chord.zones(&end.0);
            let share = chord.share(&self.accelerations);
            let bent = (at_start * share + at_end * end.1) / chord.length;
            all = chord
                .braking
                .on_bend(bent, chord.turn.most, LowPoint::Bend)
                .then(&all);
            end = (chord.turn, share);
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

    /// How far the turn between two chords spreads to each side, and what turning and changing speed
    /// together may ask for there; `None` where nothing turns.
    fn spread(&self, old: &Chord<N>, new: &Chord<N>) -> Option<(f32, f32)> {
        let half2 = 0.25 * square(&change(&old.way, &new.way));
        // Directions are right to 2⁻²³ or so: below that, nothing is known to turn.
        if less(half2, f32::EPSILON * f32::EPSILON) {
            return None;
        }
        let c = sqrt(1.0 - half2);
        let asked = 0.125 * self.window * (1.0 + c) / sqrt(half2);
        let spread = least(asked, 0.5 * least(old.length, new.length));
        Some((spread, both(spread / asked)))
    }

    /// Finds out how far the turn at the start of the newest chord spreads, and tries all
    /// stretches that end where it begins or ends.
    fn relate(&mut self) {
        let newest = self.chords.len().saturating_sub(1);
        let (Some(new), Some(old)) = (
            self.chords.get(newest),
            newest.checked_sub(1).and_then(|last| self.chords.get(last)),
        ) else {
            return;
        };
        if new.from_rest {
            return;
        }
        let Some((spread, both)) = self.spread(old, new) else {
            return;
        };
        let flat = old.length - spread - old.turn.spread;
        let (way, before) = (new.way, old.way);
        let fastest = most(new.fastest, old.fastest);
        let alone = self.one_turn(old, new);
        let pair = self.pair();
        // Where the old turn's end is this one's beginning, it has been tried.
        let tried = !less(1e-3 * old.length, flat);
        if let Some(new) = self.chords.back_mut() {
            new.turn = Turn {
                spread,
                both,
                met: [false; 2],
                most: least(alone, pair),
                ..Turn::NONE
            };
        }
        if let Some(old) = self.chords.get_mut(newest.saturating_sub(1)) {
            old.turn.cap(pair);
        }
        self.walk_back(&Newest {
            before,
            after: way,
            spread,
            fastest,
            tried,
        });
    }
}
