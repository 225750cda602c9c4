//! A port whose register sets or clears one line with each write, as those of the usual chips do.

use core::convert::Infallible;
use core::sync::atomic::{AtomicU32, Ordering::Relaxed};
use embedded_hal::digital::{ErrorType, OutputPin};
use spokeshave::pins::{Motor, Pair};

/// Stands for the register: bits 0 to 15 set a line, bits 16 to 31 clear it.
static REGISTER: AtomicU32 = AtomicU32::new(0);

/// One line.
pub struct Pin {
    set: u32,
}

/// Two motors on the gantry.
pub type Motors = (
    Motor<Pin, Pin>,
    Pair<Motor<Pin, Pin>, Motor<Pin, Pin>>,
    Motor<Pin, Pin>,
);

/// All motors.
pub fn motors() -> Motors {
    let motor = |line| Motor::new(Pin::new(line), Pin::new(line + 1));
    let gantry = Pair {
        first: motor(2),
        second: motor(4),
    };
    (motor(0), gantry, motor(6))
}

impl Pin {
    /// Line 0 to 15.
    pub fn new(line: u8) -> Self {
        Self { set: 1 << line }
    }
}

impl ErrorType for Pin {
    type Error = Infallible;
}

impl OutputPin for Pin {
    fn set_low(&mut self) -> Result<(), Infallible> {
        REGISTER.store(self.set << 16, Relaxed);
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        REGISTER.store(self.set, Relaxed);
        Ok(())
    }
}
