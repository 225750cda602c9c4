//! Bends with waves on them: more chords matter than the planner has room for, and those further
//! back are joined.

use crate::support::{equal, long};
use proptest::prelude::*;
use spokeshave_tests::cases::cases;
use spokeshave_tests::shapes::Path;

/// Most acceleration there, as a multiple of the limit: more than on a smooth bend, since waves
/// larger than the tolerance of thinning are corners of their own, and less than at a lone corner.
/// With the oldest chords dropped instead of joined it was 5.8 in a trial.
const MOST: f64 = 1.5;

/// A turn and more of a circle, each corner off it by `side` of its number.
fn circle(radius: f64, chord: f64, side: impl Fn(f64) -> f64) -> Path<2> {
    (0..(30.0 / chord) as u32)
        .map(f64::from)
        .map(|k| {
            let (sin, cos) = (k * chord / radius).sin_cos();
            let radius = radius + side(k);
            [radius * cos, radius * sin]
        })
        .collect()
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn waves_on_a_bend_stay_within_their_bound(
        radius in 1.0..20.0_f64,
        chord in 0.01..0.06_f64,
        amplitude in (0.0006_f64.ln()..0.02_f64.ln()).prop_map(f64::exp),
        kind in 0..2_u8,
    ) {
        let path = circle(radius, chord, |k| match kind {
            0 if k % 2.0 == 0.0 => amplitude,
            0 => -amplitude,
            _ => amplitude * (1.3 * k).sin(),
        });
        let measured = long(equal(), &path);
        prop_assert!(measured.ratio() <= MOST, "{measured:?}");
    }
}
