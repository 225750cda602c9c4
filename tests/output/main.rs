//! The files that a run leaves, read back.

mod moves;
mod profile;
mod pulses;
mod staging;
mod waveform;
mod waveform_properties;
mod wording;

use spokeshave_sim::machine::Controller;
use std::io::{self, Write};

/// A controller as many have it: 1 MHz, 2 µs high, 5 µs apart, direction 5 µs before.
const CONTROLLER: Controller = Controller {
    timer_hz: 1_000_000,
    pulse_width_s: 2e-6,
    pulse_period_s: 5e-6,
    direction_setup_s: 5e-6,
};

/// An output that takes `room` bytes and then has no more.
struct FullDisk {
    room: usize,
}

impl Write for FullDisk {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if bytes.len() > self.room {
            return Err(io::ErrorKind::StorageFull.into());
        }
        self.room -= bytes.len();
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
