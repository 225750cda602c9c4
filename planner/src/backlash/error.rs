//! What can be wrong with an amount of backlash.

use crate::axis::Fault;
use core::fmt;

/// The backlash of this axis (0 is the first) is bad.
///
/// ```
/// use spokeshave::{BacklashError, Fault};
/// let error = BacklashError { axis: 1, fault: Fault::Negative };
/// assert_eq!(
///     error.to_string(),
///     "axis 1: the backlash is negative; give 0 to 5 mm, 0 for none"
/// );
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct BacklashError {
    /// Which axis.
    pub axis: u8,
    /// What is wrong.
    pub fault: Fault,
}

impl fmt::Display for BacklashError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { axis, fault } = self;
        write!(
            f,
            "axis {axis}: the backlash {fault}; give 0 to 5 mm, 0 for none"
        )
    }
}

impl core::error::Error for BacklashError {}
