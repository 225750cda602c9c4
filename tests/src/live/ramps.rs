//! Whether a ramp may be, by what the model knows.

use super::{Model, Queued};
use crate::job::QUANTUM;
use crate::{audit, exact, rules};
use spokeshave::{Machine, Ramp, State};

/// The part of its speed that an axis keeps for braking where it turns as fast as it can: what the
/// planner leaves at the least (`theory.md`, the law of bends).
const LEFT: f64 = 0.03;

impl<const N: usize> Model<N> {
    /// The planner gave this ramp.
    ///
    /// # Panics
    /// Where it may not be.
    pub fn ramp(&mut self, ramp: &Ramp<N>) {
        let seconds = ramp.ticks() / f64::from(self.machine.controller().timer_hz);
        assert_eq!(ramp.entry_speed, self.speed, "speed jumps: {ramp:?}");
        audit::duration(&self.machine, ramp);
        assert!(
            matches!(
                self.state(),
                State::Moving | State::Jogging | State::Holding | State::Ending
            ),
            "{:?}: {ramp:?}",
            self.state()
        );
        for (position, steps) in self.position.iter_mut().zip(ramp.steps) {
            *position += steps;
        }
        self.speed = ramp.exit_speed;
        match self.queue.front_mut() {
            Some(Queued::Move { tag, .. }) => {
                assert_eq!(*tag, ramp.tag, "order: {ramp:?}");
                self.moves(ramp, seconds);
            }
            Some(Queued::Rest { tag, ticks }) => {
                assert_eq!(*tag, ramp.tag, "order: {ramp:?}");
                assert_eq!((ramp.steps, ramp.exit_speed), ([0; N], 0.0), "{ramp:?}");
                let ticks_now = ramp.duration >> 32;
                *ticks = ticks.checked_sub(ticks_now).expect("it rests too long");
                assert_eq!(ramp.ends_move, *ticks == 0);
                if ramp.ends_move {
                    self.queue.pop_front();
                }
            }
            other => panic!("a ramp of {other:?}: {ramp:?}"),
        }
    }

    fn moves(&mut self, ramp: &Ramp<N>, seconds: f64) {
        let Some(Queued::Move {
            unit,
            length,
            feed,
            to,
            stop,
            ..
        }) = self.queue.front().cloned()
        else {
            unreachable!("looked at before");
        };
        let axes = rules::speed_cap(&self.machine, &unit, None);
        let cap = match feed {
            Some(feed) => axes.min(f64::from(feed) * self.feed_override),
            None => axes * self.rapid_override,
        };
        // Where an override made it slower, it comes down to the cap, and does so without delay.
        let entry = f64::from(ramp.entry_speed);
        let over = 1e-4;
        self.slices += 1;
        let leg = audit::Leg {
            unit,
            length,
            cap: cap.max(entry),
            off: self.off,
            room: self.room(&unit, ramp),
        };
        audit::one(&self.machine, &leg, ramp, self.slices);
        let acceleration = rules::acceleration(&self.machine, &unit);
        let exit = f64::from(ramp.exit_speed);
        if entry > cap * (1.0 + over) {
            let most = (entry - LEFT * acceleration * seconds * 0.99).max(cap);
            assert!(
                exit <= most * (1.0 + over),
                "past the cap of {cap}: {ramp:?}"
            );
        }
        if self.slices == 1 {
            self.corner(&unit, stop, ramp);
        }
        if let Some((braked, from)) = &mut self.braking {
            assert!(exit <= entry, "speeds up while it brakes: {ramp:?}");
            *braked += seconds;
            let bound = bound(&self.machine, *from);
            assert!(*braked <= bound, "brakes for {braked} s, and not {bound}");
            self.worst_braking = self.worst_braking.max(*braked / bound);
        }
        if ramp.ends_move {
            let target = exact::position(&self.machine, &to);
            for (axis, (at, target)) in self.position.iter().zip(target).enumerate() {
                // Rounded to 2⁻³² step from a scale that is off by 1/4 of it.
                let off = (at - target).abs();
                assert!(off <= 1, "axis {axis}: {off}/2³² step off at {ramp:?}");
            }
            self.last_unit = Some(unit);
            self.off = 0.0;
            self.queue.pop_front();
            self.slices = 0;
        }
    }

    /// A move begins no faster than its corner allows, and at rest where the program stops.
    fn corner(&self, unit: &[f64; N], stop: bool, ramp: &Ramp<N>) {
        let b = f64::from(ramp.entry_speed).powi(2);
        let most = match &self.last_unit {
            Some(last) if !stop => rules::corner(&self.machine, last, unit).hi,
            _ => 0.0,
        };
        // The root and the conversion of v² from a whole number, in its unit.
        assert!(
            b <= most * (1.0 + 12.0 * rules::U) + QUANTUM,
            "corner: {b} past {most}"
        );
    }

    /// What rounding makes of a change of speed, mm/s. What would last less than half a tick at nearly the
    /// same speed, to 1e-4, is joined to its neighbour. And an override rounds v² down to the unit of the
    /// planner's sums, by as many of them as moves are queued, which are 64 at most.
    fn room(&self, unit: &[f64; N], ramp: &Ramp<N>) -> f64 {
        let (entry, exit) = (f64::from(ramp.entry_speed), f64::from(ramp.exit_speed));
        let hz = f64::from(self.machine.controller().timer_hz);
        let top = entry.max(exit);
        let joined = (0.5 / hz * rules::acceleration(&self.machine, unit)).min(1e-4 * top);
        let rounded = 64.0 * QUANTUM / (entry + exit).max(f64::MIN_POSITIVE);
        joined
            + if self.overridden {
                rounded.min(top)
            } else {
                0.0
            }
    }
}

/// The longest that braking from `speed` to rest may take, s. In a bend at its limit, the axes have
/// 3 % for braking left, and more as it slows down; where every bend is tighter than the last, 3 % may
/// be all there is. Ramps are cut where they began to brake (one ramp time), and each takes what was left
/// at its start.
pub fn bound<const N: usize>(machine: &Machine<N>, speed: f64) -> f64 {
    let weakest = machine
        .axes()
        .iter()
        .map(|axis| f64::from(axis.acceleration_limit))
        .fold(f64::INFINITY, f64::min);
    let ramp = f64::from(machine.controller().ramp_time);
    let tick = 1.0 / f64::from(machine.controller().timer_hz);
    speed / (LEFT * weakest) * (1.0 + 1e-4) + 5.0 * ramp + tick
}
