//! How fast a move may be: by its feed and by the axes.

use crate::axis::{Axis, Fault};
use crate::math::less;
use crate::reason::Limit;
use crate::vector::Limits;

/// Least feed, mm/s: slower, a ramp would not get anywhere on the longest move.
const LEAST_FEED: f32 = 0.001;
/// Most feed, mm/s.
const MOST_FEED: f32 = 10_000.0;

/// Speed limits of the axes, mm/s, and as shares.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SpeedCaps<const N: usize> {
    limits: [f32; N],
    shares: Limits<N>,
}

impl<const N: usize> SpeedCaps<N> {
    pub fn new(axes: &[Axis; N]) -> Self {
        let limits = axes.map(|axis| axis.speed_limit);
        Self {
            limits,
            shares: Limits::new(&limits),
        }
    }

    /// What is wrong with a feed, if anything.
    pub fn check(feed: Option<f32>) -> Result<(), Fault> {
        let good = LEAST_FEED.to_bits()..=MOST_FEED.to_bits();
        match feed {
            // Negative numbers and what is none lie past all positive ones.
            Some(feed) if !good.contains(&feed.to_bits()) => {
                Fault::of(feed.into(), LEAST_FEED.into(), MOST_FEED.into()).map_or(Ok(()), Err)
            }
            _ => Ok(()),
        }
    }

    /// The highest speed along `heading`, mm/s, and what sets it.
    pub fn along(&self, heading: &[f32; N], feed: Option<f32>) -> (f32, Limit) {
        // No axis moves faster than the path.
        let mut axes = heading.iter().zip(&self.limits);
        if let Some(feed) = feed
            && axes.all(|(part, limit)| !(less(0.0, part.abs()) && less(*limit, feed)))
        {
            return (feed, Limit::Feed);
        }
        let (share, axis) = self.shares.share(heading);
        match feed {
            Some(feed) if !less(1.0, feed * share) => (feed, Limit::Feed),
            _ => (1.0 / share, Limit::AxisSpeed(axis)),
        }
    }
}
