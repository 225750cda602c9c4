//! Edges of step and direction lines as a board records them, for the host to make a capture of.

/// The lines. The gantry has a screw on each side: y has two motors.
pub const LINES: [&str; 8] = [
    "x_step",
    "x_direction",
    "left_step",
    "left_direction",
    "right_step",
    "right_direction",
    "z_step",
    "z_direction",
];

/// Counts of the recording timer in a second: finer than a tick of the jobs' machines, 1 µs.
pub const COUNTS_PER_SECOND: u32 = 8_000_000;

/// One edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edge {
    /// When: the low bits of the recording timer.
    pub count: u32,
    /// Place in [`LINES`].
    pub line: u8,
    /// The level after it.
    pub high: bool,
}

impl Edge {
    /// As many bytes as [`Edge::bytes`] gives.
    pub const SIZE: usize = 5;

    /// The edge in a file, low byte first.
    pub fn bytes(self) -> [u8; Self::SIZE] {
        let [a, b, c, d] = self.count.to_le_bytes();
        [a, b, c, d, self.line << 1 | u8::from(self.high)]
    }

    /// The edge that `bytes` stand for.
    pub fn from_bytes([a, b, c, d, line]: [u8; Self::SIZE]) -> Self {
        Self {
            count: u32::from_le_bytes([a, b, c, d]),
            line: line >> 1,
            high: line & 1 == 1,
        }
    }
}
