//! What is left out finds the same.

use super::super::random_motion::{COARSE, Random, pulses};
use super::*;

fn same(a: &Worst, b: &Worst) -> bool {
    let at = |worst: &Worst| worst.here.map(|here| here.tick);
    a.value == b.value && at(a) == at(b)
}

#[test]
fn slow_samples_hide_no_speed() {
    let mut left_out = 0;
    for seed in 0..40 {
        let mut random = Random::new(seed);
        let mut quick = AxisSpeed::new(0, COARSE.1, 1400.0);
        let mut plain = quick.clone();
        for (tick, x) in pulses(&mut random, COARSE, 4000) {
            let here = Here {
                tick,
                ..Here::default()
            };
            quick.sample(tick, x, &here);
            left_out += usize::from(quick.slow.yes);
            plain.slow.yes = false;
            plain.sample(tick, x, &here);
            plain.slow.yes = false;
        }
        assert!(same(&quick.worst, &plain.worst), "seed {seed}");
    }
    assert!(left_out > 0);
}

// With paces that change, and so windows that become longer and shorter.
#[test]
fn slow_samples_hide_no_feed() {
    for seed in 0..40 {
        let mut random = Random::new(seed);
        let mut quick = Feed::new(1400.0);
        let mut plain = quick.clone();
        let mut segment = Segment::NONE;
        let (mut s, mut last) = (0.0, 0.0);
        for (tick, x) in pulses(&mut random, COARSE, 4000) {
            s += f64::abs(x - last);
            last = x;
            if random.part() < 0.02 {
                segment.due0 += (s - segment.s0) * segment.pace;
                segment.s0 = s;
                segment.pace = [0.0, 1e4, 3e4, 4e5][(4.0 * random.part()) as usize];
            }
            let here = Here {
                tick,
                ..Here::default()
            };
            quick.sample(tick, s, &segment, &here);
            plain.slow.yes = false;
            plain.slow.bound = f64::NEG_INFINITY;
            plain.sample(tick, s, &segment, &here);
        }
        assert!(same(&quick.worst, &plain.worst), "seed {seed}");
    }
}
