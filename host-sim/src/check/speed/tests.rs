//! What is left out finds the same, and both find what a look at all windows does.

use super::super::random_motion::{COARSE, Random, pulses};
use super::*;

mod slow;

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

/// Index of the last of those at or after `from` that is at least `span` before `t`, or `from`.
fn last_before<const N: usize>(all: &[[f64; N]], from: usize, t: f64, span: f64) -> usize {
    let mut old = (from..all.len()).filter(|at| t - all[*at][0] >= span);
    old.next_back().unwrap_or(from)
}

// Windows begin at samples a quarter of their length apart, and end at each one.
#[test]
fn no_window_of_an_axis_is_faster() {
    // 160 ticks at the limit of speed for 0.016 mm; or more.
    for (least, window) in [(100.0, 160.0), (300.0, 300.0), (1400.0, 1400.0)] {
        for seed in 0..10 {
            let mut random = Random::new(seed);
            let mut axis = AxisSpeed::new(2, COARSE.1, least);
            let mut kept: Vec<[f64; 2]> = Vec::new();
            let (mut worst, mut place) = (f64::NEG_INFINITY, None);
            for (tick, x) in pulses(&mut random, COARSE, 400) {
                if let Some([t0, x0]) = kept.get(last_before(&kept, 0, tick, window))
                    && tick - t0 >= window
                    && f64::abs(x - x0) > worst * (tick - t0)
                {
                    (worst, place) = (f64::abs(x - x0) / (tick - t0), Some(tick));
                }
                let here = Here {
                    tick,
                    ..Here::default()
                };
                axis.sample(tick, x, &here);
                if kept
                    .last()
                    .is_none_or(|last| tick - last[0] >= window / 4.0)
                {
                    kept.push([tick, x]);
                }
            }
            let found = axis.worst;
            assert!(found.value == worst, "{found:?} {worst}");
            assert_eq!(found.here.map(|here| here.tick), place);
            assert_eq!((found.axis, found.limit), (Some(2), COARSE.1));
            assert_eq!(axis.peak(Writer { hz: 2.0 }), 2.0 * worst);
        }
    }
}

// The window is as long as the pace asks for, and begins no earlier than the last one of the pace before.
#[test]
fn no_window_of_the_path_is_faster() {
    const WINDOW: f64 = 1400.0;
    let mut shown = 0;
    for seed in 0..40 {
        let mut random = Random::new(seed);
        let mut feed = Feed::new(WINDOW);
        let mut kept: Vec<[f64; 3]> = Vec::new();
        let (mut worst, mut place, mut limit) = (f64::NEG_INFINITY, None, 0.0);
        let (mut from, mut asked, mut pace, mut last_t) = (0, WINDOW, 0.0, 0.0);
        let mut segment = Segment::NONE;
        let (mut s, mut last) = (0.0, 0.0);
        for (tick, x) in pulses(&mut random, COARSE, 600) {
            s += f64::abs(x - last) / 3.0;
            last = x;
            if random.part() < 0.02 {
                segment.due0 += (s - segment.s0) * segment.pace;
                segment.s0 = s;
                segment.pace = [0.0, 1e4, 3e4, 4e5][(4.0 * random.part()) as usize];
            }
            let due = segment.due0 + (s - segment.s0) * segment.pace;
            if segment.pace != pace {
                from = last_before(&kept, from, last_t, asked);
                pace = segment.pace;
                asked = WINDOW.max(0.016 * pace);
            }
            from = last_before(&kept, from, tick, asked);
            if let Some([t0, s0, due0]) = kept.get(from)
                && tick - t0 >= asked
                && s - s0 >= 0.016
                && pace > 0.0
                && due - due0 > worst * (tick - t0)
            {
                (worst, place) = ((due - due0) / (tick - t0), Some(tick));
                limit = 1.0 / pace;
            }
            last_t = tick;
            let here = Here {
                tick,
                ..Here::default()
            };
            feed.sample(tick, s, &segment, &here);
            if kept
                .last()
                .is_none_or(|last| tick - last[0] >= WINDOW / 4.0)
            {
                kept.push([tick, s, due]);
            }
        }
        let found = feed.worst;
        assert_eq!(found.here.map(|here| here.tick), place, "seed {seed}");
        assert!(found.value == worst, "seed {seed}: {found:?} {worst}");
        assert!(place.is_none() || found.limit == limit, "{found:?}");
        shown += usize::from(place.is_some());
    }
    assert!(shown > 30, "{shown}");
}

// 0.016 mm and 400 ticks are just enough; a limit has 1.25 %.
#[test]
fn windows_and_limits_of_speed_at_their_edges() {
    assert_eq!(
        (window(1.0), window(2.0), window(7.0)),
        (400.0, 400.0, 1400.0)
    );
    let writer = Writer { hz: 1000.0 };
    for (part, pass) in [(1.0125, true), (1.0126, false)] {
        let mut axis = AxisSpeed::new(1, 0.5, 400.0);
        axis.worst.raise(part * 0.5, 0.5, Some(1), &Here::default());
        assert_eq!(axis.result(writer).pass, pass);
        let mut feed = Feed::new(400.0);
        feed.worst.raise(part, 0.5, None, &Here::default());
        let told = feed.result(writer);
        assert_eq!(told.pass, pass);
        assert!((told.limit - 506.25).abs() < 1e-9 && (told.worst - 500.0 * part).abs() < 1e-9);
    }
    let told = AxisSpeed::new(1, 0.5, 400.0).result(writer);
    assert!(told.pass && told.axis == Some(1) && told.worst.is_nan());
    // At this pace 0.016 mm take 400 ticks.
    for (ticks, way, seen) in [
        (400.0, 0.016, true),
        (399.0, 0.016, false),
        (401.0, 0.0159, false),
    ] {
        let mut feed = Feed::new(400.0);
        let mut segment = Segment::NONE;
        segment.pace = 25e3;
        let here = Here::default();
        feed.sample(1000.0, 3.0, &segment, &here);
        feed.sample(1000.0 + ticks, 3.0 + way + 1e-12, &segment, &here);
        assert_eq!(feed.worst.here.is_some(), seen, "{ticks} {way}");
        let mut axis = AxisSpeed::new(0, 1.0, 400.0);
        axis.sample(1000.0, 3.0, &here);
        axis.sample(1000.0 + ticks, 4.0, &here);
        assert_eq!(axis.worst.here.is_some(), ticks >= 400.0);
    }
}

// 5 mm in 200 ticks each, and in 100 about 0: two of them take 300.
#[test]
fn a_fast_step_across_zero_is_seen() {
    let mut axis = AxisSpeed::new(0, 1.0, 160.0);
    for (tick, x) in [
        (0.0, -22.5),
        (200.0, -17.5),
        (400.0, -12.5),
        (600.0, -7.5),
        (800.0, -2.5),
        (900.0, 2.5),
        (1100.0, 7.5),
        (1300.0, 12.5),
    ] {
        axis.sample(tick, x, &Here::default());
    }
    assert_eq!(axis.worst.value, 10.0 / 300.0);
}
