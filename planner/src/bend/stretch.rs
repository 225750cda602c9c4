//! The stretches that end at the newest turn.

use super::chord::{Asked, most_of_each};
use super::{Bends, Turn};
use crate::math::{least, less, most, sqrt};
use crate::vector::{change, pairwise, square};

/// A place where a stretch may end: how far behind the newest turn it lies, and the direction there,
/// less that at the stretch's other end.
#[derive(Clone, Copy)]
struct End<const N: usize> {
    back: f32,
    change: [f32; N],
    change2: f32,
}

impl<const N: usize> End<N> {
    fn new(from: &[f32; N], to: &[f32; N], back: f32) -> Self {
        let change = change(from, to);
        Self {
            back,
            change,
            change2: square(&change),
        }
    }

    /// The same direction, elsewhere.
    fn at(self, back: f32) -> Self {
        Self { back, ..self }
    }
}

/// The newest turn: directions before and after, how far it spreads, and the fastest move at it.
pub(super) struct Newest<const N: usize> {
    pub before: [f32; N],
    pub after: [f32; N],
    pub spread: f32,
    /// v²
    pub fastest: f32,
    /// Stretches that end where it begins were tried when the turn before came.
    pub tried: bool,
}

impl<const N: usize> Bends<N> {
    /// Tries the stretches from the newest turn back, as far as any can limit something.
    pub(super) fn walk_back(&mut self, turn: &Newest<N>) {
        let spread = turn.spread;
        let window2 = self.window * self.window;
        let passes = |end: &End<N>, from: f32| {
            let d = end.back + from;
            !less(d * d * end.change2, window2)
        };
        // The last places tried, from where the turn ends and from where it begins.
        let mut from_end = End::new(&turn.before, &turn.after, spread);
        let mut from_begin = End::new(&turn.before, &turn.before, -spread);
        // A turn that fills a stretch by itself is a corner.
        let mut end_met = passes(&from_end, spread);
        let mut begin_met = turn.tried;
        let mut way_back = 0.0;
        let mut top = 0.0_f32;
        // Where no stretch comes to 8δ, what the turn takes over half the longest one and more, or all
        // of the path since it was at rest.
        let half_reach = 0.25 * self.out_of_reach(turn.fastest);
        let mut gentle = [0.0; N];
        self.far = f32::INFINITY;
        let newest = self.chords.len().saturating_sub(1);
        for k in (0..newest).rev() {
            let Some(chord) = self.chords.get(k).copied() else {
                break;
            };
            // One direction, from the beginning of the turn behind it to the end of the one before.
            let after = self.chords.get(k + 1).filter(|_| k + 1 < newest);
            let behind = after.map(|next| (k + 1, 0, next.turn.spread, next.turn.met[0]));
            let ahead = (k, 1, chord.length - chord.turn.spread, chord.turn.met[1]);
            let to_end = End::new(&chord.way, &turn.after, 0.0);
            let to_begin = End::new(&chord.way, &turn.before, 0.0);
            for (owner, side, offset, met) in behind.into_iter().chain([ahead]) {
                let back = way_back + offset;
                let (to_end, to_begin) = (to_end.at(back), to_begin.at(back));
                let (begin_passes, end_passes) =
                    (passes(&to_begin, -spread), passes(&to_end, spread));
                if begin_passes && !begin_met {
                    begin_met = true;
                    let (d, asked) = self.stretch(&from_begin, &to_begin, -spread);
                    self.each(spread, spread + d, |turn| turn.limit(&asked));
                }
                if end_passes && !end_met {
                    end_met = true;
                    let (d, asked) = self.stretch(&from_end, &to_end, spread);
                    self.each(-spread, d - spread, |turn| turn.limit(&asked));
                }
                // The other way round: from a place before, to here.
                if !met && begin_passes {
                    // Reached where the path is straight: the change is that of the whole.
                    let d = self.window / sqrt(to_begin.change2);
                    let asked = self.asked(&to_begin.change, d);
                    self.each(back - d, back, |turn| turn.limit(&asked));
                    self.meet(owner, side);
                } else if !met && end_passes {
                    let (near, far) = (to_begin.at(back - spread), to_end.at(back + spread));
                    let (d, asked) = self.stretch(&near, &far, 0.0);
                    self.each(back - d, back, |turn| turn.limit(&asked));
                    self.meet(owner, side);
                }
                (from_end, from_begin) = (to_end, to_begin);
            }
            way_back += chord.length;
            let d = from_end.back + spread;
            if !end_met && (chord.from_rest || !less(d * d, half_reach)) {
                most_of_each(&mut gentle, &self.rate(&from_end.change, d));
            }
            // Longer stretches than this limit nothing that is left.
            top = most(top, least(chord.turn.most, chord.fastest));
            let own = self.chords.back().map_or(0.0, |new| new.turn.most);
            let fastest = most(top, least(own, turn.fastest));
            if !less(way_back * way_back, self.out_of_reach(fastest)) {
                self.far = way_back;
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
        let (g0, g1) = (sqrt(near.change2), sqrt(far.change2));
        let (longer, more) = (d1 - d0, g1 - g0);
        let product = |t: f32| (d0 + t * longer) * (g0 + t * more);
        // A secant and one Newton step on a product of two even slopes.
        let t = ((self.window - product(0.0)) / (product(1.0) - product(0.0))).clamp(0.0, 1.0);
        let slope = d0 * more + g0 * longer + 2.0 * t * longer * more;
        let t = if less(0.0, slope) {
            (t + (self.window - product(t)) / slope).clamp(0.0, 1.0)
        } else {
            t
        };
        let d = d0 + t * longer;
        let turned = pairwise(&near.change, &far.change, |near, far| {
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
