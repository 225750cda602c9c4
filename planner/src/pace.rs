//! Overrides: what the operator makes of the programmed speeds, and how far that can go.

/// How much faster or slower than programmed the machine runs.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Pace {
    /// Times the programmed feed, [`Pace::LEAST`] to [`Pace::MOST_FEED`].
    pub feed: f32,
    /// Times the speed of a rapid, [`Pace::LEAST`] to 1.
    pub rapid: f32,
}

impl Pace {
    /// The slowest override: below it, a hold is meant.
    pub const LEAST: f32 = 0.1;
    /// The fastest override of the feed.
    pub const MOST_FEED: f32 = 2.0;
    /// As programmed.
    pub const PROGRAMMED: Self = Self {
        feed: 1.0,
        rapid: 1.0,
    };
}

/// `speed` times `factor`; a factor of 1 costs nothing.
pub(crate) fn scaled(speed: f32, factor: f32) -> f32 {
    if factor.to_bits() == 1.0_f32.to_bits() {
        speed
    } else {
        speed * factor
    }
}
