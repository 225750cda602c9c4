//! Times of numbered steps, thinned to a bounded number: every step at first, then every second,
//! fourth and so on, so that two runs of the same job keep the same ones.

use crate::motion::AXES;

/// Steps that are kept of an axis at most.
const MOST: usize = 1024;

#[derive(Clone, Debug)]
struct Axis {
    count: u64,
    stride: u64,
    /// Number of a step, from 1, and its time, s.
    kept: Vec<(u64, f64)>,
}

/// Times of the steps of each axis.
#[derive(Clone, Debug)]
pub(super) struct Pace([Axis; AXES]);

impl Pace {
    pub fn new() -> Self {
        Self(std::array::from_fn(|_| Axis {
            count: 0,
            stride: 1,
            kept: Vec::new(),
        }))
    }

    /// The next step of `axis`, at `time`.
    #[inline]
    pub fn step(&mut self, axis: usize, time: f64) {
        let axis = &mut self.0[axis];
        axis.count += 1;
        if !axis.count.is_multiple_of(axis.stride) {
            return;
        }
        axis.kept.push((axis.count, time));
        if axis.kept.len() == MOST {
            axis.stride *= 2;
            let stride = axis.stride;
            axis.kept
                .retain(|(number, _)| number.is_multiple_of(stride));
        }
    }

    /// Times of the same steps here and in `other`, in the order of the times here.
    pub fn pairs(&self, other: &Self) -> Vec<(f64, f64)> {
        let mut pairs = Vec::new();
        for (mine, theirs) in self.0.iter().zip(&other.0) {
            let mut theirs = theirs.kept.iter().peekable();
            for (number, time) in &mine.kept {
                while theirs.next_if(|(other, _)| other < number).is_some() {}
                if let Some((_, same)) = theirs.next_if(|(other, _)| other == number) {
                    pairs.push((*time, *same));
                }
            }
        }
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
        pairs
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_and_longer_runs_keep_steps_in_common() {
        let (mut plan, mut run) = (Pace::new(), Pace::new());
        for n in 1..=100_000 {
            plan.step(0, f64::from(n));
            if n <= 30_000 {
                run.step(0, 2.0 * f64::from(n));
            }
        }
        let pairs = plan.pairs(&run);
        // Of 100 000 every 128th are kept or every 256th, and so many of them are below 30 000.
        assert!(pairs.len() >= 30_000 / 256, "{}", pairs.len());
        assert!(pairs.iter().all(|(a, b)| 2.0 * a == *b));
    }
}
