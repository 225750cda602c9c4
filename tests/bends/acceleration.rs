//! No axis is accelerated past its limit, however a curve was cut.

use crate::support::{SHORT, Shape, equal, keeps_limits, plane};
use spokeshave_tests::shapes::CHORDS;

fn chords(short: bool) -> Vec<f64> {
    let wanted = |chord: &f64| (*chord <= SHORT) == short;
    CHORDS.iter().copied().filter(wanted).collect()
}

/// The shapes in the plane that are spirals, or those that are not.
fn spirals(are: bool) -> Vec<Shape<2>> {
    let wanted = |(name, _): &Shape<2>| name.contains("spiral") == are;
    plane().into_iter().filter(wanted).collect()
}

#[test]
fn short_chords_keep_the_limit() {
    keeps_limits(equal(), &spirals(false), &chords(true));
}

#[test]
fn short_chords_of_a_spiral_keep_the_limit() {
    keeps_limits(equal(), &spirals(true), &chords(true));
}

/// Corners about v·T apart merge by half.
#[test]
fn coarse_chords_keep_it_nearly() {
    keeps_limits(equal(), &spirals(false), &chords(false));
}

/// Inside, where v·T is 0.28 mm, the corners of a spiral stand alone.
#[test]
fn coarse_chords_of_a_spiral_keep_it_nearly() {
    keeps_limits(equal(), &spirals(true), &chords(false));
}
