//! A run of pulses on one piece of the path, in the order of time: found one by one, then looked at by
//! one check after the other, each in a loop of its own.

use super::matching::Crossing;
use super::result::Here;
use crate::motion::AXES;

/// Pulses of a run at most.
const MOST: usize = 128;

/// A pulse and its place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    /// Its time, and where the motors then stand.
    pub here: Here,
    /// Path length that is reached at least, mm.
    pub s: f64,
    pub crossing: Crossing,
    /// It may have had to wait for the one before.
    pub waited: bool,
    pub axis: u8,
}

/// The run. Indices are bytes, so that no access needs a check of its bounds.
#[derive(Clone, Debug)]
pub(super) struct Run {
    pulses: Box<[Placed; 256]>,
    count: usize,
    /// Which ones are of each axis.
    of: [[u8; MOST]; AXES],
    counts: [usize; AXES],
}

impl Run {
    pub fn new() -> Self {
        let none = Placed {
            here: Here::default(),
            s: 0.0,
            crossing: Crossing::NONE,
            waited: false,
            axis: 0,
        };
        Self {
            pulses: Box::new([none; 256]),
            count: 0,
            of: [[0; MOST]; AXES],
            counts: [0; AXES],
        }
    }

    /// Adds a pulse; true where there is no room for one more.
    #[inline]
    pub fn add(&mut self, pulse: Placed) -> bool {
        let index = self.count as u8;
        let axis = usize::from(pulse.axis).min(AXES - 1);
        self.pulses[usize::from(index)] = pulse;
        self.of[axis][self.counts[axis] % MOST] = index;
        self.counts[axis] += 1;
        self.count += 1;
        self.count == MOST
    }

    pub fn is_empty(&self) -> bool {
        self.count == 0
    }

    pub fn clear(&mut self) {
        (self.count, self.counts) = (0, [0; AXES]);
    }

    /// All pulses.
    pub fn all(&self) -> impl Iterator<Item = &Placed> {
        self.pulses.iter().take(self.count)
    }

    /// Those of one axis.
    pub fn of(&self, axis: usize) -> impl Iterator<Item = &Placed> {
        let indices = self.of[axis].iter().take(self.counts[axis]);
        indices.map(|index| &self.pulses[usize::from(*index)])
    }
}
