//! The motion of a line: which words call for it, where it ends, at what feed.

use super::arcs;
use super::block::Block;
use super::canned::Start;
use super::codes::Once;
use super::fault::Fault;
use super::interpret::Interpreter;
use super::modal::{Cycle, Distance, Feed, FeedMode, Motion, Places};
use super::moves::{Leg, distance};
use crate::motion::{AXES, Action, Point};

impl Interpreter {
    /// Carries out the motion that a line calls for by a code, or by axis words under the mode in
    /// force.
    pub(super) fn motion(&mut self, block: &mut Block) -> Result<(), Fault> {
        let axis_word = block.first_axis();
        let mode = match (block.codes.motion, axis_word) {
            (Some((motion, _)), _) => {
                if self.modes.motion != motion {
                    self.modes.sticky = None;
                }
                self.modes.motion = motion;
                Some(motion)
            }
            (None, Some(span)) => {
                if self.modes.motion == Motion::Cancelled {
                    return Err(Fault::new(
                        span,
                        "an axis word, but no motion mode is in force",
                        "write G0, G1 or another motion code on this line or before it",
                    ));
                }
                Some(self.modes.motion)
            }
            (None, None) => None,
        };
        let straight = matches!(mode, Some(Motion::Rapid | Motion::Line));
        let in_machine = match block.codes.once {
            Some((Once::MachineCoordinates, span)) => {
                if !straight || axis_word.is_none() {
                    return Err(Fault::new(
                        span,
                        "G53 without a straight move on its line",
                        "write G0 or G1 and axis words with it, as in G53 G0 Z0",
                    ));
                }
                true
            }
            _ => false,
        };
        match mode {
            None | Some(Motion::Cancelled) => Ok(()),
            // G0 or G1 alone only set the mode.
            Some(Motion::Rapid | Motion::Line) if axis_word.is_none() => Ok(()),
            Some(Motion::Rapid) => self.straight(block, in_machine, false),
            Some(Motion::Line) => self.straight(block, in_machine, true),
            Some(Motion::Arc { clockwise }) => self.arc(block, clockwise),
            Some(Motion::Cycle(cycle)) => self.start_cycle(block, cycle),
        }
    }

    fn straight(&mut self, block: &mut Block, in_machine: bool, cut: bool) -> Result<(), Fault> {
        let places = block.places();
        let to = self.target(block.take_axes(), in_machine);
        let feed = if cut {
            let length = distance(&self.mover.position, &to);
            self.feed(block, &places, length)?
        } else {
            None
        };
        if cut && feed.is_none() {
            return Ok(());
        }
        let leg = Leg {
            to,
            feed,
            arc: None,
            exact_stop: self.modes.exact_stop,
            in_cycle: false,
        };
        self.go(leg, &places)
    }

    fn arc(&mut self, block: &mut Block, clockwise: bool) -> Result<(), Fault> {
        let places = block.places();
        let call = arcs::Call {
            plane: self.modes.plane,
            unit: self.modes.unit,
            clockwise,
            from: self.mover.position,
            to: self.target(block.take_axes(), false),
        };
        let (to, arc) = arcs::resolve(&call, block, &places)?;
        let length = arcs::length(&arc, &call.from, &to);
        let feed = self.feed(block, &places, length)?;
        let leg = Leg {
            to,
            feed,
            arc: Some(arc),
            exact_stop: self.modes.exact_stop,
            in_cycle: false,
        };
        self.go(leg, &places)
    }

    fn start_cycle(&mut self, block: &mut Block, cycle: Cycle) -> Result<(), Fault> {
        let places = block.places();
        let start = Start {
            cycle,
            modes: &self.modes,
            position: self.mover.position,
            origin: self.origin(),
        };
        let (run, sticky) = start.take_words(block)?;
        let feed = self.feed_per_minute(&places)?;
        self.modes.sticky = Some(sticky);
        self.cycle = Some((run, feed));
        Ok(())
    }

    fn go(&mut self, leg: Leg, places: &Places) -> Result<(), Fault> {
        if let Some(made) = self.mover.go(leg, places)? {
            self.ready.push_back(Action::Move(made));
        }
        Ok(())
    }

    /// Where the axis words of a line lead, mm. G53 words are absolute, also in G91.
    fn target(&self, words: [Option<f64>; AXES], in_machine: bool) -> Point {
        let unit = self.modes.unit.mm();
        let origin = self.origin();
        let mut to = self.mover.position;
        for (axis, word) in words.into_iter().enumerate() {
            let Some(value) = word else { continue };
            to[axis] = match self.modes.distance {
                _ if in_machine => value * unit,
                Distance::Absolute => origin[axis] + value * unit,
                Distance::Incremental => to[axis] + value * unit,
            };
        }
        to
    }

    /// The feed of a cutting move of this length (mm), mm/s; `None` for one of no length in inverse
    /// time, which has none.
    fn feed(&self, block: &mut Block, places: &Places, length: f64) -> Result<Option<f64>, Fault> {
        if self.modes.feed_mode == FeedMode::PerMinute {
            return self.feed_per_minute(places).map(Some);
        }
        let Some(word) = block.take(b'F') else {
            return Err(Fault::new(
                places.motion,
                "a cutting move without F in inverse time mode (G93)",
                "write F on each such line: 1 over the minutes that the move takes",
            ));
        };
        let feed = length * word.value / 60.0;
        if word.value > 0.0 && length == 0.0 {
            return Ok(None);
        }
        if !(feed > 0.0 && feed.is_finite()) {
            return Err(Fault::new(
                word.span,
                format!("an inverse time of {} is not more than 0", word.value),
                "write 1 over the minutes that the move takes",
            ));
        }
        Ok(Some(feed))
    }

    fn feed_per_minute(&self, places: &Places) -> Result<f64, Fault> {
        let why = match self.modes.feed {
            Feed::Set(feed) => return Ok(feed),
            Feed::NeverSet => "no feed has been set".to_string(),
            Feed::UnitChanged(line) => {
                format!("no feed since the unit changed on line {line}")
            }
            Feed::InverseTimeEnded(line) => {
                format!("no feed since inverse time mode ended on line {line}")
            }
        };
        Err(Fault::new(
            places.motion,
            format!("a cutting move, but {why}"),
            "write F and the feed, in units per minute, on this line or before it",
        ))
    }
}
