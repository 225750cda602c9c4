//! A floor of the pulses of several axes: they come in the order of time, so beside its square root and its
//! division each has to be found among the axes, and the one after it cannot be before that is done.

use crate::floor::Pulses;

/// The pulses of three axes that gather speed together.
#[derive(Clone, Debug)]
pub struct Merged {
    ramps: [Pulses; 3],
    made: [u32; 3],
    due: [f32; 3],
}

impl Merged {
    /// Ramps of so many pulses each, as of [`Pulses::new`].
    pub fn new(counts: [u32; 3], slow: f32, fast: f32, ticks: f32) -> Self {
        let ramps = counts.map(|count| Pulses::new(count, slow, fast, ticks));
        let due = |axis: usize| match counts[axis] {
            0 => f32::INFINITY,
            _ => ramps[axis].time(1, f32::sqrt),
        };
        Self {
            ramps,
            made: counts.map(|_| 1),
            due: [due(0), due(1), due(2)],
        }
    }
}

/// When they are due, ticks; without end.
impl Iterator for Merged {
    type Item = f32;

    fn next(&mut self) -> Option<f32> {
        let [x, y, z] = self.due;
        let first = x.min(y).min(z);
        for axis in 0..3 {
            if self.due[axis] == first {
                self.made[axis] += 1;
                self.due[axis] = self.ramps[axis].time(self.made[axis], f32::sqrt);
            }
        }
        Some(first)
    }
}
