//! A ramp: the plan in slices of constant acceleration, before pulse trains are made of it.

use crate::reason::{Limit, LowPoint};

/// A slice of one straight move at constant acceleration, final and bounded in time.
///
/// A ramp says how far each axis goes, how long that takes and at what speeds it begins and ends;
/// between, the speed changes evenly. It needs no unit of length: with τ the part of the time and
/// u the part of the way, u = w·τ + (1 − w)·τ², w = 2·entry/(entry + exit), which meets both ends
/// exactly, so that ramps join without a gap however many there are.
///
/// ```
/// use spokeshave::{Limit, LowPoint, Ramp};
/// let ramp = Ramp {
///     steps: [8 << 32, 0, 0], // eight steps of the first axis
///     duration: 10_000 << 32, // 10 ms at 1 MHz
///     entry_speed: 10.0,
///     exit_speed: 10.0,
///     tag: 7,
///     limit: Limit::Feed,
///     low_point: LowPoint::Stop,
///     ends_move: true,
/// };
/// assert_eq!(ramp.ticks(), 10_000.0);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Ramp<const N: usize> {
    /// How far each axis goes, in 2⁻³² of a step, signed.
    pub steps: [i64; N],
    /// How long it lasts, in 2⁻³² of a tick of the step timer; at most 2¹⁸ ticks.
    pub duration: u64,
    /// Speed along the path at its start, mm/s, 0 or more.
    pub entry_speed: f32,
    /// Speed along the path at its end, mm/s, 0 or more.
    pub exit_speed: f32,
    /// The tag that the caller gave the move.
    pub tag: u32,
    /// What holds the speed.
    pub limit: Limit,
    /// Where the speed changes: the slow place that this belongs to.
    pub low_point: LowPoint,
    /// This is the last ramp of its move.
    pub ends_move: bool,
}

impl<const N: usize> Ramp<N> {
    /// Most ticks that a ramp may last. Single precision keeps the time of a crossing to 4e-7 of
    /// the ramp: 0.1 tick of 2¹⁸.
    pub const MOST_TICKS: u32 = 1 << 18;

    /// How long it lasts, ticks.
    pub fn ticks(&self) -> f64 {
        self.duration as f64 / 4_294_967_296.0
    }
}
