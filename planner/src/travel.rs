//! Travel limits: how far each axis may go.

use crate::coordinate::{Coordinate, Point};
use crate::vector::pairwise;

/// A box, of which both ends belong to it. A straight move stays inside if both its ends do.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Travel<const N: usize> {
    least: Point<N>,
    most: Point<N>,
}

impl<const N: usize> Travel<N> {
    /// Between two corners, whichever way round each axis has them.
    pub fn between(a: &Point<N>, b: &Point<N>) -> Self {
        Self {
            least: pairwise(a, b, Ord::min),
            most: pairwise(a, b, Ord::max),
        }
    }

    /// The first axis that leaves it.
    pub fn left_by(&self, point: &Point<N>) -> Option<u8> {
        let mut ends = self.least.iter().zip(&self.most);
        (0_u8..).zip(point).find_map(|(axis, at)| {
            let (least, most) = ends.next()?;
            (at < least || at > most).then_some(axis)
        })
    }

    /// The farthest point from `from` along `way`, one number an axis; `from` lies inside.
    pub fn farthest(&self, from: &Point<N>, way: &[f32; N]) -> Point<N> {
        let ends = pairwise(&self.least, &self.most, |least, most| (least, most));
        let goal = pairwise(
            way,
            &ends,
            |way, (least, most)| {
                if way < 0.0 { least } else { most }
            },
        );
        // How often `way` fits until the first axis ends; those that stand do not count.
        let room = pairwise(&goal, from, |goal, from| {
            (f64::from(goal.counts()) - f64::from(from.counts())).abs()
        });
        let times = room
            .iter()
            .zip(way)
            .filter(|(_, way)| **way != 0.0)
            .map(|(room, way)| room / f64::from(way.abs()))
            .fold(
                f64::INFINITY,
                |least, times| if times < least { times } else { least },
            );
        let at = pairwise(from, way, |from, way| {
            if way == 0.0 {
                return from;
            }
            Coordinate::nearest(f64::from(from.counts()) + f64::from(way) * times)
        });
        let inside = pairwise(&at, &self.least, Ord::max);
        pairwise(&inside, &self.most, Ord::min)
    }
}
