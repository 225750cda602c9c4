//! The straight line along which a contact is sought.

use super::error::{SeekQuantity, SetupError};
use crate::axis::Fault;
use crate::coordinate::{Coordinate, Point};
use crate::machine::Machine;
use crate::scale::Scale;
use crate::vector::{pairwise, split, square};

/// From where, and which way. Positions along it are mm from there, in double precision: they are few.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line<const N: usize> {
    scale: Scale<N>,
    from: Point<N>,
    unit: [f32; N],
    longest: f32,
}

impl<const N: usize> Line<N> {
    pub fn new(
        machine: &Machine<N>,
        from: Point<N>,
        way: [f32; N],
        longest: f32,
    ) -> Result<Self, SetupError> {
        for part in way {
            // Its square must be one too.
            if part != 0.0 {
                within(SeekQuantity::Way, part.abs(), 1e-6, 1e6)?;
            }
        }
        within(SeekQuantity::Way, square(&way), 1e-12, 1e13)?;
        within(SeekQuantity::Longest, longest, 0.01, 16_000.0)?;
        let line = Self {
            scale: Scale::new(machine),
            from,
            unit: split(&way).1,
            longest,
        };
        // Before the start by as much: backing off may lead there.
        let inside = |mm: f64| {
            let mut ends = from.iter().zip(&line.unit);
            ends.all(|(from, unit)| {
                Coordinate::from_mm(from.mm() + f64::from(*unit) * mm).is_some()
            })
        };
        let longest = f64::from(longest);
        if !inside(2.0 * longest) || !inside(-longest) {
            return Err(SetupError::OutOfRange);
        }
        Ok(line)
    }

    pub fn from(&self) -> &Point<N> {
        &self.from
    }

    pub fn longest(&self) -> f64 {
        self.longest.into()
    }

    /// The point `mm` from the start.
    pub fn at(&self, mm: f64) -> Point<N> {
        pairwise(&self.from, &self.unit, |from, unit| {
            let per_mm = f64::from(Coordinate::PER_MM);
            Coordinate::nearest(f64::from(from.counts()) + f64::from(unit) * mm * per_mm)
        })
    }

    /// How far from the start these steps lie along it, mm.
    pub fn along(&self, steps: &[i32; N]) -> f64 {
        let parts = pairwise(&self.point(steps), &self.from, |at, from| {
            at.mm() - from.mm()
        });
        let unit = self.unit.iter();
        unit.zip(parts)
            .map(|(unit, part)| f64::from(*unit) * part)
            .sum()
    }

    /// The coordinates nearest to whole steps.
    pub fn point(&self, steps: &[i32; N]) -> Point<N> {
        self.scale.point(&steps.map(|steps| i64::from(steps) << 32))
    }
}

/// A number of a search in its range.
pub(super) fn within(
    quantity: SeekQuantity,
    value: f32,
    least: f32,
    most: f32,
) -> Result<(), SetupError> {
    match Fault::of(value.into(), least.into(), most.into()) {
        Some(fault) => Err(SetupError::Number(quantity, fault)),
        None => Ok(()),
    }
}
