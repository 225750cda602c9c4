//! Roots and comparisons, in whole numbers: a processor without floating point has little to do, and
//! every target comes to the same numbers, so that plans and pulses are the same on a microcontroller
//! and on a host.

/// 2⁹/√x − 2⁸ for the middle of 128 parts of the numbers from 1 to 4: by the last bit of the
/// exponent and the first six behind the point, as they stand in a float.
#[cfg(any(test, not(feature = "std")))]
const GUESSES: [u8; 128] = {
    let mut guesses = [0; 128];
    let mut i = 0;
    while i < 128 {
        // The middle is 129/128, 131/128 … for odd exponents, which are biased, and twice that.
        let middle = if i < 64 { 4 * i + 258 } else { 2 * i + 1 };
        let twice = (1_u64 << 27) / middle as u64;
        guesses[i] = (twice.isqrt().div_ceil(2) - 256) as u8;
        i += 1;
    }
    guesses
};

/// √x, to the nearest single-precision number, for finite numbers; 0 for numbers that are not
/// positive (rounding can bring a vanishing difference below zero) or not normal.
///
/// The nearest is what IEEE 754 asks of a processor too, so with the feature `std` that has it worked out
/// makes the same plan.
#[inline]
pub(crate) fn sqrt(x: f32) -> f32 {
    #[cfg(feature = "std")]
    return if less(x, f32::MIN_POSITIVE) {
        0.0
    } else {
        x.sqrt()
    };
    #[cfg(not(feature = "std"))]
    whole_sqrt(x)
}

/// The same in whole numbers.
///
/// A table gives 1/√x to 0.6 %. A Newton step takes a relative error e of it to 1.5·e², which is
/// 5.4e-5, and another, on √x itself, to e²/2 (any numerical analysis text); with what the shifts
/// drop, the root is off by less than 1.5 then. The remainder, which is small, so that it is exact
/// in 32 bits that wrap, tells which of three neighbours is the nearest.
#[inline(never)]
#[cfg(any(test, not(feature = "std")))]
fn whole_sqrt(x: f32) -> f32 {
    let bits = x.to_bits();
    if less(x, f32::MIN_POSITIVE) {
        return 0.0;
    }
    let exponent = bits >> 23;
    let fraction = bits & 0x007f_ffff | 0x0080_0000;
    // From 1 to 4, in 2⁻³⁰: the exponent left over is even.
    let x = fraction << (8 - (exponent & 1));
    let guess = 256 + u32::from(GUESSES[(bits >> 17 & 127) as usize]);
    // x·guess² − 1 in 2⁻³², where 1 wraps to 0; the inverse in 2⁻¹⁶.
    let off = ((x >> 16) * guess).wrapping_mul(guess) as i32;
    let guess = guess as i32;
    let inverse = (guess << 7) - ((guess * (off >> 4)) >> 22);
    // The root in 2⁻¹⁵, what is left of x, and the root in 2⁻²³.
    let root = ((x >> 16) * inverse as u32) >> 15;
    let left = x.wrapping_sub(root * root) as i32;
    let root = (root << 8) as i32 + (((left >> 5) * inverse + (1 << 18)) >> 19);
    // Past half way to a neighbour: (s + ½)² = s² + s + ¼.
    let left = (x << 16).wrapping_sub((root as u32).wrapping_mul(root as u32)) as i32;
    let root = root + i32::from(left > root) - i32::from(left <= -root);
    // The first bit of the root is the 1 that a float leaves out.
    let exponent = (exponent + 127) >> 1;
    f32::from_bits(((exponent - 1) << 23) + root as u32)
}

/// √x and 1/√x, both 0 where [`sqrt`] is.
pub(crate) fn roots(x: f32) -> (f32, f32) {
    let root = sqrt(x);
    (root, if less(0.0, root) { 1.0 / root } else { 0.0 })
}

/// x/2ⁿ for a finite x of 0 or more, exactly: only the exponent changes. 0 where no normal number is
/// that small.
#[inline]
pub(crate) fn halved(x: f32, times: u32) -> f32 {
    let fewer = order(x) - ((times as i32) << 23);
    f32::from_bits(if fewer < 1 << 23 { 0 } else { fewer as u32 })
}

/// The bits of a float as a whole number: in the order of the floats, but for negative ones among
/// themselves.
fn order(x: f32) -> i32 {
    x.to_bits() as i32
}

/// a < b, where one at least is not negative.
#[inline]
pub(crate) fn less(a: f32, b: f32) -> bool {
    debug_assert!(!(a.is_nan() || b.is_nan() || a < 0.0 && b < 0.0), "{a} {b}");
    order(a) < order(b)
}

/// The less of two, of which one at least is not negative.
#[inline]
pub(crate) fn least(a: f32, b: f32) -> f32 {
    if less(b, a) { b } else { a }
}

/// The more of two, of which one at least is not negative.
#[inline]
pub(crate) fn most(a: f32, b: f32) -> f32 {
    if less(a, b) { b } else { a }
}

#[cfg(test)]
mod tests {
    use super::{halved, least, less, most, sqrt, whole_sqrt};

    /// IEEE 754 asks for the nearest root, and the computer's own is. Every number from 1 to 4, and
    /// some of every size.
    #[test]
    fn roots_are_the_nearest() {
        for bits in 1.0_f32.to_bits()..4.0_f32.to_bits() {
            let x = f32::from_bits(bits);
            assert_eq!(whole_sqrt(x), x.sqrt(), "{x}");
        }
        for bits in (f32::MIN_POSITIVE.to_bits()..f32::INFINITY.to_bits()).step_by(997) {
            let x = f32::from_bits(bits);
            assert_eq!(whole_sqrt(x), x.sqrt(), "{x}");
        }
    }

    #[test]
    fn is_zero_at_and_below_zero() {
        for x in [0.0, -1e-9, -0.0, 1e-40] {
            assert_eq!([sqrt(x), whole_sqrt(x)], [0.0; 2]);
        }
    }

    #[test]
    fn halves_are_exact() {
        for x in [0.0, 1.0, 0.3, 5e9, 3.1e-38, 1e-37, 8.0 * f32::MIN_POSITIVE] {
            for times in 0..20 {
                let exact = x * 0.5_f32.powi(times as i32);
                let exact = if exact.is_normal() { exact } else { 0.0 };
                assert_eq!(halved(x, times), exact, "{x} {times}");
            }
        }
    }

    #[test]
    fn bits_are_in_the_order_of_the_numbers() {
        let rising = [-1.0, 0.0, f32::MIN_POSITIVE, 1e-9, 1.0, 3.0, f32::INFINITY];
        for (i, a) in rising.into_iter().enumerate() {
            for (j, b) in rising.into_iter().enumerate() {
                if i == 0 && j == 0 {
                    continue;
                }
                assert_eq!(less(a, b), i < j, "{a} {b}");
                assert_eq!([least(a, b), most(a, b)], [a.min(b), a.max(b)]);
            }
        }
    }
}
