//! The steps of one tick, taken apart with few instructions: it is done for every pulse.

use crate::motion::AXES;

/// Bits of an axis.
const BITS: u32 = 8;

/// Lowest bit of each axis.
const LOWEST: u32 = 0x01_01_01;

/// Steps of all axes, as bytes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Steps {
    bytes: u32,
    /// The lowest bit of each axis that is still to be taken.
    moving: u32,
}

impl Steps {
    #[inline]
    pub fn of([x, y, z]: [i8; AXES]) -> Self {
        let bytes = u32::from_le_bytes([x as u8, y as u8, z as u8, 0]);
        Self {
            bytes,
            // That of 1 and of −1 is set, that of 0 is not.
            moving: bytes & LOWEST,
        }
    }

    /// Whether all are −1, 0 or 1.
    #[inline]
    pub fn are_single(&self) -> bool {
        // −1 has all bits set, and is the only one below 0.
        let back = (self.bytes >> (BITS - 1)) & LOWEST;
        self.bytes == (self.moving | (back * 0xFF))
    }

    /// Without those that are not.
    #[cold]
    pub fn single([x, y, z]: [i8; AXES]) -> Self {
        Self::of([x, y, z].map(|step| if step.unsigned_abs() == 1 { step } else { 0 }))
    }

    /// The next axis that steps, and its step. Mostly only one does, and there is no telling which.
    #[inline]
    pub fn take(&mut self) -> Option<(usize, i8)> {
        if self.moving == 0 {
            return None;
        }
        let shift = self.moving.trailing_zeros();
        self.moving &= self.moving - 1;
        // The lesser spares every use of the index a check.
        let axis = ((shift / BITS) as usize).min(AXES - 1);
        Some((axis, (self.bytes >> shift) as i8))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // All there are of two axes.
    #[test]
    fn steps_come_as_they_are() {
        for x in i8::MIN..=i8::MAX {
            for z in i8::MIN..=i8::MAX {
                let single = |step: i8| (-1..=1).contains(&step);
                let all = [x, 1, z];
                assert_eq!(
                    Steps::of(all).are_single(),
                    single(x) && single(z),
                    "{all:?}"
                );
                let mut steps = Steps::single(all);
                for (axis, step) in all.into_iter().enumerate() {
                    if single(step) && step != 0 {
                        assert_eq!(steps.take(), Some((axis, step)), "{all:?}");
                    }
                }
                assert_eq!(steps.take(), None, "{all:?}");
            }
        }
    }
}
