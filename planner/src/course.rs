//! The course of the path ahead: joins moves to chords, has the law of bends applied to them, and
//! hands each move its final limits once no move to come can change them.

use crate::bend::{Bends, Bent, Open};
use crate::brake_map::{BrakeMap, Passing};
use crate::braking::BrakingQueue;
use crate::coordinate::Point;
use crate::corner::Corner;
use crate::math::{least, less, most};
use crate::moves::{Queued, Straight};
use crate::outlook::Outlook;
use crate::thin::Thinner;
use crate::vector::{Limits, displacement, split};

/// Vertices this part of the junction deviation and less beside a chord do not count for its
/// direction.
const THIN: f32 = 0.125;

/// The queue of a look-ahead.
pub(crate) type Queue<const N: usize, const Q: usize> = BrakingQueue<Queued<N>, Q>;

/// What is known of a move that comes in, besides what goes into the queue.
pub(crate) struct Arrival<const N: usize> {
    pub heading: [f32; N],
    /// Where it begins, if it turns there.
    pub corner: Option<Corner<N>>,
    pub reach: f32,
    /// Square of the highest speed that any override may ask for.
    pub fastest2: f32,
}

#[derive(Debug)]
pub(crate) struct Course<const N: usize, const Q: usize> {
    thinner: Thinner<N>,
    /// The chord that is growing, and the corner at its start, if it is one between single moves.
    open: Open<N>,
    corner: Option<Corner<N>>,
    /// The chord before is a single move.
    single: bool,
    end: Point<N>,
    bends: Bends<N>,
    outlook: Outlook<Q>,
    /// Braking over the chords between, and whether that is still true.
    between: BrakeMap,
    fresh: bool,
    /// Bends count.
    on: bool,
}

impl<const N: usize, const Q: usize> Course<N, Q> {
    /// At rest at `start`.
    pub fn new(accelerations: Limits<N>, deviation: f32, start: Point<N>) -> Self {
        Self {
            thinner: Thinner::new(THIN * deviation, start),
            open: Open::new(true),
            corner: None,
            single: false,
            end: start,
            bends: Bends::new(accelerations, deviation),
            outlook: Outlook::new(),
            between: BrakeMap::NONE,
            fresh: true,
            on: true,
        }
    }

    /// Leaves all bends out from now on.
    pub fn leave_out(&mut self) {
        self.on = false;
    }

    /// Takes in the move that was just put into the queue.
    pub fn add(&mut self, queue: &mut Queue<N, Q>, straight: &Straight<N>, arrival: &Arrival<N>) {
        if !self.on {
            return;
        }
        let shorter = least(self.open.length, straight.length);
        let sharp = self.open.moves == 1
            && (arrival.corner.as_ref()).is_some_and(|c| self.thinner.is_sharp(c, shorter));
        if sharp || !self.thinner.extend(&straight.to, &arrival.heading) {
            self.close(queue);
        }
        let open = &mut self.open;
        if open.moves == 0 {
            open.way = arrival.heading;
            self.corner = arrival.corner.filter(|_| self.single);
        }
        open.length += straight.length;
        open.moves += 1;
        open.fastest = most(open.fastest, arrival.fastest2);
        open.braking = open.braking.then(&straight.braking(arrival.reach));
        self.end = straight.to;
        let long2 = self.bends.out_of_reach(open.fastest);
        if !less(open.length * open.length, long2) {
            // A longer chord would keep its moves waiting for nothing.
            self.close(queue);
        } else if open.moves == 1 {
            self.thinner.begin(&open.way, open.length);
        }
    }

    /// The path ends in rest: nothing to come changes what was before.
    pub fn rest(&mut self, queue: &mut Queue<N, Q>) {
        self.close(queue);
        self.bends.end();
        self.settle(queue, true);
        self.open = Open::new(true);
    }

