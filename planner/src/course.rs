//! The course of the path ahead: joins moves to chords, has the law of bends applied to them, and
//! hands each move its final limits once no move to come can change them.

use crate::bend::{Bends, Bent, Chord, Turn};
use crate::brake_map::{BrakeMap, Passing};
use crate::braking::BrakingQueue;
use crate::coordinate::Point;
use crate::math::{least, less, most};
use crate::moves::{Queued, Straight};
use crate::outlook::Outlook;
use crate::reason::LowPoint;
use crate::thin::Thinner;
use crate::vector::{Axes, Limits, displacement, split};

/// Vertices this part of the junction deviation and less beside a chord do not count for its
/// direction.
const THIN: f32 = 0.125;

/// The queue of a look-ahead.
pub(crate) type Queue<const N: usize, const Q: usize> = BrakingQueue<Queued<N>, Q>;

#[derive(Debug)]
pub(crate) struct Course<const N: usize, const Q: usize> {
    thinner: Thinner<N>,
    /// The chord that is growing; its direction is not known yet.
    open: Chord<N>,
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
            open: nothing(true),
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

    /// Takes in the move that was just put into the queue, with its reach and the square of its cap.
    pub fn add(
        &mut self,
        queue: &mut Queue<N, Q>,
        straight: &Straight<N>,
        heading: &[f32; N],
        (reach, cap2): (f32, f32),
    ) {
        if !self.on {
            return;
        }
        if !self.thinner.extend(&straight.to, heading) {
            self.close(queue);
        }
        let open = &mut self.open;
        if open.moves == 0 {
            open.way = *heading;
            self.thinner.begin(heading, straight.length);
        }
        open.length += straight.length;
        open.moves += 1;
        open.fastest = most(open.fastest, cap2);
        open.braking = open.braking.then(&straight.braking(reach));
        self.end = straight.to;
        // A longer chord would keep its moves waiting for nothing.
        if !less(
            open.length * open.length,
            self.bends.out_of_reach(open.fastest),
        ) {
            self.close(queue);
        }
    }

    /// The path ends in rest: nothing to come changes what was before.
    pub fn rest(&mut self, queue: &mut Queue<N, Q>) {
        self.close(queue);
        self.bends.end();
        self.settle(queue, true);
        self.open = nothing(true);
    }

    /// Takes in a rest that was just put into the queue.
    pub fn add_rest(&mut self) {
        if !self.on {
            return;
        }
        self.outlook
            .push(BrakeMap::new(0.0, LowPoint::Stop, 0.0, f32::INFINITY));
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
        if self.open.moves > 1 {
            (_, self.open.way) = split(&displacement(self.thinner.from(), &self.end));
        }
        self.open.axes = Axes::of(&self.open.way);
        self.bends.close(&self.open);
        self.open = nothing(false);
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
        let end_from = chord.length - end.reach;
        let mut from = 0.0;
        for _ in 0..chord.moves {
            let Some((Queued::Move(straight), reach)) = queue.get_mut(self.outlook.len()) else {
                break;
            };
            let to = from + straight.length;
            for (zone, within) in [
                (start, !less(start.reach, from)),
                (end, !less(from, end_from)),
            ] {
                if within && less(zone.most, straight.entry) {
                    (straight.entry, straight.low) = (zone.most, LowPoint::Bend);
                }
            }
            if !chord.is_free() {
                let in_start = most(least(to, start.reach) - from, 0.0);
                let in_end = most(to - most(from, end_from), 0.0);
                straight.bend = straight.length / (in_start * start.share + in_end * end.share);
            }
            self.outlook.push(straight.braking(reach));
            from = to;
        }
        self.fresh = false;
    }
}

/// A chord without moves.
fn nothing<const N: usize>(from_rest: bool) -> Chord<N> {
    Chord {
        way: [0.0; N],
        length: 0.0,
        moves: 0,
        axes: Axes::NONE,
        from_rest,
        fastest: 0.0,
        braking: BrakeMap::NONE,
        turn: Turn::NONE,
    }
}
