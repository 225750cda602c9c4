//! Pulses of step lines in the order in which they begin, each once it is known whether it counts.
//!
//! A pulse counts as a step once it has lasted for a part of the driver's pulse width, so what comes
//! after it waits for so long, and no longer: memory is bounded by what happens in that time.

use std::collections::VecDeque;

/// A pulse that has begun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pulse {
    /// Number of its motor.
    pub motor: usize,
    /// When it began, ps.
    pub rise: i64,
    /// Direction, −1 or 1, as the line stood then.
    pub direction: i8,
    /// How long the direction had stood since its last change, ps.
    pub setup: Option<i64>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum State {
    Open,
    Step,
    Glitch,
}

/// Pulses that are not told yet.
#[derive(Clone, Debug, Default)]
pub(super) struct Pulses(VecDeque<(Pulse, State)>);

impl Pulses {
    /// A pulse begins.
    pub fn begin(&mut self, pulse: Pulse) {
        self.0.push_back((pulse, State::Open));
    }

    /// The pulse of `motor` ends, and counts or not; whether it waits to be told.
    pub fn end(&mut self, motor: usize, counts: bool) -> bool {
        let mut open = self.0.iter_mut().rev();
        let open = open.find(|(pulse, state)| pulse.motor == motor && *state == State::Open);
        // Where there is none it was long enough to be told before it was over.
        let waits = open.is_some();
        if let Some((_, state)) = open {
            *state = if counts { State::Step } else { State::Glitch };
        }
        waits
    }

    /// The next pulse that counts, if it is known at `time` which; pulses that have lasted for
    /// `enough` do.
    pub fn next(&mut self, time: i64, enough: i64) -> Option<Pulse> {
        while let Some((pulse, state)) = self.0.front().copied() {
            if state == State::Open && time - pulse.rise < enough {
                return None;
            }
            self.0.pop_front();
            if state != State::Glitch {
                return Some(pulse);
            }
        }
        None
    }
}
