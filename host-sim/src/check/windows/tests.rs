//! Against windows looked for in a list of all samples, and by hand.

use super::super::random_motion::Random;
use super::*;

const LENGTH: f64 = 100.0;

/// The windows that end at `t`, by a look at all samples from `first` on.
fn plain(samples: &[[f64; 2]], first: usize, t: f64, distance: f64) -> Option<Placed> {
    let last = |below: usize, before: f64| {
        let mut all = (first..below).rev();
        all.find(|at| before >= samples[*at][0])
    };
    let i2 = last(samples.len(), t - LENGTH)?;
    let [t2, x2] = samples[i2];
    let i1 = last(i2 + 1, t2 - (distance - LENGTH))?;
    let [t1, x1] = samples[i1];
    let i0 = last(i1 + 1, t1 - LENGTH)?;
    let [t0, x0] = samples[i0];
    let (way, wide, t01) = (x1 - x0, t1 - t0, t0 + t1);
    Some(Placed {
        way,
        wide,
        t2,
        x2,
        t01,
    })
}

fn numbers(placed: Option<Placed>) -> Option<[f64; 5]> {
    placed.map(|p| [p.way, p.wide, p.t2, p.x2, p.t01])
}

// Times are whole, and gaps between samples from a part of a window to more than one.
#[test]
fn windows_lie_where_a_look_at_all_puts_them() {
    for (seed, distance) in [(1, 100.0), (2, 250.0), (3, 800.0)] {
        let mut random = Random::new(seed);
        let mut ring = Kept::new(800.0, 8 * PARTS);
        let mut windows = Windows::new(LENGTH, distance);
        let mut lazy = Windows::new(LENGTH, distance);
        let (mut held, mut until) = (None, f64::NEG_INFINITY);
        let mut samples: Vec<[f64; 2]> = Vec::new();
        let (mut t, mut first, mut slid) = (0.0, 0, 0);
        for _ in 0..400 {
            let far = if random.part() < 0.05 { 150.0 } else { 40.0 };
            t += (1.0 + far * random.part()).floor();
            if random.part() < 0.01 {
                // Another stretch begins.
                (first, until) = (samples.len(), f64::NEG_INFINITY);
            }
            if first < samples.len() {
                let found = numbers(plain(&samples, first, t, distance));
                assert_eq!(numbers(windows.place(&ring, first, t)), found, "{t}");
                if t >= until {
                    (held, until) = lazy.slide(&ring, first, t);
                    slid += 1;
                    assert!(until > t);
                }
                assert_eq!(numbers(held), found, "{t}, slid at {until}");
                if found.is_some() {
                    assert!(windows.first() >= first);
                    let at = windows.first();
                    assert_eq!(samples[at][0], ring.time(at));
                }
            }
            let x = random.side();
            ring.keep([t, x, 0.0]);
            samples.push([t, x]);
        }
        assert!(slid < 390, "{slid}");
    }
}

// Samples at 0, 10, … 50: windows of 20, 30 apart. They end at 60 with [40, 60], and [10, 30] before.
#[test]
fn windows_are_slid_when_the_next_sample_is_old_enough() {
    let mut ring = Kept::new(1280.0, 8 * PARTS);
    for k in 0..=5 {
        ring.push([10.0 * f64::from(k), f64::from(k * k), 0.0]);
    }
    let mut windows = Windows::new(20.0, 30.0);
    assert_eq!(windows.product, 600.0);
    let (placed, until) = windows.slide(&ring, 0, 60.0);
    assert_eq!(numbers(placed), Some([9.0 - 1.0, 20.0, 40.0, 16.0, 40.0]));
    assert_eq!((windows.first(), until), (1, 70.0));
    // From the third sample on the stretch is too short for both, until 20 + 50 less a tick.
    let (placed, until) = Windows::new(20.0, 30.0).slide(&ring, 2, 60.0);
    assert_eq!((numbers(placed), until), (None, 70.0));
    let (placed, until) = Windows::new(20.0, 30.0).slide(&ring, 3, 60.0);
    assert_eq!((numbers(placed), until), (None, 79.0));
}

// [0, 4] with 12 mm, and [10, 12] with 4 mm: 3 and 2 mm a tick, with 9 ticks between their middles.
#[test]
fn what_two_windows_show() {
    let placed = Placed {
        way: 12.0,
        wide: 4.0,
        t2: 10.0,
        x2: 20.0,
        t01: 4.0,
    };
    let pair = placed.end(12.0, 24.0);
    assert_eq!(pair.ways, [12.0, 4.0]);
    assert_eq!((pair.wide, pair.late, pair.distance), (4.0, 2.0, 9.0));
    assert_eq!(pair.change / pair.unit(), (3.0 - 2.0) / 9.0);
    // A position at each end: by 3 mm for the tick and 1 mm more, over 4 and over 2 ticks, twice each.
    assert_eq!(pair.rounding(1.0), 4.0 * (2.0 / 4.0 + 2.0 / 2.0) / 9.0);
    // The later window the faster one, and back.
    let pair = placed.end(12.0, 10.0);
    assert_eq!(pair.change / pair.unit(), (3.0 + 5.0) / 9.0);
    assert_eq!(pair.rounding(1.0), 6.0 * (2.0 / 4.0 + 2.0 / 2.0) / 9.0);
    assert!(Placed::NONE.end(12.0, 24.0).change.is_nan());
}
