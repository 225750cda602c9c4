//! A switch or a probe, read in an interrupt: what it says for sure, and where the motors stood when it
//! first said so.

use core::num::NonZeroU8;

/// What an input says.
///
/// ```
/// use spokeshave::Level;
/// let goes = |level| level == Level::Open; // homing begins with an open switch
/// assert!(goes(Level::Open) && !goes(Level::Unsure));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Level {
    /// Open, so many readings in a row.
    Open,
    /// Closed, so many readings in a row.
    Closed,
    /// It changed, and has not been read often enough since.
    Unsure,
    /// It has not said the same often enough for [`Watch::MOST_UNSURE`] readings: a loose wire, or
    /// noise.
    Unsteady,
}

/// Watches one input: it believes what so many consecutive readings say, and keeps where the motors
/// stood at the first closed one since it was open for sure. So debouncing takes nothing from the
/// accuracy, and a contact that bounces is where it first touched. A spike of fewer readings is forgotten
/// once it was open for sure again.
///
/// The timer interrupt owns it, and reads the input **before** it makes the edges that are due: then the
/// contact was made by the step that was made last, exactly. Read it while the machine rests too, in an
/// interrupt that comes now and then: the state machines wait for [`Level`]. How often it is read, times the
/// readings that it takes, is the time that it takes to believe; contacts bounce for up to some
/// milliseconds (common practice, no source).
///
/// ```
/// use core::num::NonZeroU8;
/// use spokeshave::{Level, Watch};
/// let mut watch: Watch<1> = Watch::new(NonZeroU8::new(3).unwrap());
/// watch.arm();
/// let mut contact = None;
/// //  settles;       a spike;       bounces at step 11, then closes
/// for (step, input) in [0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 1, 0, 1, 1, 1, 1].into_iter().enumerate() {
///     contact = contact.or(watch.read(input == 1, || [step as i32]));
/// }
/// assert_eq!(contact, Some([11]));
/// assert_eq!(watch.level(), Level::Closed);
/// ```
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Watch<const N: usize> {
    needed: u8,
    /// What the last readings in a row said, and how many there were, up to those needed.
    closed: bool,
    row: u8,
    /// Readings since it was sure.
    unsure: u16,
    /// Where the first closed reading was, if there was one since it was open for sure.
    touch: Option<[i32; N]>,
    armed: bool,
}

impl<const N: usize> Watch<N> {
    /// Readings without a sure one from which on an input is [`Level::Unsteady`].
    pub const MOST_UNSURE: u16 = 10_000;

    /// Believes what `readings` in a row say; unsure at first, and not armed.
    pub const fn new(readings: NonZeroU8) -> Self {
        Self {
            needed: readings.get(),
            closed: false,
            row: 0,
            unsure: 0,
            touch: None,
            armed: false,
        }
    }

    /// Reports a contact from now on, once.
    pub fn arm(&mut self) {
        self.armed = true;
    }

    /// Reports none.
    pub fn disarm(&mut self) {
        self.armed = false;
    }

    /// Takes a reading; `at` says where the motors stand, in steps
    /// ([`PulseGenerator::motors_at`](crate::PulseGenerator::motors_at)). An armed watch returns where
    /// they stood at the contact, once it is sure, and is not armed any more.
    #[inline]
    pub fn read(&mut self, closed: bool, at: impl FnOnce() -> [i32; N]) -> Option<[i32; N]> {
        if closed && self.touch.is_none() {
            self.touch = Some(at());
        }
        if closed != self.closed {
            self.closed = closed;
            self.row = 0;
        }
        if self.row < self.needed {
            self.row += 1;
        }
        if self.row < self.needed {
            self.unsure = self.unsure.saturating_add(1);
            return None;
        }
        self.unsure = 0;
        if !closed {
            self.touch = None;
        } else if self.armed {
            self.armed = false;
            return self.touch;
        }
        None
    }

    /// What the input says.
    pub fn level(&self) -> Level {
        if self.row >= self.needed {
            if self.closed {
                Level::Closed
            } else {
                Level::Open
            }
        } else if self.unsure < Self::MOST_UNSURE {
            Level::Unsure
        } else {
            Level::Unsteady
        }
    }
}
