//! Random smooth curves, cut at random, on machines with random limits.

use crate::support::{MOST, long, machine};
use proptest::prelude::*;
use spokeshave_tests::curves::curves;
use spokeshave_tests::shapes::rounded;

pub fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Chord lengths, mm, on a logarithmic scale.
pub fn chords(least: f64) -> impl Strategy<Value = f64> {
    (least.ln()..0.2_f64.ln()).prop_map(f64::exp)
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
            prop_assert!(worst.ratio <= MOST, "axis {axis}: {worst:?}, {} moves", measured.moves);
        }
    }

    #[test]
    fn rounding_costs_no_time(
        curve in curves(),
        chord in chords(0.01),
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
