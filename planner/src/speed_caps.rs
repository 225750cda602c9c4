//! How fast a move may be: by its feed and by the axes.

use crate::axis::{Axis, Fault};
use crate::math::less;
use crate::pace::scaled;
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
    /// The fastest feed override that will be asked for.
    headroom: f32,
}

impl<const N: usize> SpeedCaps<N> {
    pub fn new(axes: &[Axis; N]) -> Self {
        let limits = axes.map(|axis| axis.speed_limit);
        Self {
            limits,
            shares: Limits::new(&limits),
            headroom: 1.0,
        }
    }

    /// Feeds are to be had so many times faster than programmed.
    pub fn prepare(&mut self, headroom: f32) {
        self.headroom = headroom;
    }

    /// The fastest feed override that moves are prepared for.
    pub fn headroom(&self) -> f32 {
        self.headroom
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

    /// The highest speed along `heading` that any override may ask for, mm/s, and the axis that sets
    /// it where the feed does not.
    pub fn along(&self, heading: &[f32; N], feed: Option<f32>) -> (f32, u8) {
        let fastest = feed.map(|feed| scaled(feed, self.headroom));
        // No axis moves faster than the path.
        let mut axes = heading.iter().zip(&self.limits);
        if let Some(fastest) = fastest
            && axes.all(|(part, limit)| !(less(0.0, part.abs()) && less(*limit, fastest)))
        {
            return (fastest, 0);
        }
        let (share, axis) = self.shares.share(heading);
        match fastest {
            Some(fastest) if !less(1.0, fastest * share) => (fastest, axis),
            _ => (1.0 / share, axis),
        }
    }
}

#[cfg(test)]
mod tests;
