//! What happens when more chords matter than there is room for.
//!
//! Waves a little larger than thinning leaves out make many short chords. Then two of them become
//! one, the shortest for how far back they lie: what is near stays fine, what is far gets coarse, and
//! all of the path stays in sight. On noise of any size up to the junction deviation the
//! acceleration stays within 1.5 of the limit so (`tests/bends/noisy.rs`).

use super::{Bends, Turn};
use crate::math::{least, less};

impl<const N: usize> Bends<N> {
    /// Takes out the turn that is missed least, and gives what it limits to its neighbours.
    pub(super) fn make_room(&mut self) {
        // Where there is no room there is a turn to take out: one at most is the border.
        let Some(at) = self.least_turn() else { return };
        let turn = self.chords.get(at).map_or(Turn::NONE, |chord| chord.turn);
        if let Some(next) = self.chords.get_mut(at + 1) {
            next.turn.inherit(&turn);
        }
        // Everything from there on moves up by one.
        for k in at..self.chords.len() {
            let Some(next) = self.chords.get(k).copied() else {
                break;
            };
            if let Some(last) = self.chords.get_mut(k - 1) {
                *last = if k == at { last.joined(&next) } else { next };
            }
        }
        self.chords.drop_newest();
        if at < self.settled {
            self.settled -= 1;
        }
        if at < self.done {
            self.done -= 1;
        }
        for at in [at - 1, at] {
            let (Some(last), Some(next)) = (
                at.checked_sub(1).and_then(|last| self.chords.get(last)),
                self.chords.get(at),
            ) else {
                continue;
            };
            let corner = self.corner(&last.way, &next.way);
            let shorter = least(last.length, next.length);
            let spread = corner.map(|corner| self.spread(&corner, shorter));
            if let (Some((spread, both)), Some(next)) = (spread, self.chords.get_mut(at)) {
                next.turn.makes(spread, both);
            }
        }
    }

    /// The turn whose two chords are the shortest for how far back they lie, the newest and the
    /// border to what is settled left out: so what is near stays fine.
    fn least_turn(&self) -> Option<usize> {
        let mut least: Option<(usize, f32, f32)> = None;
        let mut back = self.chords.last()?.length;
        for at in (1..self.chords.len().saturating_sub(1)).rev() {
            let (Some(last), Some(next)) = (self.chords.get(at - 1), self.chords.get(at)) else {
                break;
            };
            back += next.length;
            let both = last.length + next.length;
            let longer = least.is_some_and(|(_, other, there)| less(other * back, both * there));
            if at != self.settled && !longer {
                least = Some((at, both, back));
            }
        }
        least.map(|(at, ..)| at)
    }
}
