//! No axis is accelerated past its limit, however a curve was cut.

use crate::support::{LONE, MOST, SHORT, Shape, equal, keeps_limits, long, plane};
use spokeshave_tests::shapes::{self, CHORDS, Path};

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

/// v·T is 0.8 mm inside, so 0.5 mm half merge; 1 mm do from a radius of 15 mm on.
#[test]
fn coarse_chords_of_a_spiral_keep_it_nearly() {
    keeps_limits(equal(), &spirals(true), &[0.5]);
    let wide: [Shape<2>; 1] = [("wide spiral", |c| shapes::spiral([15.0, 25.0], 2.0, c))];
    keeps_limits(equal(), &wide, &[1.0]);
}

/// At a radius of 0.5 mm v·T is 0.28 mm: chords of 0.05 mm are short there, and corners of coarse
/// ones stand alone, each with a ramp down and a ramp up beside it.
#[test]
fn the_inside_of_a_spiral() {
    for chord in CHORDS {
        let path: Path<2> = shapes::spiral([0.5, 4.0], 1.0, chord);
        let ratio = long(equal(), &path).ratio();
        println!("inside a spiral {chord:5} mm {ratio:6.3} of the limit");
        let most = if chord <= 0.07 { MOST } else { LONE };
        assert!(ratio <= most, "{chord} mm: {ratio}, at most {most}");
    }
}