    /// Takes in a rest that was just put into the queue.
    pub fn add_rest(&mut self) {
        if !self.on {
            return;
        }
        self.outlook.push(BrakeMap::REST);
    }

    /// Works out the braking over all of the queue once more, whose moves have new entries.
    pub fn renew(&mut self, queue: &Queue<N, Q>) {
        if !self.on {
            return;
        }
        let mut maps = queue.items().map(Queued::braking);
        self.outlook.renew(maps.by_ref());
        let mut over = |moves: u16| {
            let maps = maps.by_ref().take(moves.into());
            maps.fold(BrakeMap::NONE, |all, map| all.then(&map))
        };
        self.bends.renew(&mut over);
        self.open.braking = over(self.open.moves);
        self.fresh = false;
    }

    /// Forgets the path; the machine rests at `at`.
    pub fn clear(&mut self, at: Point<N>) {
        self.thinner.restart(at);
        self.open = Open::new(true);
        self.corner = None;
        self.single = false;
        self.end = at;
        self.bends.clear();
        self.outlook.clear();
        self.fresh = false;
    }

    /// Makes the limits of the front move final, known or not.
    pub fn settle_front(&mut self, queue: &mut Queue<N, Q>) {
        if self.on && self.outlook.len() == 0 {
            if self.bends.all_settled() {
                self.close(queue);
            }
            if self.outlook.len() == 0
                && let Some(chord) = self.bends.ripe(true)
            {
                self.hand_out(queue, &chord);
            }
        }
    }

    /// How fast the front move, whose limits are final, may end; `None` where bends do not count.
    pub fn passing(&mut self) -> Option<Passing> {
        if !self.on {
            return None;
        }
        let mut way = self.outlook.behind_front();
        if !way.is_whole() {
            if !self.fresh {
                self.between = self.bends.braking();
                self.fresh = true;
            }
            way = way.then(&self.between).then(&self.open.braking);
        }
        Some(way.at(0.0))
    }

    /// The front move is gone.
    pub fn pop(&mut self) {
        self.outlook.pop();
    }

    /// Ends the chord that is growing.
    fn close(&mut self, queue: &mut Queue<N, Q>) {
        if self.open.moves == 0 {
            return;
        }
        self.single = self.open.moves == 1;
        if !self.single {
            (_, self.open.way) = split(&displacement(self.thinner.from(), &self.end));
            self.corner = None;
        }
        self.bends.close(&self.open, self.corner);
        self.open = Open::new(false);
        self.thinner.restart(self.end);
        self.settle(queue, false);
        self.fresh = false;
    }

    fn settle(&mut self, queue: &mut Queue<N, Q>, anyway: bool) {
        while let Some(chord) = self.bends.ripe(anyway) {
            self.hand_out(queue, &chord);
        }
    }

    /// Gives the moves of a chord the limits of the turns at its start and its end.
    fn hand_out(&mut self, queue: &mut Queue<N, Q>, chord: &Bent) {
        let (start, end) = (&chord.start, &chord.end);
        // From the start of the chord to that of a move, and from there to its end.
        let (mut before, mut left) = (0.0, chord.length);
        for move_left in (0..chord.moves).rev() {
            let Some((Queued::Move(straight), reach)) = queue.get_mut(self.outlook.len()) else {
                break;
            };
            for (zone, off) in [(start, before), (end, left)] {
                if !less(zone.reach, off) {
                    straight.bends_to(zone.most);
                }
            }
            let off = before;
            (before, left) = if move_left > 0 {
                (before + straight.length, left - straight.length)
            } else {
                (chord.length, 0.0)
            };
            let mut reach = reach;
            if !chord.is_free() {
                let taken = start.taken(off, straight.length) + end.taken(left, straight.length);
                if straight.shares(taken, chord.within) {
                    reach = straight.reach();
                }
            }
            self.outlook.push(straight.braking(reach));
        }
        self.fresh = false;
    }
}

#[cfg(test)]
mod tests;
