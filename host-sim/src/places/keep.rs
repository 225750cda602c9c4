//! Keeps the places that cost the most, and sums the others.

use super::MAX_PLACES;
use super::place::{Found, Others, Place};

#[derive(Clone, Debug, Default)]
pub(super) struct Keeper {
    kept: Vec<Place>,
    others: Vec<Others>,
    rounding_s: f64,
}

impl Keeper {
    pub fn add(&mut self, place: Place) {
        self.kept.push(place);
        // Twice as many as are kept, so that they need not be sorted for each.
        if self.kept.len() >= 2 * MAX_PLACES {
            self.cut();
        }
    }

    /// Books what moves at the speed asked for differ by.
    pub fn rounding(&mut self, lost_s: f64) {
        self.rounding_s += lost_s;
    }

    /// The dearest first; equal ones in the order of the program, so that results repeat exactly.
    fn cut(&mut self) {
        self.kept.sort_by(|a, b| {
            b.lost_s
                .total_cmp(&a.lost_s)
                .then(a.time_s.total_cmp(&b.time_s))
        });
        let beyond = MAX_PLACES.min(self.kept.len());
        for place in self.kept.drain(beyond..) {
            Others::sum(&mut self.others, &place);
        }
    }

    pub fn found(&self, last: impl IntoIterator<Item = Place>) -> Found {
        let mut all = self.clone();
        all.kept.extend(last);
        all.cut();
        all.others.sort_by(|a, b| b.lost_s.total_cmp(&a.lost_s));
        Found {
            places: all.kept,
            others: all.others,
            rounding_s: all.rounding_s,
        }
    }
}
