//! Positions that keep their digits anywhere on the machine.

use crate::math::halved;

/// A position along one axis: a whole number of 1/131 072 mm (7.6 nm), up to ±16 383.99 mm.
///
/// Single precision keeps 24 bits: at 10 m it cannot tell positions 0.5 µm apart. A 32-bit count
/// keeps every target to 3.8 nm, which is less than 1/32 of a step at 1600 steps/mm, and the
/// direction of a 10 µm move to 1.1e-3 rad, anywhere in the range.
///
/// ```
/// use spokeshave::Coordinate;
/// let a = Coordinate::from_mm(9_999.99).unwrap();
/// let b = Coordinate::from_mm(10_000.0).unwrap();
/// assert!((b.mm() - a.mm() - 0.01).abs() < 1e-5);
/// assert!(Coordinate::from_mm(17_000.0).is_none());
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Coordinate(i32);

/// A position of `N` axes.
pub type Point<const N: usize> = [Coordinate; N];

impl Coordinate {
    /// Counts in a millimetre.
    pub const PER_MM: i32 = 1 << 17;

    /// The position at zero.
    pub const ZERO: Self = Self(0);

    /// The nearest position to `mm`, in mm; `None` out of ±16 383.99 mm or where not a number.
    pub fn from_mm(mm: f64) -> Option<Self> {
        let counts = mm * f64::from(Self::PER_MM);
        let nearest = if counts < 0.0 {
            counts - 0.5
        } else {
            counts + 0.5
        };
        // The comparison is false for a number that is none.
        (nearest > f64::from(i32::MIN) && nearest < f64::from(i32::MAX))
            .then_some(Self(nearest as i32))
    }

    /// The position nearest to a number of counts, at most that of either end.
    pub(crate) fn nearest(counts: f64) -> Self {
        Self(if counts < 0.0 {
            (counts - 0.5) as i32
        } else {
            (counts + 0.5) as i32
        })
    }

    /// The position of `counts` × 1/131 072 mm.
    pub const fn from_counts(counts: i32) -> Self {
        Self(counts)
    }

    /// The position as a count of 1/131 072 mm.
    pub const fn counts(self) -> i32 {
        self.0
    }

    /// The position in mm, exactly.
    pub fn mm(self) -> f64 {
        f64::from(self.0) / f64::from(Self::PER_MM)
    }

    /// The way from `from` to here, mm, to 24 bits of its own size, however far from zero.
    pub(crate) fn since(self, from: Self) -> f32 {
        // Mostly 32 bits are enough, which many a processor turns into a float much sooner.
        let counts = match self.0.checked_sub(from.0) {
            Some(counts) => counts as f32,
            None => (i64::from(self.0) - i64::from(from.0)) as f32,
        };
        let mm = halved(counts.abs(), Self::PER_MM.ilog2());
        mm.copysign(counts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_to_nearest_on_both_sides_of_zero() {
        let count = 1.0 / f64::from(Coordinate::PER_MM);
        for sign in [-1.0, 1.0] {
            for (part, expected) in [(0.49, 0.0), (0.51, 1.0), (12345.4, 12345.0)] {
                let got = Coordinate::from_mm(sign * part * count).unwrap();
                assert_eq!(f64::from(got.counts()), sign * expected);
            }
        }
    }

    #[test]
    fn refuses_what_it_cannot_hold() {
        for mm in [f64::NAN, f64::INFINITY, -f64::INFINITY, 16_384.0, -16_385.0] {
            assert_eq!(Coordinate::from_mm(mm), None, "{mm}");
        }
        // The last counts at both ends, and half a count further.
        let count = 1.0 / f64::from(Coordinate::PER_MM);
        for (end, inwards) in [(f64::from(i32::MAX), -1.0), (f64::from(i32::MIN), 1.0)] {
            let mm = |counts: f64| Coordinate::from_mm((end + counts * inwards) * count);
            assert_eq!(mm(0.5), None);
            assert_eq!(
                mm(1.0).map(|at| f64::from(at.counts())),
                Some(end + inwards)
            );
        }
    }

    #[test]
    fn difference_of_the_far_ends_does_not_wrap() {
        let far = Coordinate::from_counts(i32::MAX);
        let near = Coordinate::from_counts(i32::MIN);
        assert_eq!(far.since(near), 32_768.0);
    }
}
