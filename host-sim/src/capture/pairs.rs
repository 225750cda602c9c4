//! Motors that share an axis: whether they step together.

/// Motors of one axis.
#[derive(Clone, Debug)]
pub(super) struct Pair {
    /// Net steps of each motor.
    at: Vec<i64>,
    /// Since when they stand apart, ps.
    since: Option<i64>,
    /// They stood together before, or the moment was told.
    told: bool,
}

/// Motors that stood apart for too long.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    /// Since when, ps.
    pub since: i64,
    /// By how many steps, first to last motor.
    pub steps: i64,
}

impl Pair {
    pub fn new(motors: usize) -> Self {
        Self {
            at: vec![0; motors],
            since: None,
            told: false,
        }
    }

    /// How far the motors stand apart, steps.
    pub fn apart(&self) -> i64 {
        let least = self.at.iter().min().copied().unwrap_or(0);
        self.at.iter().max().copied().unwrap_or(0) - least
    }

    /// Motor `motor` makes a step at `time`; they may stand apart for as long as `room`.
    pub fn step(&mut self, motor: usize, direction: i8, time: i64, room: i64) -> Option<Apart> {
        let before = self.stand(time, room);
        self.at[motor] += i64::from(direction);
        if self.apart() == 0 {
            self.since = None;
        } else if self.since.is_none() {
            (self.since, self.told) = (Some(time), false);
        } else {
            // What was told may have grown.
            self.told = false;
        }
        before
    }

    /// They stand as they do until `time`.
    pub fn stand(&mut self, time: i64, room: i64) -> Option<Apart> {
        let since = self
            .since
            .filter(|since| time - since > room && !self.told)?;
        self.told = true;
        Some(Apart {
            since,
            steps: self.apart(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn apart_for_a_while_is_together_and_longer_is_not() {
        let mut pair = Pair::new(2);
        assert_eq!(pair.step(0, 1, 100, 5), None);
        assert_eq!(pair.step(1, 1, 105, 5), None);
        assert_eq!(pair.step(0, 1, 200, 5), None);
        // Six later: that was too late.
        let late = Apart {
            since: 200,
            steps: 1,
        };
        assert_eq!(pair.step(1, 1, 206, 5), Some(late));
        assert_eq!(pair.stand(999, 5), None);
        // Lost for good.
        assert_eq!(pair.step(0, -1, 1000, 5), None);
        assert_eq!(
            pair.stand(1006, 5),
            Some(Apart {
                since: 1000,
                steps: 1
            })
        );
        assert_eq!(pair.stand(1007, 5), None);
    }
}
