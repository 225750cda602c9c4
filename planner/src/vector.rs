//! The few operations on small vectors that planning needs.

use crate::coordinate::Point;
use crate::math::{less, most, roots};

/// `f` of the components of both, one after the other. There is no index in it: a compiler that is
/// asked for small code would check one, and a check is a way to panic.
pub(crate) fn pairwise<A: Copy, B: Copy, C: Copy + Default, const N: usize>(
    a: &[A; N],
    b: &[B; N],
    f: impl Fn(A, B) -> C,
) -> [C; N] {
    let mut both = [C::default(); N];
    for (c, (a, b)) in both.iter_mut().zip(a.iter().zip(b)) {
        *c = f(*a, *b);
    }
    both
}

/// Displacement, mm.
pub(crate) fn displacement<const N: usize>(from: &Point<N>, to: &Point<N>) -> [f32; N] {
    pairwise(to, from, |to, from| to.since(from))
}

/// Square of the length.
pub(crate) fn square<const N: usize>(v: &[f32; N]) -> f32 {
    v.iter().map(|x| x * x).sum()
}

/// Product of the lengths and the cosine between.
pub(crate) fn dot<const N: usize>(u: &[f32; N], v: &[f32; N]) -> f32 {
    u.iter().zip(v).map(|(x, y)| x * y).sum()
}

/// `to` less `from`.
pub(crate) fn change<const N: usize>(from: &[f32; N], to: &[f32; N]) -> [f32; N] {
    pairwise(to, from, |to, from| to - from)
}

/// Length, and the unit vector; the length is not zero.
pub(crate) fn split<const N: usize>(v: &[f32; N]) -> (f32, [f32; N]) {
    let (length, inverse) = roots(square(v));
    (length, v.map(|x| x * inverse))
}

/// Limits of the axes, kept as 1/limit: along any direction they then cost one division.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Limits<const N: usize>([f32; N]);

impl<const N: usize> Limits<N> {
    pub fn new(limit: impl Fn(usize) -> f32) -> Self {
        Self(core::array::from_fn(|i| 1.0 / limit(i)))
    }

    /// How much of its limit the axis that is asked most uses per unit along `direction`, and
    /// which axis that is (0 is the first): 1 over it is the limit along that direction.
    pub fn share(&self, direction: &[f32; N]) -> (f32, u8) {
        let mut asked_most = (0.0, 0);
        for (i, (component, inverse)) in (0_u8..).zip(direction.iter().zip(&self.0)) {
            let share = component.abs() * inverse;
            if less(asked_most.0, share) {
                asked_most = (share, i);
            }
        }
        asked_most
    }

    /// Each component of `direction` as a part of its axis's limit.
    pub fn parts(&self, direction: &[f32; N]) -> [f32; N] {
        pairwise(direction, &self.0, |part, inverse| part.abs() * inverse)
    }

    /// 1 over the least of the limits of the axes that take part in `directions`.
    pub fn weakest<'a>(&self, directions: impl Iterator<Item = &'a [f32; N]>) -> f32 {
        let mut weakest = 0.0_f32;
        for direction in directions {
            for (component, inverse) in direction.iter().zip(&self.0) {
                if less(f32::EPSILON, component.abs()) {
                    weakest = most(weakest, *inverse);
                }
            }
        }
        weakest
    }
}
