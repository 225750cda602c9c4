//! A job as a test knows it: every move, and what the rules allow on it.

use crate::profile::Stretch;
use crate::rules::{self, HEADING, Span, U};
use spokeshave::{LookAhead, Machine, Point};

/// The unit in which the planner adds up v², mm²/s²: rounded down to it once a move.
pub(crate) const QUANTUM: f64 = 1.0 / 8_388_608.0;

/// One straight move that was taken by the planner.
#[derive(Clone, Copy, Debug)]
pub struct Straight<const N: usize> {
    /// Where it begins.
    pub from: Point<N>,
    /// Where it ends.
    pub to: Point<N>,
    /// Direction.
    pub unit: [f64; N],
    /// Length, mm.
    pub length: f64,
    /// Programmed feed, mm/s; `None` for a rapid.
    pub feed: Option<f32>,
    /// Rest is asked for where it begins.
    pub stop: bool,
}

/// The moves of a job.
#[derive(Clone, Debug)]
pub struct Job<const N: usize> {
    /// The machine it runs on.
    pub machine: Machine<N>,
    /// Where it begins.
    pub start: Point<N>,
    /// Its moves, none of them empty.
    pub moves: Vec<Straight<N>>,
}

impl<const N: usize> Job<N> {
    /// A job without moves.
    pub fn new(machine: Machine<N>, start: Point<N>) -> Self {
        Self {
            machine,
            start,
            moves: Vec::new(),
        }
    }

    /// Where the last move ends.
    pub fn end(&self) -> Point<N> {
        self.moves.last().map_or(self.start, |last| last.to)
    }

    /// Adds a move from the end of the last; one that goes nowhere is left out.
    pub fn line(&mut self, to: Point<N>, feed: Option<f32>, stop: bool) {
        let from = self.end();
        if from == to {
            return;
        }
        let way = rules::displacement(&from, &to);
        let length = rules::norm(&way);
        self.moves.push(Straight {
            from,
            to,
            unit: way.map(|x| x / length),
            length,
            feed,
            stop: stop || self.moves.is_empty(),
        });
    }

    /// Speed cap of a move, mm/s.
    pub fn cap(&self, k: usize) -> f64 {
        rules::speed_cap(&self.machine, &self.moves[k].unit, self.moves[k].feed)
    }

    /// Acceleration along a move, mm/s².
    pub fn acceleration(&self, k: usize) -> f64 {
        rules::acceleration(&self.machine, &self.moves[k].unit)
    }

    /// The most v² where move `k` begins: corner, caps of both moves, stops. Between what values
    /// the planner may find it.
    pub fn entry(&self, k: usize) -> Span {
        if self.moves[k].stop {
            return Span { lo: 0.0, hi: 0.0 };
        }
        let corner = rules::corner(&self.machine, &self.moves[k - 1].unit, &self.moves[k].unit);
        // A cap is a limit over a component (one division), and it is squared.
        let cap = |k| Span::around(f64::powi(self.cap(k), 2), 2.0 * (HEADING + 2.0 * U));
        let all = corner.min(cap(k - 1)).min(cap(k));
        Span {
            lo: (all.lo - QUANTUM).max(0.0),
            hi: all.hi,
        }
    }

    /// The moves as stretches of a textbook plan.
    pub fn stretches(&self) -> Vec<Stretch> {
        (0..self.moves.len())
            .map(|k| {
                let cap = self.cap(k);
                let corner = |k: usize| {
                    rules::exact_corner(&self.machine, &self.moves[k - 1].unit, &self.moves[k].unit)
                };
                let entry = if self.moves[k].stop {
                    0.0
                } else {
                    corner(k).min(cap * cap).min(self.cap(k - 1).powi(2))
                };
                Stretch {
                    length: self.moves[k].length,
                    cap,
                    acceleration: self.acceleration(k),
                    entry,
                    bend: f64::INFINITY,
                }
            })
            .collect()
    }

    /// The same with the limits that the law of bends sets, as the planner's look-ahead finds them
    /// with all moves in its queue.
    ///
    /// # Panics
    /// Where the job has more moves than that queue.
    pub fn stretches_with_bends(&self) -> Vec<Stretch> {
        const WHOLE: usize = 16_384;
        let mut queue: Box<LookAhead<N, WHOLE>> =
            Box::new(LookAhead::new(&self.machine, self.start));
        for (tag, next) in (0..).zip(&self.moves) {
            if next.stop {
                queue.stop();
            }
            queue.line(next.to, next.feed, tag).expect("room");
        }
        queue.stop();
        let mut stretches = self.stretches();
        for stretch in &mut stretches {
            let planned = queue.take().expect("as many moves");
            // A corner is known better in double precision.
            stretch.entry = stretch.entry.min(planned.limit_v2.into());
            stretch.acceleration = stretch.acceleration.min(planned.acceleration.into());
            stretch.bend = planned.bend_v2.into();
        }
        stretches
    }

    /// How much v² can change over move `k`, and between what values the planner may find it: an
    /// acceleration (heading and one division), a length (heading), two products.
    pub fn change(&self, k: usize) -> Span {
        let change = 2.0 * self.acceleration(k) * self.moves[k].length;
        let span = Span::around(change, 2.0 * HEADING + 4.0 * U);
        Span {
            lo: (span.lo - QUANTUM).max(0.0),
            hi: span.hi,
        }
    }
}
