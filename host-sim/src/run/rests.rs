//! Rests, however long: right to the tick, and told as a whole.

use super::pulses::Pulses;
use super::{Run, RunError, Sink};
use crate::motion::RestReason;
use crate::trace::Slice;

/// The longest rest that the planner takes at once, s.
const LONGEST: f32 = 100_000.0;

/// A rest of `seconds` on a timer of `hz`, in parts that the planner takes: it counts each to the nearest
/// tick, but has it in single precision, which is 4 ms off at a day. The first part leaves what single
/// precision cannot say of the rest, the next what is left of that.
///
/// What the planner refuses is handed on as it is.
fn parts(seconds: f64, hz: f64) -> impl Iterator<Item = f32> {
    let whole = seconds as f32;
    // False for what is no number.
    let good = whole > 0.0 && whole <= LONGEST;
    let mut left = if good { ticks(seconds, hz) } else { 0 };
    // A stop that lasts no time is asked for as well.
    let as_it_is = (left == 0).then_some(whole);
    let more = std::iter::from_fn(move || {
        let asked = (left > 0).then_some(left as f64 / hz)?;
        let mut part = asked as f32;
        if ticks(part.into(), hz) > left {
            part = part.next_down();
        }
        left -= ticks(part.into(), hz);
        Some(part)
    });
    as_it_is.into_iter().chain(more)
}

impl<S: Sink, P: Pulses> Run<'_, S, P> {
    /// The program stops, for `seconds` or for a moment.
    pub(super) fn rest(
        &mut self,
        line: u32,
        seconds: f64,
        why: RestReason,
    ) -> Result<(), RunError> {
        if let Some(piece) = &mut self.held {
            piece.stop = true;
            piece.rest_s += seconds;
        }
        self.accounts.stop(line, 0.0, why);
        // In this order the piece is complete before any ramp of it can be planned.
        self.wait_for_main_loop()?;
        if self.is_ending() {
            return Ok(());
        }
        self.plan.stop();
        for part in parts(seconds, self.machine_hz.into()) {
            self.accounts.stop(line, part.into(), why);
            while self.plan.is_full() {
                self.ramp()?;
            }
            if self.is_ending() {
                return Ok(());
            }
            self.plan
                .rest(part, line)
                .map_err(|why| RunError::plan(line, why))?;
        }
        Ok(())
    }

    /// Takes a ramp at rest to those before, where it goes on with them: an hour of rest is a million ramps on
    /// a fast timer.
    pub(super) fn join_rest(&mut self, slice: Slice) {
        let why = |slice: &Slice| (slice.line, slice.stop, slice.low_point);
        match &mut self.resting {
            Some(rest) if why(rest) == why(&slice) => {
                rest.duration_s = slice.start_s + slice.duration_s - rest.start_s;
            }
            _ => {
                self.tell_rest();
                self.resting = Some(slice);
            }
        }
    }

    /// The rest is over, or something happens in it.
    pub(super) fn tell_rest(&mut self) {
        if let Some(rest) = self.resting.take() {
            self.sink.slice(&rest);
        }
    }
}

/// To the nearest tick, as the planner counts.
fn ticks(seconds: f64, hz: f64) -> u64 {
    (seconds * hz + 0.5) as u64
}

#[cfg(test)]
mod tests {
    use super::{LONGEST, parts, ticks};

    #[test]
    fn parts_are_the_whole_to_the_tick() {
        for hz in [1e4, 1e6, 84e6, 2e8] {
            for seconds in [
                1e-5,
                0.1,
                0.7,
                12.345,
                3_599.999_999,
                86_399.123_456_7,
                100_000.0,
            ] {
                let all: Vec<f32> = parts(seconds, hz).collect();
                let sum: u64 = all.iter().map(|part| ticks((*part).into(), hz)).sum();
                assert_eq!(sum, ticks(seconds, hz), "{seconds} s, {hz} Hz: {all:?}");
                // Each leaves less than 1/2²³ of what was left: 2e13 ticks are gone in two.
                assert!(
                    (1..=3).contains(&all.len()),
                    "{seconds} s, {hz} Hz: {all:?}"
                );
                assert!(all.iter().all(|part| *part <= LONGEST));
            }
        }
    }

    #[test]
    fn what_is_refused_is_handed_on() {
        for seconds in [-1.0, 0.0, 1e9, f64::INFINITY] {
            let all: Vec<f32> = parts(seconds, 1e6).collect();
            assert_eq!(all, [seconds as f32]);
        }
    }
}
