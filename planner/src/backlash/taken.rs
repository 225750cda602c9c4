//! What became of a move.

use crate::coordinate::Point;
use crate::moves::MoveFacts;

/// A move that was taken, and the take-up before it.
///
/// ```
/// use spokeshave::Taken;
/// let nothing: Taken<3> = Taken::default(); // A move that goes nowhere leaves no trace.
/// assert!(nothing.take_up.is_none() && nothing.facts.is_none());
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Taken<const N: usize> {
    /// Where the motors of a take-up come to, and what the look-ahead found out about it; `None` where
    /// nothing turns back.
    pub take_up: Option<(Point<N>, MoveFacts)>,
    /// The same of the move itself: see [`LookAhead::line`](crate::LookAhead::line).
    pub facts: Option<MoveFacts>,
}

impl<const N: usize> Default for Taken<N> {
    fn default() -> Self {
        Self {
            take_up: None,
            facts: None,
        }
    }
}
