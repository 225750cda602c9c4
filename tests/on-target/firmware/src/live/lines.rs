//! Step and direction lines that record their edges, as a logic analyser on a real board's pins does.

use super::clock::count;
use crate::host::Stream;
use core::cell::RefCell;
use core::convert::Infallible;
use critical_section::Mutex;
use embedded_hal::digital::{ErrorType, OutputPin};
use on_target_jobs::Edge;
use spokeshave::pins::{Motor, Pair};

/// One line.
pub struct Pin(u8);

/// The motors of all axes.
pub type Motors = (
    Motor<Pin, Pin>,
    Pair<Motor<Pin, Pin>, Motor<Pin, Pin>>,
    Motor<Pin, Pin>,
);

/// All motors.
pub fn motors() -> Motors {
    let motor = |line| Motor::new(Pin(line), Pin(line + 1));
    let gantry = Pair {
        first: motor(2),
        second: motor(4),
    };
    (motor(0), gantry, motor(6))
}

/// The instrument, and no part of the firmware: it writes to the host, in pieces large enough that a
/// call for each costs little, and takes some instructions of the pin's time.
static RECORD: Mutex<RefCell<Stream<{ 100 * Edge::SIZE }>>> =
    Mutex::new(RefCell::new(Stream::output()));

/// Writes out what is held back.
pub fn flush() {
    critical_section::with(|section| RECORD.borrow_ref_mut(section).flush());
}

impl Pin {
    fn set(&mut self, high: bool) {
        let edge = Edge {
            count: count(),
            line: self.0,
            high,
        };
        critical_section::with(|section| RECORD.borrow_ref_mut(section).put(&edge.bytes()));
    }
}

impl ErrorType for Pin {
    type Error = Infallible;
}

impl OutputPin for Pin {
    fn set_low(&mut self) -> Result<(), Infallible> {
        self.set(false);
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        self.set(true);
        Ok(())
    }
}
