//! The moves whose limits are final, as one braking map from the front to their end, in amortised
//! constant time a move.
//!
//! A queue over anything that can be joined but not taken apart again: the moves at the front hold
//! the map from themselves to the end of that part, and what came in since is one map. When the
//! front part is used up, one walk from back to front makes a new one of all that is there; each
//! move is walked over once. (Two stacks as a queue; any text on sliding-window aggregation.)

use crate::brake_map::BrakeMap;
use heapless::Deque;

#[derive(Debug)]
pub(crate) struct Outlook<const Q: usize> {
    maps: Deque<BrakeMap, Q>,
    /// So many at the front hold the map from themselves to the last of them.
    joined: usize,
    /// All the others, joined.
    tail: BrakeMap,
}

impl<const Q: usize> Outlook<Q> {
    pub const fn new() -> Self {
        Self {
            maps: Deque::new(),
            joined: 0,
            tail: BrakeMap::NONE,
        }
    }

    pub fn len(&self) -> usize {
        self.maps.len()
    }

    pub fn push(&mut self, map: BrakeMap) {
        self.tail = self.tail.then(&map);
        // There are no more maps than moves in the queue, which has room.
        let _ = self.maps.push_back(map);
    }

    /// Puts `maps` in the place of those that there are, of which there are as many.
    pub fn renew(&mut self, maps: impl Iterator<Item = BrakeMap>) {
        for (map, new) in self.maps.iter_mut().zip(maps) {
            *map = new;
        }
        self.join();
    }

    pub fn clear(&mut self) {
        self.maps.clear();
        self.joined = 0;
        self.tail = BrakeMap::NONE;
    }

    pub fn pop(&mut self) {
        self.maps.pop_front();
        self.joined = self.joined.saturating_sub(1);
    }

    /// The way from the end of the front move to the end of the last, or as far as it counts.
    pub fn behind_front(&mut self) -> BrakeMap {
        if self.joined == 0 {
            self.join();
        }
        match self.maps.get(1) {
            Some(next) if self.joined > 1 => next.then(&self.tail),
            _ => self.tail,
        }
    }

    fn join(&mut self) {
        let mut all = BrakeMap::NONE;
        for map in self.maps.iter_mut().rev() {
            all = map.then(&all);
            *map = all;
        }
        self.joined = self.maps.len();
        self.tail = BrakeMap::NONE;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reason::LowPoint;
    use std::vec::Vec;

    /// The same by walking over all moves each time.
    fn walked(maps: &[BrakeMap]) -> BrakeMap {
        maps.iter()
            .skip(1)
            .rev()
            .fold(BrakeMap::NONE, |all, map| map.then(&all))
    }

    #[test]
    fn knows_what_a_walk_over_all_moves_finds() {
        let mut outlook: Outlook<16> = Outlook::new();
        let mut maps: Vec<BrakeMap> = Vec::new();
        let mut seed = 1_u32;
        for step in 0..5000 {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let part = (seed >> 8) as f32 / (1 << 24) as f32;
            if maps.len() < 16 && (maps.is_empty() || step % 7 < 4) {
                let bend = if part < 0.5 {
                    f32::INFINITY
                } else {
                    3e3 * part
                };
                let map = BrakeMap::new(1e4 * part * part, LowPoint::Corner, 500.0 * part, bend);
                outlook.push(map);
                maps.push(map);
            } else {
                outlook.pop();
                maps.remove(0);
            }
            assert_eq!(outlook.len(), maps.len());
            if maps.is_empty() {
                continue;
            }
            for end in [0.0, 100.0, 1e4] {
                let (found, exact) = (outlook.behind_front().at(end), walked(&maps).at(end));
                // Up to 16 products and sums of positive numbers, in another order.
                let room = 64.0 * f32::EPSILON * exact.v2;
                assert!((found.v2 - exact.v2).abs() <= room, "{found:?} {exact:?}");
            }
        }
    }
}
