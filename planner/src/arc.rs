//! Arcs and helices to chords, on the controller.

use crate::coordinate::{Coordinate, Point};
use crate::math::sqrt;
use crate::turn::{Rotation, angle};
use crate::vector::pairwise;
use core::fmt;
use core::num::{NonZeroU32, NonZeroU64};

/// Which way an arc turns, seen with the first axis of its plane to the right and the second up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Turn {
    /// From the second axis to the first (G2).
    Clockwise,
    /// From the first axis to the second (G3).
    CounterClockwise,
}

/// The chords of a circular or helical arc: an iterator over the ends of straight moves, the last
/// of which is the end of the arc to the last digit.
///
/// Points turn about the centre in double precision, which every target computes alike, from the
/// exact start to the exact end of each arc, so that nothing builds up over any number of arcs.
/// Where the start and the end lie at different radii (rounding in the program), the radius
/// changes evenly along the arc. Axes out of the plane move evenly too.
///
/// ```
/// use spokeshave::{Arc, Coordinate, Turn};
/// let mm = |x: f64| Coordinate::from_mm(x).unwrap();
/// // A quarter of a circle of 10 mm about 0, 0.
/// let chords = Arc::new(
///     [mm(10.0), mm(0.0), mm(0.0)], [mm(0.0), mm(10.0), mm(0.0)],
///     (0, 1), [mm(0.0), mm(0.0)], Turn::CounterClockwise, 1, 0.002,
/// )?;
/// for point in chords.clone() {
///     let radius = point[0].mm().hypot(point[1].mm());
///     assert!((radius - 10.0).abs() < 1e-5);
/// }
/// assert_eq!(chords.last().unwrap()[1], mm(10.0));
/// # Ok::<(), spokeshave::ArcError>(())
/// ```
#[derive(Clone, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Arc<const N: usize> {
    from: Point<N>,
    to: Point<N>,
    plane: (usize, usize),
    centre: [f64; 2],
    /// From the centre to the point on the arc, at the radius of the start.
    spoke: [f64; 2],
    rotation: Rotation,
    /// Radius at the end over radius at the start.
    growth: f64,
    chords: NonZeroU32,
    done: u32,
}

/// Why an arc is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum ArcError {
    /// The plane needs two different axes that the machine has.
    Plane,
    /// The centre lies on the start or the end: there is no radius.
    NoRadius,
    /// The chord tolerance is bad: give more than 0, in mm.
    Tolerance,
    /// Turns count from 1.
    NoTurns,
    /// More chords than 2³² would be needed: give a larger chord tolerance.
    TooManyChords,
    /// The full circle of the arc leaves the range of a [`Coordinate`].
    OutOfRange,
}

impl fmt::Display for ArcError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Plane => "the plane of an arc needs two different axes of the machine",
            Self::NoRadius => "the centre of the arc lies on its start or its end; move the centre",
            Self::Tolerance => "the chord tolerance must be a number of mm above 0",
            Self::NoTurns => "an arc has at least one turn; count turns from 1",
            Self::TooManyChords => "the arc needs too many chords; give a larger chord tolerance",
            Self::OutOfRange => {
                "the circle of the arc leaves the range of ±16383 mm; move it nearer to zero"
            }
        })
    }
}

impl core::error::Error for ArcError {}

