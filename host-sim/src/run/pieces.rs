//! Pieces of the path: into the planner, and told to whoever judges the pulses by them.

use super::pulses::Pulses;
use super::{Run, RunError, Sink};
use crate::check::Piece;
use crate::motion::{AXES, Move, MoveKind, Point};
use spokeshave::{Coordinate, MoveFacts, PlanError};

impl<S: Sink, P: Pulses> Run<'_, S, P> {
    /// A straight piece of `path` to `to`, which is `exact` in mm, and the take-up before it.
    pub(super) fn straight(
        &mut self,
        line: u32,
        path: &Move,
        to: [Coordinate; AXES],
        exact: Point,
    ) -> Result<(), RunError> {
        let (load, stands) = self.load;
        if to == load {
            return Ok(()); // Shorter than the planner's coordinates can tell.
        }
        self.release();
        self.wait_for_main_loop()?;
        let feed = path.feed.map(|feed| feed as f32);
        let (from, taken) = loop {
            while self.plan.is_full() {
                self.ramp()?;
            }
            if self.is_ending() {
                return Ok(());
            }
            let from = self.plan.end();
            match self.plan.line(to, feed, line) {
                // Room for the move, but not for a take-up before it.
                Err(PlanError::Full) => self.ramp()?,
                taken => break (from, taken.map_err(|why| RunError::plan(line, why))?),
            };
        };
        self.load = (to, exact);
        let motors = self.plan.end();
        let ahead = |point: Point, end: Point, goes: Point| {
            std::array::from_fn(|i| {
                if goes[i] == 0.0 {
                    end[i] // To the last digit: a sum would move an axis that stands by its rounding.
                } else {
                    point[i] + (motors[i].mm() - to[i].mm())
                }
            })
        };
        let mut begins = from;
        if let Some((turned, facts)) = taken.take_up {
            let take_up = Move {
                kind: MoveKind::TakeUp,
                feed: None,
                arc: None,
                ..path.clone()
            };
            let goes = way(&from, &turned);
            let turned_mm = ahead(stands, self.accounts.end(), goes);
            self.queue(line, &take_up, turned_mm, goes, &facts);
            self.release();
            begins = turned;
        }
        if let Some(facts) = taken.facts {
            let goes = way(&begins, &motors);
            let end = ahead(exact, self.accounts.end(), goes);
            self.queue(line, path, end, goes, &facts);
        }
        Ok(())
    }

    /// Books a move that the planner took, and holds its piece of path back.
    fn queue(&mut self, line: u32, path: &Move, to: Point, way: Point, facts: &MoveFacts) {
        self.held = Some(Piece {
            line,
            from: self.accounts.end(),
            to,
            feed: path.feed.map(|feed| feed * self.most_feed()),
            stop: false,
            rest_s: 0.0,
            kind: path.kind,
        });
        self.accounts.queue(line, path, to, way, facts);
    }

    /// Tells the piece that was held back.
    pub(super) fn release(&mut self) {
        let Some(mut piece) = self.held.take() else {
            return;
        };
        let ends = self.live.as_ref().and_then(|live| live.ends);
        match ends {
            // Where a job ends early, so does the path that it is judged by.
            Some((last, _)) if self.told > last => return,
            Some((last, at)) if self.told == last => (piece.to, piece.stop) = (at, true),
            _ => {}
        }
        self.told += 1;
        self.sink.piece(&piece);
    }
}

/// How far the planner goes on each axis, mm.
fn way(from: &[Coordinate; AXES], to: &[Coordinate; AXES]) -> Point {
    std::array::from_fn(|i| to[i].mm() - from[i].mm())
}
