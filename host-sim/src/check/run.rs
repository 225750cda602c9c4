//! A run of pulses on one piece of the path, in the order of time: their places are found one by one,
//! and then the checks look at all of them.

use super::result::Here;

/// Pulses of a run at most.
const MOST: usize = 128;

/// A pulse that shows where its axis is.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sample {
    /// Its time, and where the motors then stand.
    pub here: Here,
    /// Position of the axis, mm.
    pub x: f64,
    /// Path length that is reached at least, mm.
    pub s: f64,
    /// Path length where the axis is there, mm, if `placed`: it can be said, and the pulse did not have
    /// to wait.
    pub on: f64,
    pub axis: u8,
    pub placed: bool,
    /// It lies on the first piece for certain, and did not have to wait.
    pub firm: bool,
}

/// The run.
#[derive(Clone, Debug)]
pub(super) struct Run {
    samples: Box<[Sample; MOST]>,
    count: usize,
}

impl Run {
    pub fn new() -> Self {
        Self {
            samples: Box::new([Sample::default(); MOST]),
            count: 0,
        }
    }

    /// Adds a sample; true where there is no room for one more.
    #[inline]
    pub fn add(&mut self, sample: Sample) -> bool {
        self.samples[self.count % MOST] = sample;
        self.count += 1;
        self.count == MOST
    }

    pub fn is_empty(&self) -> bool {
        self.count == 0
    }

    pub fn clear(&mut self) {
        self.count = 0;
    }

    pub fn all(&self) -> impl Iterator<Item = &Sample> {
        self.samples.iter().take(self.count)
    }
}
