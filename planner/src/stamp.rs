//! When something was done, in 32 bits: a generator holds many such, and compares them at every step.

/// Steps so many ticks ago set no time for the next: a driver's minimum times are at most 0.2 s,
/// 8e7 ticks at the fastest timer.
pub(crate) const LONG_AGO: u32 = 1 << LONG_AGO_BITS;
pub(crate) const LONG_AGO_BITS: u32 = 28;

/// When something was done: the low bits of the tick. It is compared as a difference to the base, which
/// wraps; so what was long ago is brought up before that is half of the range.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Stamp(pub u32);

impl Stamp {
    /// Ticks from `base` to it.
    #[inline]
    pub fn since(self, base: u64) -> i32 {
        self.0.wrapping_sub(base as u32) as i32
    }

    /// No sooner than long before `base`.
    pub fn bring_up(&mut self, base: u64) {
        if self.since(base) < -(LONG_AGO as i32) {
            *self = Self((base as u32).wrapping_sub(LONG_AGO));
        }
    }
}
