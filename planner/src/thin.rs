//! Which vertices count for the direction of the path: those that lie beside the chord past them
//! by more than rounding does.
//!
//! CAM rounds coordinates, and on moves of a few hundredths of a millimetre a micrometre turns the
//! direction by more than the curve does. So moves join to a chord for as long as every vertex
//! that it passes lies within a tolerance of it. From the chord's start, a vertex at distance r
//! allows the directions that point past it within the tolerance: a ball of radius tolerance/r
//! around its own. What all vertices so far allow is kept as one ball, the largest that fits into
//! both where two overlap: in a plane that is exact, elsewhere a little less than all.

use crate::coordinate::Point;
use crate::math::{roots, sqrt};
use crate::vector::{displacement, dot, square};

/// A chord that can still grow.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Thinner<const N: usize> {
    tolerance: f32,
    from: Point<N>,
    sleeve: Option<Sleeve<N>>,
}

/// Directions that pass all vertices so far.
#[derive(Clone, Copy, Debug)]
struct Sleeve<const N: usize> {
    way: [f32; N],
    width: f32,
}

impl<const N: usize> Thinner<N> {
    /// A chord from `from`, mm of tolerance.
    pub fn new(tolerance: f32, from: Point<N>) -> Self {
        Self {
            tolerance,
            from,
            sleeve: None,
        }
    }

    /// Begins a new chord.
    pub fn restart(&mut self, from: Point<N>) {
        self.from = from;
        self.sleeve = None;
    }

    /// Where the chord begins.
    pub fn from(&self) -> &Point<N> {
        &self.from
    }

    /// Goes on to `target`, along `heading`; false, and no change, where a vertex before it would
    /// then lie too far beside the chord, or the path turns back.
    pub fn extend(&mut self, target: &Point<N>, heading: &[f32; N]) -> bool {
        let way = displacement(&self.from, target);
        let (_, inverse) = roots(square(&way));
        let way = way.map(|x| x * inverse);
        // Near the start any direction passes.
        let width = (self.tolerance * inverse).min(1.0);
        let width = if width < 1.0 { width } else { 3.0 };
        let Some(old) = &self.sleeve else {
            self.sleeve = Some(Sleeve { way, width });
            return true;
        };
        let gap: [f32; N] = core::array::from_fn(|i| way[i] - old.way[i]);
        let gap2 = square(&gap);
        // Less than half forward is no part of a smooth path.
        if gap2 > old.width * old.width || dot(&way, heading) < 0.5 {
            return false;
        }
        let distance = sqrt(gap2);
        self.sleeve = Some(if distance + width <= old.width {
            Sleeve { way, width }
        } else if distance + old.width <= width {
            *old
        } else {
            let inside = 0.5 * (old.width + width - distance);
            let part = (old.width - inside) / distance;
            Sleeve {
                way: core::array::from_fn(|i| old.way[i] + part * gap[i]),
                width: inside,
            }
        });
        true
    }
}
