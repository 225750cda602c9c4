//! The stretches that end at the newest turn.

use super::chord::{Asked, most_of_each};
use super::{Bends, Turn};
use crate::corner::Corner;
use crate::math::{halved, least, less, most, sqrt};
use crate::vector::{Change, pairwise};

/// A place where a stretch may end: how far behind the newest turn it lies, and the direction there,
/// less that at the stretch's other end.
#[derive(Clone, Copy)]
struct End<const N: usize> {
    back: f32,
    change: Change<N>,
}

impl<const N: usize> End<N> {
    fn new(change: &Change<N>, back: f32) -> Self {
        Self {
            back,
            change: *change,
        }
    }
}

/// The newest turn: directions before and after, how far it spreads, and the fastest move at it.
pub(super) struct Newest<const N: usize> {
    pub before: [f32; N],
    pub after: [f32; N],
    pub corner: Corner<N>,
    /// To the direction after from that before the turn before.
    pub over_two: Option<Change<N>>,
    pub spread: f32,
    /// It has all the room that it asks for.
    pub lone: bool,
    /// v²
    pub fastest: f32,
    /// How long the chord before it is, and how far the turn before that spreads.
    pub last: (f32, f32),
}

impl<const N: usize> Newest<N> {
    /// Where the old turn's end is this one's beginning, the stretches that end there have been tried.
    fn is_tried(&self) -> bool {
        let (length, spread) = self.last;
        let flat = length - self.spread - spread;
        !less(halved(length, 10), flat)
    }

    /// The changes from `way`, the direction `back` chords before the newest, to before and after.
    fn changes(&self, way: &[f32; N], back: usize) -> (Change<N>, Change<N>) {
        let to_after = match (back, self.over_two) {
            (1, _) => return (Change::NONE, self.corner.change),
            (2, Some(over_two)) => over_two,
            _ => Change::between(way, &self.after),
        };
        (Change::between(way, &self.before), to_after)
    }
}

impl<const N: usize> Bends<N> {
    /// Tries the stretches from the newest turn back, as far as any can limit something.
    pub(super) fn walk_back(&mut self, turn: &Newest<N>) {
        let spread = turn.spread;
        let window2 = self.window * self.window;
        let passes = |change: &Change<N>, d: f32| {
            less(0.0, change.square) && !less(d * d * change.square, window2)
        };
        // The last places tried, from where the turn ends and from where it begins.
        let mut from_end = End::new(&turn.corner.change, spread);
        let mut from_begin = End::new(&Change::NONE, -spread);
        // A turn that fills a stretch by itself is a corner.
        let mut end_met = passes(&turn.corner.change, spread + spread);
        let mut begin_met = false;
        let mut way_back = 0.0;
        let mut top = 0.0_f32;
        let mut gentle = [0.0; N];
        let newest = self.chords.len().saturating_sub(1);
        self.near = newest;
        for k in (0..newest).rev() {
            let Some(chord) = self.chords.get(k) else {
                break;
            };
            let (length, from_rest) = (chord.length, chord.from_rest);
            let slower = least(chord.turn.most, chord.fastest);
            let (to_begin, to_end) = turn.changes(&chord.way, newest - k);
            if k + 2 == newest {
                begin_met = turn.is_tried();
            }
            // One direction, from the beginning of the turn behind it to the end of the one before.
            let after = self.chords.get(k + 1).filter(|_| k + 1 < newest);
            let behind = after.map(|next| (k + 1, 0, next.turn.spread, next.turn.met[0]));
            let ahead = (k, 1, length - chord.turn.spread, chord.turn.met[1]);
            for (owner, side, offset, met) in behind.into_iter().chain([ahead]) {
                let back = way_back + offset;
                let (near, far) = (back - spread, back + spread);
                let (to_begin, to_end) = (End::new(&to_begin, back), End::new(&to_end, back));
                let begin_passes = !(begin_met && met) && passes(&to_begin.change, near);
                let end_passes = !(end_met && met) && passes(&to_end.change, far);
                if begin_passes && !begin_met {
                    begin_met = true;
                    let (d, asked) = self.stretch(&from_begin, &to_begin, -spread);
                    self.each(spread, spread + d, |turn| turn.limit(&asked));
                }
                if end_passes && !end_met {
                    end_met = true;
                    let (d, asked) = if k + 1 == newest {
                        // As below: up to here, the path is straight.
                        let d = self.window / turn.corner.width;
                        (d, self.asked(&turn.corner.change.by, d))
                    } else {
                        self.stretch(&from_end, &to_end, spread)
                    };
                    self.each(-spread, d - spread, |turn| turn.limit(&asked));
                }
                // The other way round: from a place before, to here.
                if !met && begin_passes {
                    // Reached where the path is straight: the change is that of the whole.
                    let d = self.window / sqrt(to_begin.change.square);
                    let asked = self.asked(&to_begin.change.by, d);
                    self.each(back - d, back, |turn| turn.limit(&asked));
                    self.meet(owner, side);
                } else if !met && end_passes {
                    // Up to the newest turn alone, a long stretch asks nothing of a corner.
                    let long = || !less(near * near, self.out_of_reach(turn.fastest));
                    if !(turn.lone && k + 1 == newest && less(0.0, near) && long()) {
                        let (near, far) = (
                            End::new(&to_begin.change, near),
                            End::new(&to_end.change, far),
                        );
                        let (d, asked) = self.stretch(&near, &far, 0.0);
                        self.each(back - d, back, |turn| turn.limit(&asked));
                    }
                    self.meet(owner, side);
                }
                (from_end, from_begin) = (to_end, to_begin);
            }
            way_back += length;
            let d = from_end.back + spread;
            // Where no stretch comes to 8δ, what the turn takes over half the longest one and more, or
            // all of the path since it was at rest.
            let is_long = || !less(d * d, halved(self.out_of_reach(turn.fastest), 2));
            if !end_met && (from_rest || is_long()) {
                most_of_each(&mut gentle, &self.rate(&from_end.change.by, d));
            }
            // Longer stretches than this limit nothing that is left.
            top = most(top, slower);
            let own = self.chords.last().map_or(0.0, |new| new.turn.most);
            let fastest = most(top, least(own, turn.fastest));
            if !less(way_back * way_back, self.out_of_reach(fastest)) {
                self.near = newest - k;
                break;
            }
        }
        if !end_met {
            self.each(-spread, from_end.back, |turn| turn.bend(&gentle));
        }
    }

