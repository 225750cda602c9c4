//! Exact step positions, in whole numbers.

use spokeshave::{Coordinate, Machine, Point};

/// Fractional bits of [`scaled`].
pub const BITS: u32 = 80;

/// The position `counts` at `steps_per_mm` in 2⁻⁸⁰ of a step, without any rounding: the
/// resolution is a whole number times a power of two, and so is a count.
pub fn scaled(counts: i32, steps_per_mm: f64) -> i128 {
    let bits = steps_per_mm.to_bits();
    let exponent = ((bits >> 52) & 0x7ff) as i32 - 1075;
    let mantissa = (bits & ((1 << 52) - 1)) | (1 << 52);
    // A count is 2⁻¹⁷ mm.
    let shift = exponent - 17 + BITS as i32;
    assert!((0..=40).contains(&shift), "resolutions from 0.01 to 20 000");
    (i128::from(counts) * i128::from(mantissa)) << shift
}

/// The position of a point in 2⁻³² of a step, to the nearest, and by how much of that unit a
/// number that was rounded once more may differ from it.
pub fn position<const N: usize>(machine: &Machine<N>, point: &Point<N>) -> [i64; N] {
    std::array::from_fn(|i| {
        let exact = scaled(point[i].counts(), machine.axes()[i].steps_per_mm);
        let unit = BITS - 32;
        ((exact + (1 << (unit - 1))) >> unit) as i64
    })
}

/// A position from mm.
///
/// # Panics
/// Where the planner could not hold it.
pub fn mm<const N: usize>(point: [f64; N]) -> Point<N> {
    point.map(|x| Coordinate::from_mm(x).expect("in range"))
}
