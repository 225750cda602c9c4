//! What can be wrong with a search for a contact, before it and during it.

use crate::axis::Fault;
use core::fmt;

/// Which number of a search is meant.
///
/// ```
/// assert_eq!(spokeshave::SeekQuantity::BackOff.to_string(), "way to back off");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[allow(missing_docs)] // The names say it; units stand at the fields of the same name.
pub enum SeekQuantity {
    Way,
    Longest,
    Fast,
    Slow,
    BackOff,
    Off,
    MostAlone,
}

impl fmt::Display for SeekQuantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Way => "direction",
            Self::Longest => "longest way",
            Self::Fast => "fast feed",
            Self::Slow => "slow feed",
            Self::BackOff => "way to back off",
            Self::Off => "distance off the switch",
            Self::MostAlone => "way that one side may go alone",
        })
    }
}

/// Why a search does not begin.
///
/// ```
/// use spokeshave::{Fault, SeekQuantity, SetupError};
/// let error = SetupError::Number(SeekQuantity::Slow, Fault::Zero);
/// assert_eq!(error.to_string(), "the slow feed is zero; give a number in its range");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum SetupError {
    /// A number is out of the range that its field documents.
    Number(SeekQuantity, Fault),
    /// The machine has no such axis.
    NoAxis(u8),
    /// The slow feed is faster than the fast one.
    SlowPastFast,
    /// From the slow feed a motor cannot stop at once.
    SlowPastStop,
    /// The way, or the place of the switch, leaves the range of a [`Coordinate`](crate::Coordinate).
    OutOfRange,
}

impl fmt::Display for SetupError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(quantity, fault) => {
                write!(f, "the {quantity} {fault}; give a number in its range")
            }
            Self::NoAxis(axis) => write!(f, "the machine has no axis {axis}; count them from 0"),
            Self::SlowPastFast => {
                f.write_str("the slow feed is faster than the fast one; make it slower")
            }
            Self::SlowPastStop => f.write_str(
                "from the slow feed a motor may not stop at once; make it slower than the axis may \
                 take a lone corner",
            ),
            Self::OutOfRange => f.write_str(
                "the way leaves what positions can hold, 16 m to each side; make it shorter",
            ),
        }
    }
}

impl core::error::Error for SetupError {}

/// Which of the two times that a contact is touched.
///
/// ```
/// assert_eq!(spokeshave::Approach::Slow.to_string(), "slow");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Approach {
    /// To know about where it is.
    Fast,
    /// To know exactly.
    Slow,
}

impl fmt::Display for Approach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Fast => "fast",
            Self::Slow => "slow",
        })
    }
}

/// One side of an axis with two motors: those of `pins::Pair` of the same name.
///
/// ```
/// assert_eq!(spokeshave::Side::First.to_string(), "first side");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Side {
    /// The first motor.
    First,
    /// The second motor.
    Second,
}

impl Side {
    /// Both.
    pub const BOTH: [Self; 2] = [Self::First, Self::Second];
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::First => "first side",
            Self::Second => "second side",
        })
    }
}

/// Why a search was given up. The machine rests.
///
/// ```
/// use spokeshave::{Approach, SeekError};
/// let error = SeekError::NoContact(Approach::Fast);
/// assert_eq!(
///     error.to_string(),
///     "no contact in the fast approach; see to the wire and the switch, or give a longer way"
/// );
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum SeekError {
    /// No contact within the way.
    NoContact(Approach),
    /// A contact is closed before it begins.
    ClosedAtStart,
    /// A contact is still closed after backing off.
    StillClosed,
    /// An input does not say the same often enough.
    Unsteady,
    /// The input is closed, but no contact was reported.
    NotWatched,
    /// One side reached its switch, and this one did not within the way that it may go alone. It was
    /// moved back by what it went alone.
    Skewed(Side),
}

impl fmt::Display for SeekError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoContact(approach) => write!(
                f,
                "no contact in the {approach} approach; see to the wire and the switch, or give a \
                 longer way"
            ),
            Self::ClosedAtStart => f.write_str(
                "the contact is closed before it begins; move away from it, or see to its wire",
            ),
            Self::StillClosed => f.write_str(
                "the contact is still closed after backing off; see to the switch, or back off \
                 further",
            ),
            Self::Unsteady => f.write_str(
                "the contact comes and goes without end; see to its wire, its screen and its plug",
            ),
            Self::NotWatched => f.write_str(
                "the contact is closed and was not reported; arm the watch before each search",
            ),
            Self::Skewed(side) => write!(
                f,
                "the {side} does not reach its switch; power off, square the gantry by hand, and see \
                 to that switch"
            ),
        }
    }
}

impl core::error::Error for SeekError {}