    fn meet(&mut self, chord: usize, side: usize) {
        let chord = self.chords.get_mut(chord);
        if let Some(met) = chord.and_then(|chord| chord.turn.met.get_mut(side)) {
            *met = true;
        }
    }

    /// Where between two ends d·|Δu| comes to 8δ, `from` further on than they are counted from: the
    /// length, and what it asks of each axis.
    fn stretch(&self, near: &End<N>, far: &End<N>, from: f32) -> (f32, Asked<N>) {
        let (d0, d1) = (near.back + from, far.back + from);
        let (g0, g1) = (sqrt(near.change.square), sqrt(far.change.square));
        let (longer, more) = (d1 - d0, g1 - g0);
        // A secant and one Newton step on a product of two even slopes, which exceeds that at the near
        // end by t·(even + t·bent).
        let (even, bent) = (d0 * more + g0 * longer, longer * more);
        let left = self.window - d0 * g0;
        let within = |t: f32| least(most(t, 0.0), 1.0);
        let whole = even + bent;
        let mut t = 1.0;
        if less(0.0, whole) {
            t = within(left / whole);
        }
        let mean = even + t * bent;
        let slope = mean + t * bent;
        if less(0.0, slope) {
            t = within(t + (left - t * mean) / slope);
        }
        let d = d0 + t * longer;
        let turned = pairwise(&near.change.by, &far.change.by, |near, far| {
            near + t * (far - near)
        });
        (d, self.asked(&turned, d))
    }

    /// All turns from `near` to `far` behind the newest.
    pub(super) fn each(&mut self, near: f32, far: f32, act: impl Fn(&mut Turn<N>)) {
        let mut back = 0.0;
        for (k, chord) in self.chords.iter_mut().rev().enumerate() {
            // A turn lies at the start of its chord: the newest at 0.
            if k > 0 {
                back += chord.length;
            }
            if less(far, back) {
                break;
            }
            if !less(back, near) && !chord.from_rest {
                act(&mut chord.turn);
            }
        }
    }
}
