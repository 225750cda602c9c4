//! No axis is accelerated past its limit, however a curve was cut.

use crate::support::{SHORT, equal, keeps_limits, plane};
use spokeshave_tests::shapes::CHORDS;

fn chords(short: bool) -> Vec<f64> {
    let wanted = |chord: &f64| (*chord <= SHORT) == short;
    CHORDS.iter().copied().filter(wanted).collect()
}

#[test]
fn short_chords_keep_the_limit() {
    keeps_limits(equal(), &plane(), &chords(true));
}

/// Corners about v·T apart merge by half: each pair of neighbours changes the velocity by nearly
/// √2 of what one may.
#[test]
fn coarse_chords_keep_it_nearly() {
    keeps_limits(equal(), &plane(), &chords(false));
}
