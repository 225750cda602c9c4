//! The stretches that end at the newest turn.

use super::chord::most;
use super::{Bends, Turn};
use crate::math::sqrt;
use crate::vector::{change, square};

/// A place where a stretch may end: how far behind the newest turn it lies, and the direction there,
/// less that at the stretch's other end.
#[derive(Clone, Copy)]
struct End<const N: usize> {
    back: f32,
    change: [f32; N],
    change2: f32,
}

impl<const N: usize> Bends<N> {
    pub(super) fn walk_back(
        &mut self,
        way: [f32; N],
        before: [f32; N],
        spread: f32,
        fastest: f32,
        tried: bool,
    ) {
        let newest = self.chords.len().saturating_sub(1);
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
        // Where no stretch comes to 8δ, what the turn takes over half the longest one and more.
        let half_reach = 0.25 * self.out_of_reach(fastest);
        let mut gentle = [0.0; N];
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
                    self.each(spread, spread + stretch.0, |turn| turn.limit(&stretch.1));
                }
                if !end_met && passes(&to_end, spread) {
                    end_met = true;
                    let stretch = self.stretch(&from_end, &to_end, spread);
                    self.each(-spread, stretch.0 - spread, |turn| turn.limit(&stretch.1));
                }
                if from_rest {
                    continue;
                }
                // The other way round: from a place before, to here.
                if !turn.met[side] {
                    if passes(&to_begin, -spread) {
                        // Reached where the path is straight: the change is that of the whole.
                        let d = self.window / sqrt(to_begin.change2);
                        let rate = self.rate(&to_begin.change, d);
                        self.each(back - d, back, |turn| turn.limit(&rate));
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
                        self.each(back - stretch.0, back, |turn| turn.limit(&stretch.1));
                        self.meet(j, side);
                    }
                }
                (from_end, from_begin) = (to_end, to_begin);
                let d = back + spread;
                if !end_met && d * d >= half_reach {
                    most(&mut gentle, &self.rate(&to_end.change, d));
                }
            }
            // Longer stretches than this limit nothing that is left.
            let own = self.chords.back().map_or(0.0, |new| new.turn.most);
            if from_rest || way_back * way_back >= self.out_of_reach(top.max(own.min(fastest))) {
                break;
            }
        }
        if !end_met {
            let far = from_end.back;
            self.each(-spread, far, |turn| turn.bend(&gentle));
        }
    }

    fn meet(&mut self, chord: usize, side: usize) {
        if let Some(chord) = self.chords.get_mut(chord) {
            chord.turn.met[side] = true;
        }
    }

    /// Where between two ends d·|Δu| comes to 8δ, `from` further on than they are counted from: the
    /// length, and what it asks of each axis.
    fn stretch(&self, near: &End<N>, far: &End<N>, from: f32) -> (f32, [f32; N]) {
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
        (d, self.rate(&turned, d))
    }

    /// All turns from `near` to `far` behind the newest.
    pub(super) fn each(&mut self, near: f32, far: f32, act: impl Fn(&mut Turn<N>)) {
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
                act(&mut chord.turn);
            }
        }
    }
}
