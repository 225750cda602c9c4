//! What is left out finds the same.

use super::super::random_motion::{COARSE, DEVIATION, FINE, LIMIT as MOST, Random, pulses};
use super::*;

#[test]
fn even_samples_hide_no_acceleration() {
    let mut left_out = 0;
    for seed in 0..60 {
        let mut random = Random::new(seed);
        let mut quick = AxisAcceleration::new(0, MOST, DEVIATION);
        let mut plain = quick.clone();
        let mut segment = Segment::NONE;
        (segment.u[0], segment.cap) = (1.0, 5e-5);
        let axis = if seed % 2 == 0 { COARSE } else { FINE };
        for (k, (tick, x)) in pulses(&mut random, axis, 4000).into_iter().enumerate() {
            // Some are off, more and more, so that there are new worst ones to the end.
            let off = if random.part() < 0.05 { 1e-6 } else { 0.0 };
            let x = x + off * k as f64;
            segment.straight += usize::from(random.part() < 0.005);
            let here = Here {
                tick,
                ..Here::default()
            };
            quick.sample(tick, x, &segment, &here);
            left_out += usize::from(quick.calm);
            plain.steady.start(usize::MAX);
            plain.calm = false;
            plain.sample(tick, x, &segment, &here);
        }
        let found = |axis: &AxisAcceleration| {
            let at = axis.worst.here.map(|here| here.tick);
            (axis.worst.value, at, axis.longest)
        };
        assert_eq!(found(&quick), found(&plain), "seed {seed}");
    }
    assert!(left_out > 0);
}
