//! What is left out finds the same; and nothing is left out at the start.

use super::super::random_motion::{COARSE, DEVIATION, LIMIT, Random, SPAN, pulses};
use super::*;

// With turns alone and in rows, as often on a slow path as on a fast one.
#[test]
fn even_samples_and_single_turns_hide_no_acceleration() {
    for seed in 0..60 {
        let mut random = Random::new(seed);
        let mut quick = CurveAcceleration::new(0, LIMIT, DEVIATION);
        let mut plain = quick.clone();
        let mut turns = Clusters::new(SPAN);
        let (mut s, mut last, mut row) = (0.0, 0.0, false);
        for (tick, x) in pulses(&mut random, COARSE, 4000) {
            s += f64::abs(x - last);
            last = x;
            row = if row {
                random.part() < 0.9
            } else {
                random.part() < 0.005
            };
            if row || random.part() < 0.01 {
                turns.at_speed(1e-4 * random.part());
                turns.pass(s, &[0.0; AXES], &[0.3 * random.side(), 0.1, 0.0]);
            }
            let here = Here {
                tick,
                ..Here::default()
            };
            if quick.ring.takes(tick) {
                quick.sample((tick, s), x, &turns, &here);
                plain.told = f64::NEG_INFINITY;
                plain.steady.start(usize::MAX);
                plain.sample((tick, s), x, &turns, &here);
            }
        }
        let found = |axis: &CurveAcceleration| {
            let each = |worst: &Worst| (worst.value, worst.here.map(|here| here.tick));
            (axis.worst.each_ref().map(each), axis.peak, axis.longest)
        };
        assert_eq!(found(&quick), found(&plain), "seed {seed}");
    }
}

// At rest to the second sample, a seventh of T after the first, and then at 2e-5 mm/tick: 1.77 of a·T, seen over
// 1.05 T: two intervals of 0.065 T and fourteen before them.
#[test]
fn a_jump_at_the_second_sample_is_found() {
    let mut axis = CurveAcceleration::new(0, LIMIT, DEVIATION);
    let turns = Clusters::new(SPAN);
    axis.sample((0.0, 0.0), 0.0, &turns, &Here::default());
    for k in 0..20 {
        let late = f64::from(k) * 0.065 * SPAN;
        let x = 2e-5 * late;
        axis.sample((SPAN / 7.0 + late, x), x, &turns, &Here::default());
    }
    assert!(
        (1.65..=1.7).contains(&(axis.peak / LIMIT)),
        "{}",
        axis.peak / LIMIT
    );
}
