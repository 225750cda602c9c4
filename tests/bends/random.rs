//! Random smooth curves, cut at random, on machines with random limits.

use crate::support::{long, machine};
use proptest::prelude::*;
use spokeshave_tests::cases::cases;
use spokeshave_tests::curves::curves;
use spokeshave_tests::shapes::rounded;

/// Chord lengths, mm, on a logarithmic scale; v·T has room for four where the curve is sharpest.
pub fn chords(least: f64) -> impl Strategy<Value = f64> {
    (least.ln()..0.1_f64.ln()).prop_map(f64::exp)
}

/// Most acceleration on a random curve, as a multiple of the limit. The two shares, for turning and
/// for changing speed, are means over half a stretch and more: where the bend changes within that,
/// and limits differ, an axis passes 1.10 (some one in a thousand of these curves).
const RANDOM: f64 = 1.2;

/// What rounding to 0.001 mm can add to the measured acceleration, as a part of the limit: each
/// mean velocity over T/8 is off by twice 0.0005 mm over T/8, and two of them over T make
/// 4·0.0005·8/T² = 4·0.0005·8·a/(8δ).
fn rounding(deviation: f32) -> f64 {
    0.002 / f64::from(deviation)
}

/// Acceleration limits, mm/s².
pub fn limits() -> impl Strategy<Value = [f32; 3]> {
    prop::array::uniform3((4.0..7.0_f32).prop_map(f32::exp))
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn each_axis_keeps_its_limit(
        curve in curves(),
        chord in chords(0.01),
        limits in limits(),
        deviation in 0.02..0.05_f32,
        round: bool,
    ) {
        let path = curve.cut(chord);
        let path = if round { rounded(&path) } else { path };
        let measured = long(machine(limits, deviation), &path);
        for (axis, worst) in measured.worst.iter().enumerate() {
            let most = if round { RANDOM + rounding(deviation) } else { RANDOM };
            prop_assert!(worst.ratio <= most, "axis {axis}: {worst:?}, {} moves", measured.moves);
        }
    }

    // Finer chords are slower where rounding turns their corners so far that the corner rule holds
    // each: it counts at every corner, thinned or not. A turn of 4·0.0005·√3 mm over the chord, the
    // worst, is slower than a bend of radius 8δ/φ², 5 mm for 0.02 mm, and gentler ones.
    #[test]
    fn rounding_costs_no_time(
        curve in curves(),
        chord in chords(0.02),
        limits in limits(),
        deviation in 0.02..0.05_f32,
    ) {
        let path = curve.cut(chord);
        let machine = machine(limits, deviation);
        let [exact, round] = [&path, &rounded(&path)].map(|path| long(machine, path).seconds);
        let part = round / exact;
        prop_assert!((1.0 / 1.04..1.04).contains(&part), "{exact} s, rounded {round} s: {part}");
    }
}
