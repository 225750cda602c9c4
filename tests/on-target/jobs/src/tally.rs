//! What a stream of pulses adds up to, so that two streams can be compared by one line.

use crate::AXES;
use core::fmt;
use spokeshave::Pulse;

/// Counts and a running hash of all pulses: tick, axes, directions.
///
/// The hash is FNV-1a of 64 bits over the tick, low byte first, and then the two masks (IETF draft
/// draft-eastlake-fnv, from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tally {
    /// Pulse events.
    pub events: u32,
    /// Steps of each axis.
    pub steps: [u32; AXES],
    /// Tick of the last pulse.
    pub last_tick: u64,
    hash: u64,
}

impl Default for Tally {
    fn default() -> Self {
        Self {
            events: 0,
            steps: [0; AXES],
            last_tick: 0,
            hash: 0xcbf2_9ce4_8422_2325,
        }
    }
}

impl Tally {
    /// Counts a pulse.
    pub fn add(&mut self, pulse: &Pulse) {
        self.events += 1;
        self.last_tick = pulse.tick;
        for (axis, count) in self.steps.iter_mut().enumerate() {
            *count += u32::from(pulse.step(axis) != 0);
        }
        for byte in pulse.tick.to_le_bytes() {
            self.hash_byte(byte);
        }
        self.hash_byte(pulse.steps);
        self.hash_byte(pulse.forward);
    }

    fn hash_byte(&mut self, byte: u8) {
        self.hash = (self.hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [x, y, z] = self.steps;
        write!(
            f,
            "events {} steps {x} {y} {z} last tick {} hash {:016x}",
            self.events, self.last_tick, self.hash
        )
    }
}
