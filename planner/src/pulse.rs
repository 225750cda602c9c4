//! Step pulses, and what the timer interrupt does next.

/// At `tick`, step these axes in these directions.
///
/// ```
/// use spokeshave::Pulse;
/// let pulse = Pulse { tick: 1200, steps: 0b101, forward: 0b001 };
/// assert_eq!([pulse.step(0), pulse.step(1), pulse.step(2)], [1, 0, -1]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Pulse {
    /// Tick of the step timer, counted from the start.
    pub tick: u64,
    /// Axes that step, bit 0 for the first.
    pub steps: u8,
    /// Of those, the ones whose position grows.
    pub forward: u8,
}

impl Pulse {
    /// -1, 0 or 1: the step of axis `axis` (0 is the first).
    pub fn step(&self, axis: usize) -> i8 {
        let bit = |mask: u8| (mask >> axis) & 1;
        let sign = 2 * bit(self.forward) as i8 - 1;
        bit(self.steps) as i8 * sign
    }
}

/// What the timer interrupt does next.
///
/// ```
/// use spokeshave::{Event, Pulse};
/// let next = |event| match event {
///     Event::Pulse(Pulse { tick, .. }) | Event::Wait(tick) => Some(tick), // arm the timer
///     Event::Idle => None, // stop it until pulse trains come
/// };
/// assert_eq!(next(Event::Wait(500)), Some(500));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Event {
    /// Make this pulse at its tick.
    Pulse(Pulse),
    /// Nothing before this tick; ask again then.
    Wait(u64),
    /// No pulse train is queued: all steps are made. Ask again when there is one.
    Idle,
}

/// Steps that came later than the plan asked, because the driver's minimum times were kept.
///
/// ```
/// use spokeshave::Lateness;
/// // Worth a word to the user: the machine is not as fast as its file says.
/// assert_eq!(Lateness::default(), Lateness { steps: 0, worst: 0 });
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Lateness {
    /// How many steps.
    pub steps: u32,
    /// The worst, ticks.
    pub worst: u32,
}

impl Lateness {
    /// The later of the two times at which a step is due and at which the driver is ready for it.
    ///
    /// A tick late is what rounding does where ramps meet, or steps come as fast as may be: more is
    /// counted.
    #[inline]
    pub(crate) fn put_off(&mut self, due: i32, ready: i32) -> i32 {
        if ready <= due {
            return due;
        }
        if ready - due > 1 {
            self.count((ready - due) as u32);
        }
        ready
    }

    #[cold]
    #[inline(never)]
    fn count(&mut self, ticks: u32) {
        self.steps = self.steps.saturating_add(1);
        self.worst = self.worst.max(ticks);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tick_late_is_no_lateness() {
        let mut late = Lateness::default();
        for (due, ready, at, steps, worst) in [
            (10, 3, 10, 0, 0),
            (10, 10, 10, 0, 0),
            (10, 11, 11, 0, 0),
            (10, 12, 12, 1, 2),
            (-4, 3, 3, 2, 7),
            (10, 12, 12, 3, 7),
        ] {
            assert_eq!(late.put_off(due, ready), at);
            assert_eq!(late, Lateness { steps, worst });
        }
    }
}
