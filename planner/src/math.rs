//! The one square root of the crate. Every target computes it with the same operations, so that
//! plans and pulses are the same on a microcontroller and on a host.

use micromath::F32Ext;

/// √x and 1/√x, to within 2 units in the last place for normal numbers; both 0 for numbers that are
/// not positive (rounding can bring a vanishing difference below zero).
///
/// The first guess of `micromath` is off by up to 3.5 %; a Newton step takes a relative error e of
/// 1/√x to 1.5·e², so two steps leave 5e-6, and the last step, on √x itself, nothing that single
/// precision can show (Newton's method, any numerical analysis text).
#[inline]
pub(crate) fn roots(x: f32) -> (f32, f32) {
    if x < f32::MIN_POSITIVE {
        return (0.0, 0.0);
    }
    let half = 0.5 * x;
    let mut r = F32Ext::invsqrt(x);
    r *= 1.5 - half * r * r;
    r *= 1.5 - half * r * r;
    let s = x * r;
    let left = x - s * s;
    // 1/√x by the same remainder: r + r·(1 − x·r²)/2.
    (s + 0.5 * r * left, r + 0.5 * r * (1.0 - s * r))
}

/// √x, as [`roots`] gives it.
#[inline]
pub(crate) fn sqrt(x: f32) -> f32 {
    roots(x).0
}

/// Absolute value; `core` has none for floats on the oldest compiler this crate supports.
pub(crate) fn abs(x: f32) -> f32 {
    if x < 0.0 { -x } else { x }
}

#[cfg(test)]
mod tests {
    use super::{roots, sqrt};

    #[test]
    fn is_right_to_two_units_in_the_last_place() {
        let mut x = 1e-30_f32;
        while x < 1e30 {
            let exact = f64::from(x).powf(0.5);
            let error = (f64::from(sqrt(x)) - exact) / exact;
            assert!(error.abs() <= 2.0 * 2.0_f64.powi(-23), "{x}: {error}");
            let error = f64::from(roots(x).1) * exact - 1.0;
            assert!(error.abs() <= 2.0 * 2.0_f64.powi(-23), "1/√{x}: {error}");
            x *= 1.000_37;
        }
    }

    #[test]
    fn is_zero_at_and_below_zero() {
        assert_eq!([sqrt(0.0), sqrt(-1e-9), sqrt(-0.0)], [0.0; 3]);
    }
}
