//! The few operations on small vectors that planning needs.

use crate::coordinate::Point;
use crate::math::{less, most, roots, sqrt};

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

/// A change of direction.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Change<const N: usize> {
    pub by: [f32; N],
    /// Square of its length.
    pub square: f32,
}

impl<const N: usize> Change<N> {
    /// None at all.
    pub const NONE: Self = Self {
        by: [0.0; N],
        square: 0.0,
    };

    pub fn between(from: &[f32; N], to: &[f32; N]) -> Self {
        let by = change(from, to);
        Self {
            by,
            square: square(&by),
        }
    }
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
    pub fn new(limits: &[f32; N]) -> Self {
        Self(limits.map(|limit| 1.0 / limit))
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

    /// The most that all axes together reach along any direction, as a multiple of the least of their
    /// limits.
    pub fn ratio(&self) -> f32 {
        let weakest = self
            .0
            .iter()
            .fold(0.0, |weakest, inverse| most(weakest, *inverse));
        sqrt(square(&self.0.map(|inverse| weakest / inverse)))
    }

    /// 1 over the least of the limits of `axes`.
    pub fn weakest(&self, axes: Axes) -> f32 {
        let mut weakest = 0.0_f32;
        for (i, inverse) in (0_u8..).zip(&self.0) {
            if axes.0 >> i & 1 == 1 {
                weakest = most(weakest, *inverse);
            }
        }
        weakest
    }
}

/// Some of the axes of a machine, a bit each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Axes(u8);

impl Axes {
    pub const NONE: Self = Self(0);

    /// Those that take part in `direction`.
    pub fn of<const N: usize>(direction: &[f32; N]) -> Self {
        let mut axes = 0;
        for (i, component) in (0_u8..).zip(direction) {
            axes |= u8::from(less(f32::EPSILON, component.abs())) << i;
        }
        Self(axes)
    }

    pub fn and(self, others: Self) -> Self {
        Self(self.0 | others.0)
    }
}
