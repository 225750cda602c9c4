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
    /// It can be made at once at any speed.
    pub slight: bool,
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
            (2, Some(over_two)) => over_two,
            _ => Change::between(way, &self.after),
        };
        (Change::between(way, &self.before), to_after)
    }
}

/// How far a walk back has come.
struct Walk<const N: usize> {
    /// The last places tried, from where the turn begins and from where it ends.
    from_begin: End<N>,
    from_end: End<N>,
    /// Those where it comes to 8δ are found.
    begin_met: bool,
    end_met: bool,
}

/// Where the turn at the start of a chord begins (0) or ends (1), and how far back that is.
struct Place {
    chord: usize,
    side: usize,
    back: f32,
    /// The stretch from there on is found.
    met: bool,
}

impl<const N: usize> Bends<N> {
    /// Tries the stretches from the newest turn back, as far as any can limit something.
    pub(super) fn walk_back(&mut self, turn: &Newest<N>) {
        let spread = turn.spread;
        let mut walk = Walk {
            from_begin: End::new(&Change::NONE, -spread),
            from_end: End::new(&turn.corner.change, spread),
            begin_met: false,
            end_met: false,
        };
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
            // One direction, from the beginning of the turn behind it to the end of the one before.
            let place = |side: usize, chord: usize, turn: &Turn<N>, back: f32| Place {
                chord,
                side,
                back,
                met: turn.met.get(side).is_some_and(|met| *met),
            };
            let ahead = place(1, k, &chord.turn, way_back + (length - chord.turn.spread));
            if k + 1 == newest {
                self.first_place(turn, &mut walk, &ahead);
            } else {
                let (to_begin, to_end) = turn.changes(&chord.way, newest - k);
                if k + 2 == newest {
                    walk.begin_met = turn.is_tried();
                }
                if let Some(next) = self.chords.get(k + 1) {
                    let back = way_back + next.turn.spread;
                    let behind = place(0, k + 1, &next.turn, back);
                    self.place(turn, &mut walk, &behind, (&to_begin, &to_end));
                }
                self.place(turn, &mut walk, &ahead, (&to_begin, &to_end));
            }
            way_back += length;
            // A corner by itself takes nothing of the way up to it.
            let alone = turn.lone && k + 1 == newest;
            if !(walk.end_met || alone) {
                // Where no stretch comes to 8δ, what the turn takes over half the longest one and
                // more, or all of the path since it was at rest.
                let d = walk.from_end.back + spread;
                if from_rest || !less(d * d, halved(self.out_of_reach(turn.fastest), 2)) {
                    most_of_each(&mut gentle, &self.rate(&walk.from_end.change.by, d));
                }
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
        if !walk.end_met {
            let asked = Asked {
                v2: f32::INFINITY,
                rate: gentle,
            };
            self.ask(-spread, walk.from_end.back, &asked);
        }
    }

    /// The stretches of the newest turn that end before the turn before: what turns is itself alone.
    fn first_place(&mut self, turn: &Newest<N>, walk: &mut Walk<N>, place: &Place) {
        let spread = turn.spread;
        let change = &turn.corner.change;
        if self.is_met(change, place.back + spread) {
            walk.end_met = true;
            // A corner that can be passed at any speed asks for nothing.
            if !(turn.lone && turn.slight) {
                let d = self.window / turn.corner.width;
                let asked = self.asked(&change.by, d);
                self.ask(-spread, d - spread, &asked);
            }
            // Nor does a long stretch up to a corner.
            let long =
                |near: f32| less(0.0, near) && !less(near * near, self.out_of_reach(turn.fastest));
            if !place.met {
                if !(turn.lone && long(place.back - spread)) {
                    self.up_to(turn, place, (&Change::NONE, change));
                }
                self.meet(place);
            }
        } else if !turn.slight {
            let alone = self.one_turn(&turn.corner);
            if let Some(new) = self.chords.last_mut() {
                new.turn.cap(alone);
            }
        }
        walk.from_begin = End::new(&Change::NONE, place.back);
        walk.from_end = End::new(change, place.back);
    }

    /// The stretches of the newest turn that end at a place further back, or come to 8δ since the
    /// last place.
    fn place(
        &mut self,
        turn: &Newest<N>,
        walk: &mut Walk<N>,
        place: &Place,
        (to_begin, to_end): (&Change<N>, &Change<N>),
    ) {
        let (spread, back) = (turn.spread, place.back);
        let begin_meets = !(walk.begin_met && place.met) && self.is_met(to_begin, back - spread);
        let end_meets = !(walk.end_met && place.met) && self.is_met(to_end, back + spread);
        let (begin, end) = (End::new(to_begin, back), End::new(to_end, back));
        if begin_meets && !walk.begin_met {
            walk.begin_met = true;
            let (d, asked) = self.stretch(&walk.from_begin, &begin, -spread);
            self.ask(spread, spread + d, &asked);
        }
        if end_meets && !walk.end_met {
            walk.end_met = true;
            let (d, asked) = self.stretch(&walk.from_end, &end, spread);
            self.ask(-spread, d - spread, &asked);
        }
        // The other way round: from a place before, to here.
        if !place.met && begin_meets {
            // Reached where the path is straight: the change is that of the whole.
            let d = self.window / sqrt(to_begin.square);
            let asked = self.asked(&to_begin.by, d);
            self.ask(back - d, back, &asked);
            self.meet(place);
        } else if !place.met && end_meets {
            self.up_to(turn, place, (to_begin, to_end));
            self.meet(place);
        }
        (walk.from_begin, walk.from_end) = (begin, end);
    }

    /// The stretch from a place to where it comes to 8δ in the newest turn.
    fn up_to(
        &mut self,
        turn: &Newest<N>,
        place: &Place,
        (to_begin, to_end): (&Change<N>, &Change<N>),
    ) {
        let near = End::new(to_begin, place.back - turn.spread);
        let far = End::new(to_end, place.back + turn.spread);
        let (d, asked) = self.stretch(&near, &far, 0.0);
        self.ask(place.back - d, place.back, &asked);
    }

    /// Over a length of `d`, that change comes to 8δ.
    fn is_met(&self, change: &Change<N>, d: f32) -> bool {
        less(0.0, change.square) && !less(d * d * change.square, self.window2)
    }

    fn meet(&mut self, place: &Place) {
        let chord = self.chords.get_mut(place.chord);
        if let Some(met) = chord.and_then(|chord| chord.turn.met.get_mut(place.side)) {
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

    /// All turns from `near` to `far` behind the newest are asked for so much.
    pub(super) fn ask(&mut self, near: f32, far: f32, asked: &Asked<N>) {
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
                chord.turn.limit(asked);
            }
        }
    }
}
