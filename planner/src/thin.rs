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
use crate::corner::Corner;
use crate::math::{halved, less, roots, sqrt};
use crate::vector::{change, displacement, dot, pairwise, square};

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

    /// The first move, along `heading`: nothing has to be found out.
    pub fn begin(&mut self, heading: &[f32; N], length: f32) {
        self.sleeve = Some(Sleeve {
            way: *heading,
            width: width(self.tolerance / length),
        });
    }

    /// The vertex between the first move and the next, of which one is so short, lies beside any chord
    /// past it by more than the tolerance.
    ///
    /// Moves of a and b with a turn φ between them enclose a triangle whose height over the chord is
    /// a·b·sin φ over its length, which is a + b at most: half of the shorter times sin φ, or more.
    /// Asked for is twice that, so that rounding does not count. With the corner's widths, sin φ is
    /// |w|·2c/2.
    pub fn is_sharp(&self, corner: &Corner<N>, shorter: f32) -> bool {
        less(self.tolerance, halved(shorter * corner.twice_sine(), 3))
    }

    /// Goes on from the first move to `target`, along `heading`; false, and no change, where a vertex
    /// before it would then lie too far beside the chord, or the path turns back.
    pub fn extend(&mut self, target: &Point<N>, heading: &[f32; N]) -> bool {
        let Some(old) = &self.sleeve else {
            return true;
        };
        let way = displacement(&self.from, target);
        let (_, inverse) = roots(square(&way));
        let way = way.map(|x| x * inverse);
        let width = width(self.tolerance * inverse);
        let gap = change(&old.way, &way);
        let gap2 = square(&gap);
        // Less than half forward is no part of a smooth path.
        if less(old.width * old.width, gap2) || less(dot(&way, heading), 0.5) {
            return false;
        }
        let distance = sqrt(gap2);
        self.sleeve = Some(if !less(old.width, distance + width) {
            Sleeve { way, width }
        } else if !less(width, distance + old.width) {
            *old
        } else {
            let inside = 0.5 * (old.width + width - distance);
            let part = (old.width - inside) / distance;
            Sleeve {
                way: pairwise(&old.way, &gap, |way, gap| way + part * gap),
                width: inside,
            }
        });
        true
    }
}

/// Of the sleeve of a vertex, where it lies at its tolerance by so much; near the start any direction
/// passes.
fn width(angle: f32) -> f32 {
    if less(angle, 1.0) { angle } else { 3.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::coordinate::Coordinate;
    use crate::vector::split;
    use std::vec::Vec;

    fn at(x: f64, y: f64) -> Point<2> {
        [x, y].map(|mm| Coordinate::from_mm(mm).unwrap())
    }

    /// How far `point` lies from the line through `from` and `to`, mm.
    fn beside(from: &Point<2>, to: &Point<2>, point: &Point<2>) -> f64 {
        let [ax, ay] = [0, 1].map(|i| to[i].mm() - from[i].mm());
        let [bx, by] = [0, 1].map(|i| point[i].mm() - from[i].mm());
        (ax * by - ay * bx).abs() / ax.hypot(ay)
    }

    /// A wavy circle: every vertex that a chord passes lies within the tolerance of it, and chords
    /// pass many.
    #[test]
    fn passes_what_lies_within_the_tolerance_and_no_more() {
        let tolerance = 0.0025;
        let points: Vec<Point<2>> = (0..3000)
            .map(|k| {
                let angle = f64::from(k) * 0.004;
                let radius = 5.0 + 0.001 * (f64::from(k) * 2.1).sin();
                at(radius * angle.cos(), radius * angle.sin())
            })
            .collect();
        let mut thinner = Thinner::new(tolerance as f32, points[0]);
        let (mut first, mut chords) = (0, 0);
        for k in 1..points.len() {
            let (length, heading) = split(&displacement(&points[k - 1], &points[k]));
            if k == 1 {
                thinner.begin(&heading, length);
                continue;
            }
            if thinner.extend(&points[k], &heading) {
                continue;
            }
            for passed in &points[first + 1..k - 1] {
                let off = beside(&points[first], &points[k - 1], passed);
                // Counts of 2^-17 mm, and a direction in single precision over a chord of 0.3 mm.
                assert!(off <= tolerance + 1e-5, "{off}");
            }
            chords += 1;
            first = k - 1;
            thinner.restart(points[k - 1]);
            thinner.begin(&heading, length);
        }
        // A chord of sagitta 2·0.0025 mm, less the waves, is at most 0.45 mm of 60 mm.
        assert!((130..300).contains(&chords), "{chords}");
    }

    #[test]
    fn a_way_back_ends_a_chord() {
        let mut thinner = Thinner::new(0.0025, at(0.0, 0.0));
        thinner.begin(&[1.0, 0.0], 1.0);
        assert!(thinner.extend(&at(2.0, 0.0), &[1.0, 0.0]));
        assert!(!thinner.extend(&at(1.5, 0.0), &[-1.0, 0.0]));
        // Back to where it began: no direction at all.
        assert!(!thinner.extend(&at(0.0, 0.0), &[-1.0, 0.0]));
    }
}
