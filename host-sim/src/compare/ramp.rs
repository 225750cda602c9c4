//! Motion at constant acceleration along the path.

use crate::trace::Slice;

/// A stretch at constant acceleration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ramp {
    pub time_s: f64,
    pub length_mm: f64,
    pub entry_mm_s: f64,
    pub exit_mm_s: f64,
}

/// A place in a ramp: time and way from its start, and the speed there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Point {
    pub time_s: f64,
    pub length_mm: f64,
    pub speed_mm_s: f64,
}

impl Ramp {
    pub fn of(slice: &Slice) -> Self {
        Self {
            time_s: slice.duration_s,
            length_mm: slice.length_mm,
            entry_mm_s: slice.entry_mm_s,
            exit_mm_s: slice.exit_mm_s,
        }
    }

    pub fn start(&self) -> Point {
        Point {
            time_s: 0.0,
            length_mm: 0.0,
            speed_mm_s: self.entry_mm_s,
        }
    }

    pub fn end(&self) -> Point {
        Point {
            time_s: self.time_s,
            length_mm: self.length_mm,
            speed_mm_s: self.exit_mm_s,
        }
    }

    /// After `time_s`.
    pub fn after_time(&self, time_s: f64) -> Point {
        let acceleration = (self.exit_mm_s - self.entry_mm_s) / self.time_s;
        Point {
            time_s,
            length_mm: time_s * (self.entry_mm_s + 0.5 * acceleration * time_s),
            speed_mm_s: self.entry_mm_s + acceleration * time_s,
        }
    }

    /// After `length_mm`.
    pub fn after_way(&self, length_mm: f64) -> Point {
        // The square of the speed goes evenly with the way.
        let (before, after) = (self.entry_mm_s.powi(2), self.exit_mm_s.powi(2));
        let part = length_mm / self.length_mm;
        let speed_mm_s = (before + (after - before) * part).max(0.0).sqrt();
        let time_s = if length_mm > 0.0 {
            2.0 * length_mm / (self.entry_mm_s + speed_mm_s)
        } else {
            0.0
        };
        Point {
            time_s,
            length_mm,
            speed_mm_s,
        }
    }

    /// What of it lies between two places, mm from its start; none where that is nothing.
    pub fn between(&self, from_mm: f64, to_mm: f64) -> Option<Self> {
        let (from_mm, to_mm) = (from_mm.max(0.0), to_mm.min(self.length_mm));
        if from_mm >= to_mm {
            return None;
        }
        let place = |at_mm: f64| match at_mm {
            _ if at_mm == 0.0 => self.start(),
            _ if at_mm == self.length_mm => self.end(),
            _ => self.after_way(at_mm),
        };
        let (from, to) = (place(from_mm), place(to_mm));
        Some(Self {
            time_s: to.time_s - from.time_s,
            length_mm: to.length_mm - from.length_mm,
            entry_mm_s: from.speed_mm_s,
            exit_mm_s: to.speed_mm_s,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From 10 to 50 mm/s at 250 mm/s²: v² = u² + 2·a·s, t = (v − u)/a, s = (v + u)·t/2.
    const RAMP: Ramp = Ramp {
        time_s: 0.16,
        length_mm: 4.8,
        entry_mm_s: 10.0,
        exit_mm_s: 50.0,
    };

    #[test]
    fn time_and_way_lead_to_the_same_place() {
        for time_s in [0.0, 0.01, 0.08, 0.159, 0.16] {
            let speed_mm_s = 10.0 + 250.0 * time_s;
            let length_mm = 0.5 * (10.0 + speed_mm_s) * time_s;
            for found in [RAMP.after_time(time_s), RAMP.after_way(length_mm)] {
                assert!((found.time_s - time_s).abs() < 1e-12);
                assert!((found.length_mm - length_mm).abs() < 1e-12);
                assert!((found.speed_mm_s - speed_mm_s).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn parts_make_the_whole() {
        let cuts = [-1.0, 0.7, 2.0, 9.0];
        let parts: Vec<Ramp> = cuts
            .windows(2)
            .filter_map(|cut| RAMP.between(cut[0], cut[1]))
            .collect();
        assert_eq!(parts.len(), 3);
        let time: f64 = parts.iter().map(|part| part.time_s).sum();
        assert!((time - 0.16).abs() < 1e-12);
        assert_eq!(parts[0].entry_mm_s, 10.0);
        assert_eq!(parts[1].entry_mm_s, parts[0].exit_mm_s);
        assert_eq!(parts[2].exit_mm_s, 50.0);
        assert_eq!(RAMP.between(4.8, 9.0), None);
        assert_eq!(RAMP.between(-2.0, 0.0), None);
    }
}
