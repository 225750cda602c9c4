//! A pulse train: what goes from the main loop to the timer interrupt.

/// The steps of all axes over part of a ramp, prepared as whole numbers: the interrupt only adds.
///
/// [`TrainMaker`](crate::TrainMaker) makes them of ramps, [`PulseGenerator`](crate::PulseGenerator)
/// takes them.
///
/// ```
/// use spokeshave::PulseTrain;
/// // What a queue of eight takes in memory, for three axes.
/// assert!(8 * size_of::<PulseTrain<3>>() <= 1024);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PulseTrain<const N: usize> {
    pub(crate) steps: [Steps; N],
    /// Axes whose last step, of this train or one before, makes the position grow, bit 0 for the
    /// first.
    pub(crate) forward: u8,
    /// Ticks from the tick that the last train counts from to the one that this counts from.
    pub(crate) lead: u32,
}

/// The steps of one axis in a train.
///
/// The time of a step is a cubic of its number. Such a polynomial is carried from one whole number
/// to the next by its forward differences, three additions and nothing else (any text on finite
/// differences: Newton's forward formula).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Steps {
    pub times: Times,
    /// When the first step is due, ticks.
    pub first: i32,
    /// How many there are, less than 0 where the position falls.
    pub count: i32,
}

/// Times of evenly spaced steps, 2⁻³² of a tick.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Times {
    /// Of the next step.
    pub next: i64,
    /// From there to the one after, and the differences of that.
    pub first: i64,
    pub second: i64,
    pub third: i64,
}

impl Times {
    /// The time of the next step, whole ticks; then looks one step further.
    #[inline]
    pub fn advance(&mut self) -> i32 {
        let ticks = (self.next >> 32) as i32;
        self.next += self.first;
        self.first += self.second;
        self.second += self.third;
        ticks
    }
}
