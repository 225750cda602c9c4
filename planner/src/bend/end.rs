//! Where the path ends in rest.

use super::Bends;
use crate::math::less;
use crate::vector::change;

impl<const N: usize> Bends<N> {
    /// The path ends here, in rest. Stretches that it cuts off never come to 8δ: what they turn in the
    /// length that they have counts.
    pub fn end(&mut self) {
        let Some(last) = self.chords.last().copied() else {
            return;
        };
        let before = self.chords.iter().rev().nth(1);
        if let Some(corner) = before.and_then(|before| self.corner(&before.way, &last.way)) {
            let most = self.beside_rest(&last, &corner);
            if let Some(last) = self.chords.last_mut() {
                last.turn.cap(most);
            }
        }
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
                    self.ask(-last.length, back + offset, &asked);
                }
            }
            if !less(back * back, self.out_of_reach(self.fastest)) {
                break;
            }
        }
    }
}