impl<const N: usize> Arc<N> {
    /// An arc in the plane of two axes (first and second, 0 is the first of the machine) about
    /// `centre`, whose chords lie at most `tolerance` mm inside it. An arc that ends where it
    /// starts, seen in the plane, is a full circle; `turns` counts the turns begun, from 1.
    ///
    /// # Errors
    /// [`ArcError`], each with its reason.
    pub fn new(
        from: Point<N>,
        to: Point<N>,
        plane: (usize, usize),
        centre: [Coordinate; 2],
        turn: Turn,
        turns: u32,
        tolerance: f32,
    ) -> Result<Self, ArcError> {
        let (first, second) = plane;
        if first == second || first >= N || second >= N {
            return Err(ArcError::Plane);
        }
        if !(tolerance > 0.0 && tolerance.is_finite()) {
            return Err(ArcError::Tolerance);
        }
        let extra = turns.checked_sub(1).ok_or(ArcError::NoTurns)?;
        let spoke = |point: &Point<N>| match (point.get(first), point.get(second)) {
            (Some(x), Some(y)) => Ok([x.mm() - centre[0].mm(), y.mm() - centre[1].mm()]),
            _ => Err(ArcError::Plane),
        };
        let (start, end) = (spoke(&from)?, spoke(&to)?);
        let square = |v: [f64; 2]| v[0] * v[0] + v[1] * v[1];
        if square(start) == 0.0 || square(end) == 0.0 {
            return Err(ArcError::NoRadius);
        }
        let sense = match turn {
            Turn::Clockwise => -1.0,
            Turn::CounterClockwise => 1.0,
        };
        let dot = start[0] * end[0] + start[1] * end[1];
        let cross = sense * (start[0] * end[1] - start[1] * end[0]);
        let part = if start == end { 0.0 } else { angle(dot, cross) };
        let part = if part > 0.0 { part } else { part + TURN };
        let sweep = part + TURN * f64::from(extra);

        let radius = sqrt(square(start).max(square(end)) as f32);
        // The chord of an angle θ lies r(1 − cos(θ/2)) ≤ r·θ²/8 inside the arc (any geometry text).
        let widest = f64::from(sqrt(8.0 * tolerance / radius)).min(WIDEST_CHORD);
        let chords = sweep / widest;
        if chords >= f64::from(u32::MAX - 1) {
            return Err(ArcError::TooManyChords);
        }
        let chords = NonZeroU32::MIN.saturating_add(chords as u32);
        // From the length of the end to that of the start, along the end.
        let growth = root(square(end) / square(start));
        // A point of the arc is no further out than the radius in each axis.
        let most = f64::from(radius) * 1.000_001;
        let inside = |c: f64| Coordinate::from_mm(c + most).and(Coordinate::from_mm(c - most));
        if centre.iter().any(|c| inside(c.mm()).is_none()) {
            return Err(ArcError::OutOfRange);
        }
        Ok(Self {
            from,
            to,
            plane,
            centre: centre.map(Coordinate::mm),
            spoke: start,
            rotation: Rotation::by(sense * sweep / f64::from(chords.get())),
            growth,
            chords,
            done: 0,
        })
    }

    /// How many chords the whole arc has.
    pub fn chords(&self) -> u32 {
        self.chords.get()
    }
}

/// A full turn, radians.
const TURN: f64 = core::f64::consts::TAU;
/// The widest angle of a chord, radians: small arcs keep their shape at any tolerance.
const WIDEST_CHORD: f64 = TURN / 8.0;

/// Square root to double precision: single precision and one Newton step.
fn root(x: f64) -> f64 {
    let guess = f64::from(sqrt(x as f32)).max(f64::MIN_POSITIVE);
    0.5 * (guess + x / guess)
}

impl<const N: usize> Iterator for Arc<N> {
    type Item = Point<N>;

    fn next(&mut self) -> Option<Point<N>> {
        if self.done == self.chords.get() {
            return None;
        }
        self.done += 1;
        if self.done == self.chords.get() {
            return Some(self.to);
        }
        self.spoke = self.rotation.turn(self.spoke);
        let part = f64::from(self.done) / f64::from(self.chords.get());
        let scale = 1.0 + (self.growth - 1.0) * part;
        let mut point = pairwise(&self.from, &self.to, |from, to| {
            // In whole numbers: an axis that rests stays exactly where it is. Both factors are below
            // 2³², so that their product fits.
            let (from, to) = (from.counts(), to.counts());
            let way = u64::from(from.abs_diff(to)) * u64::from(self.done);
            let way = (way / NonZeroU64::from(self.chords)) as i64;
            let way = if to < from { -way } else { way };
            Coordinate::from_counts((i64::from(from) + way) as i32)
        });
        let (first, second) = self.plane;
        for (axis, (centre, spoke)) in [first, second]
            .into_iter()
            .zip(self.centre.iter().zip(self.spoke))
        {
            // In range, as `new` saw to; where it were not, the even way stands in.
            if let (Some(at), Some(mm)) = (
                point.get_mut(axis),
                Coordinate::from_mm(centre + spoke * scale),
            ) {
                *at = mm;
            }
        }
        Some(point)
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        let left = (self.chords.get() - self.done) as usize;
        (left, Some(left))
    }
}

impl<const N: usize> ExactSizeIterator for Arc<N> {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn knows_how_many_chords_are_left() {
        let at = [10.0, 0.0].map(|mm| Coordinate::from_mm(mm).unwrap());
        let centre = [Coordinate::ZERO; 2];
        let mut arc = Arc::new(at, at, (0, 1), centre, Turn::Clockwise, 1, 0.1).unwrap();
        for left in (0..=arc.chords() as usize).rev() {
            assert_eq!(arc.size_hint(), (left, Some(left)));
            assert_eq!(arc.len(), left);
            assert_eq!(arc.next().is_some(), left > 0);
        }
    }
}
