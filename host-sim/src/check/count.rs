//! Count of steps and end position of each axis, from a walk of the programmed path that looks at
//! no pulse.
//!
//! The walk keeps the step position and the last direction. An axis steps up from n where it comes
//! to n + ½ (n + 9/16 if its last step was down), and likewise down. The ends of the pieces are known
//! to `POSITION_MM`, so where an axis turns back within that of a crossing, the step may have
//! happened or not. The walk then goes on both ways. Two ways that come to the same step position
//! and direction are one again, with the least and the greatest count: such ways differ by pairs of
//! steps up and down, and by nothing else, for position and count have the same parity. As a
//! position lies within 9/16 step of the path, there are never more than two step positions at a
//! time, and three last directions (up, down, none yet): the walk stays small.
//!
//! Allowed is exactly what some way gives: the end's step position, and a count between its least and
//! its greatest.

use super::matching::BOUND;
use super::result::{CheckResult, Here, Worst, Writer, axis_name};
use super::segment::POSITION_MM;

/// One way to walk: step position, last direction, least and greatest count of steps.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Way {
    start: f64,
    n: f64,
    direction: f64,
    least: f64,
    most: f64,
}

/// The walk of one axis.
#[derive(Clone, Debug)]
pub(super) struct Count {
    axis: usize,
    per_mm: f64,
    tolerance: f64,
    ways: Vec<Way>,
    next: Vec<Way>,
    end: f64,
}

impl Count {
    pub fn new(axis: usize, per_mm: f64, start: f64) -> Self {
        let tolerance = POSITION_MM * per_mm;
        let at = start * per_mm;
        let near = at.round();
        let mut ways = Vec::new();
        for n in [near, near - 1.0, near + 1.0] {
            if n == near || (at - n).abs() <= 0.5 + tolerance {
                // Where the last direction is unknown, the first step either way may fire at ½ or
                // at 9/16.
                ways.extend([1.0, -1.0, 0.0].map(|direction| Way {
                    start: n,
                    n,
                    direction,
                    least: 0.0,
                    most: 0.0,
                }));
            }
        }
        Self {
            axis,
            per_mm,
            tolerance,
            ways,
            next: Vec::new(),
            end: at,
        }
    }

    /// The path goes on, straight, to `to` mm.
    #[inline]
    pub fn walk(&mut self, to: f64) {
        let to = to * self.per_mm;
        let d = (to - self.end).signum();
        if to == self.end {
            return;
        }
        self.end = to;
        if let [way] = self.ways[..] {
            let sure = step_to(way, d, to - d * self.tolerance);
            if step_to(way, d, to + d * self.tolerance) == sure {
                self.ways[0] = sure;
                return;
            }
        }
        self.walk_all_ways(d, to);
    }

    #[cold]
    fn walk_all_ways(&mut self, d: f64, to: f64) {
        self.next.clear();
        for way in &self.ways {
            for to in [to - d * self.tolerance, to + d * self.tolerance] {
                let way = step_to(*way, d, to);
                let same =
                    |w: &&mut Way| (w.start, w.n, w.direction) == (way.start, way.n, way.direction);
                match self.next.iter_mut().find(same) {
                    Some(other) => {
                        other.least = other.least.min(way.least);
                        other.most = other.most.max(way.most);
                    }
                    None => self.next.push(way),
                }
            }
        }
        std::mem::swap(&mut self.ways, &mut self.next);
    }

    /// Results for the count and the end position: `steps` and `net` were counted, `line` is where
    /// the first step was missing or too many, if it is known.
    pub fn results(
        &self,
        steps: u64,
        net: f64,
        first_fault: Option<Here>,
        end: Here,
        writer: Writer,
    ) -> [CheckResult; 2] {
        let axis = Some(self.axis);
        let steps = steps as f64;
        let wrong = |way: &Way| {
            let off = (way.n - way.start - net).abs();
            off + (way.least - steps).max(steps - way.most).max(0.0)
        };
        let off = self.ways.iter().map(wrong).fold(f64::INFINITY, f64::min);
        let (least, most) = self
            .ways
            .iter()
            .fold((f64::INFINITY, 0f64), |(low, high), way| {
                (low.min(way.least), high.max(way.most))
            });
        let expected = if least == most {
            format!("{least}")
        } else {
            format!("{least} to {most} (turns at a half-way point may step or not)")
        };
        let name = axis_name(self.axis);
        let found = Worst {
            axis,
            here: Some(first_fault.unwrap_or(end)),
            ..Worst::NONE
        };
        let what = format!(
            "Steps of {name}, {steps} made and {expected} expected: how many are missing or too \
             many, forward and back."
        );
        let count = writer.result("steps", what, (0.0, off, "steps"), &found, off == 0.0);

        // The start's step position, where two are as near, is the one that suits the pulses.
        let stand = self
            .ways
            .iter()
            .map(|way| (way.start + net - self.end).abs());
        let away = stand.fold(f64::INFINITY, f64::min) / self.per_mm;
        let limit = BOUND / self.per_mm + POSITION_MM;
        let what = format!(
            "Distance of {name} from the programmed end; at most 9/16 of a step, and 1e-5 mm."
        );
        let found = Worst {
            here: Some(end),
            ..found
        };
        let pass = away <= limit;
        [
            writer.result("end position", what, (limit, away, "mm"), &found, pass),
            count,
        ]
    }
}

/// Walks on to `to` (steps) in direction `d`.
#[inline]
fn step_to(mut way: Way, d: f64, to: f64) -> Way {
    let first = if way.direction == -d { BOUND } else { 0.5 };
    let over = d * (to - way.n) - first;
    if over >= 0.0 {
        // After the first step the next ones fire at the half-way points.
        let more = (d * (to - way.n) - 0.5).floor() + 1.0;
        way.n += d * more;
        way.direction = d;
        way.least += more;
        way.most += more;
    }
    way
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counted(per_mm: f64, points: &[f64]) -> Vec<(f64, f64, f64)> {
        let mut count = Count::new(0, per_mm, points[0]);
        points[1..].iter().for_each(|to| count.walk(*to));
        let mut ways: Vec<_> = count.ways.iter().map(|w| (w.n, w.least, w.most)).collect();
        ways.dedup();
        ways
    }

    // 10 steps/mm: from 0 to 0.26 mm are the crossings at 0.05, 0.15 and 0.25 mm; back to 0.24 mm
    // is less than 1/16 step past 0.25 mm, back to 0 mm are 0.24375 (after turning), 0.15 and 0.05.
    #[test]
    fn steps_there_and_back() {
        assert_eq!(counted(10.0, &[0.0, 0.26]), [(3.0, 3.0, 3.0)]);
        assert_eq!(counted(10.0, &[0.0, 0.26, 0.244]), [(3.0, 3.0, 3.0)]);
        assert_eq!(counted(10.0, &[0.0, 0.26, 0.0]), [(0.0, 6.0, 6.0)]);
    }

    // 500 steps/mm and a target of 0.005 mm: 2.5 steps, right on a crossing. Both are allowed, and
    // back at 0 they are one again with a pair of steps more or less.
    #[test]
    fn target_on_a_crossing() {
        assert_eq!(
            counted(500.0, &[0.0, 0.005]),
            [(2.0, 2.0, 2.0), (3.0, 3.0, 3.0)]
        );
        assert_eq!(counted(500.0, &[0.0, 0.005, 0.0]), [(0.0, 4.0, 6.0)]);
    }
}
