//! Where no window is measured, by hand: only where none can be faster; and windows from tick 0 on.

use super::*;

// 5 mm in 125 ticks each, and then in 1000: no window can show what the first ones did.
fn slowing_axis() -> AxisSpeed {
    let mut axis = AxisSpeed::new(0, 1.0, 100.0);
    let mut t = 0.0;
    for k in 0..20 {
        axis.sample(t, -97.5 + 5.0 * f64::from(k), &Here::default());
        t += if k < 10 { 125.0 } else { 1000.0 };
        if k > 12 {
            assert!(axis.slow.yes, "{k}");
        }
    }
    assert_eq!((axis.worst.value, axis.slow.last.1), (0.04, -2.5));
    axis
}

// But across zero as much in 100.
#[test]
fn a_fast_step_after_slow_ones_is_seen() {
    let mut axis = slowing_axis();
    let (t, x) = axis.slow.last;
    axis.sample(t + 100.0, x + 5.0, &Here::default());
    assert_eq!(axis.worst.value, 0.05);
}

/// A path at 0.8 of its feed for 2000 ticks, then at half of it for 20 000.
fn slowing_path() -> (Feed, Segment, (f64, f64)) {
    let mut feed = Feed::new(400.0);
    let mut segment = Segment::NONE;
    // 1 mm in 100 ticks.
    segment.pace = 100.0;
    let (mut t, mut s) = (1000.0, 0.0);
    for k in 0..220 {
        feed.sample(t, s, &segment, &Here::default());
        if k > 30 {
            assert!(feed.slow.yes, "{k}");
        }
        t += 100.0;
        s += if k < 20 { 0.8 } else { 0.5 };
    }
    assert!((feed.worst.value - 0.8).abs() < 1e-9, "{:?}", feed.worst);
    let last = (t - 100.0, feed.slow.last.1 / 100.0);
    (feed, segment, last)
}

// A pulse of another axis in the same tick, or the next, lies further on: by 1.8 mm, which makes 2 + 1.8 in 400 ticks.
#[test]
fn a_pulse_in_the_same_tick_may_be_the_fast_one() {
    for (late, far) in [(0.0, 1.8), (1.0, 1.8)] {
        let (mut feed, segment, (t, s)) = slowing_path();
        feed.sample(t + late, s + far, &segment, &Here::default());
        let expected = (200.0 + 100.0 * far) / (400.0 + late);
        let found = feed.worst.value;
        assert!((found - expected).abs() < 1e-9, "{found} {expected}");
    }
    // So much in the same tick is not fast.
    let (mut feed, segment, (t, s)) = slowing_path();
    feed.sample(t, s + 0.001, &segment, &Here::default());
    assert!((feed.worst.value - 0.8).abs() < 1e-9, "{:?}", feed.worst);
}

// What begins at tick 0 gets faster and faster: the window is the whole.
#[test]
fn windows_may_begin_at_tick_0() {
    let mut axis = AxisSpeed::new(0, 1.0, 400.0);
    let mut feed = Feed::new(400.0);
    let mut segment = Segment::NONE;
    segment.pace = 100.0;
    for (t, s) in [(0.0, 0.0), (400.0, 4.0), (450.0, 5.0), (475.0, 6.0)] {
        axis.sample(t, s, &Here::default());
        feed.sample(t, s, &segment, &Here::default());
    }
    assert_eq!(axis.worst.value, 6.0 / 475.0);
    assert_eq!(feed.worst.value, 600.0 / 475.0);
}
