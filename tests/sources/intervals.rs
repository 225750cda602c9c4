//! Step intervals from rest.
//!
//! Source: D. Austin, *Generate stepper-motor speed profiles in real time*, Embedded Systems
//! Programming, December 2004/January 2005: with constant acceleration, the n-th step comes at
//! t_n = √(2n/(a·r)), so that c_n = c_0(√(n+1) − √n). The ratios are from memory, and follow from
//! the formula.

use spokeshave::Coordinate;
use spokeshave_tests::exact::mm;
use spokeshave_tests::job::Job;
use spokeshave_tests::rules::U;
use spokeshave_tests::{
    machines,
    run::{self, Pulses},
};

/// c_n/c_(n−1) for n = 1 to 6, to four digits.
const RATIOS: [f64; 6] = [0.4142, 0.7673, 0.8430, 0.8810, 0.9041, 0.9196];

#[test]
fn steps_from_rest_come_at_the_published_intervals() {
    let (hz, resolution, acceleration) = (100_000_000, 64.0, 50.0);
    let machine = machines::single(hz, resolution, 100.0, acceleration);
    // A step is made half-way between two step positions. The paper's motor starts on a step and
    // counts whole steps of way: so does an axis that starts half a step off, which 1/128 mm is
    // to the last digit.
    let start = [Coordinate::from_counts(1024)];
    let mut job = Job::new(machine, start);
    job.line(mm([20.0]), None, false);
    let pulses = Pulses::new(&machine, start).all(&run::ramps::<1, 2>(&job, 2));
    let ticks: Vec<f64> = pulses.iter().map(|pulse| pulse.tick as f64).collect();

    let first = (2.0 / (f64::from(acceleration) * resolution)).sqrt() * f64::from(hz);
    let interval = |n: usize| ticks[n] - if n == 0 { 0.0 } else { ticks[n - 1] };
    // Each pulse is within 0.6 tick of the plan (a half, and 0.1 of computing). The plan itself
    // rounds the acceleration (13·U) and the speed and time at each of its slices, of which there
    // are 26 and less up to the seventh step: 5·U each.
    let plan = (13.0 + 5.0 * 26.0) * U;
    let error = |n: usize| 1.2 + plan * ticks[n];
    for n in 0..7 {
        let exact = first * ((n as f64 + 1.0).sqrt() - (n as f64).sqrt());
        let off = (interval(n) - exact).abs();
        assert!(off <= error(n), "c_{n}: {} and not {exact}", interval(n));
    }
    for (n, published) in (1..).zip(RATIOS) {
        let ratio = interval(n) / interval(n - 1);
        let error = ratio * (error(n) / interval(n) + error(n - 1) / interval(n - 1));
        // Half of the last digit printed.
        assert!((ratio - published).abs() <= 5e-5 + error, "c_{n}: {ratio}");
    }
}
