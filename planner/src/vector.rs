//! The few operations on small vectors that planning needs.

use crate::coordinate::Point;
use crate::math::{abs, sqrt};

/// Displacement, mm.
pub(crate) fn displacement<const N: usize>(from: &Point<N>, to: &Point<N>) -> [f32; N] {
    core::array::from_fn(|i| to[i].since(from[i]))
}

/// Length.
pub(crate) fn length<const N: usize>(v: &[f32; N]) -> f32 {
    sqrt(v.iter().map(|x| x * x).sum())
}

/// Sum of `a` and `b` × `scale`.
pub(crate) fn add_scaled<const N: usize>(a: &[f32; N], b: &[f32; N], scale: f32) -> [f32; N] {
    core::array::from_fn(|i| a[i] + b[i] * scale)
}

/// The largest r for which r × |`direction`| stays within every limit, and the axis that sets it
/// (0 is the first). `direction` has a component that is not zero.
pub(crate) fn reach<const N: usize>(
    direction: &[f32; N],
    limit: impl Fn(usize) -> f32,
) -> (f32, u8) {
    let mut least = (f32::INFINITY, 0);
    for (i, component) in (0_u8..).zip(direction) {
        let r = limit(i.into()) / abs(*component);
        if r < least.0 {
            least = (r, i);
        }
    }
    least
}
