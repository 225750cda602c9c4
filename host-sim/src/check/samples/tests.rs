//! What each sample is shown to.

use super::super::result::Writer;
use super::super::test_machine::machine;
use super::*;

/// The highest acceleration of each axis round bends, of x at 10 mm/s; between its samples are others, so far off, in mm.
fn peaks(between: Option<f64>, firm: bool) -> Point {
    let mut machine = machine();
    machine.controller.timer_hz = 1_000_000;
    let limits = machine
        .axes
        .map(|axis| axis.acceleration_limit_mm_s2 / 1e12);
    let speeds = machine.axes.map(|axis| axis.speed_limit_mm_s / 1e6);
    let mut samples = Samples::new(&machine, &speeds, &limits, 1.0);
    let mut news = News::default();
    for k in 0..400 {
        let other = k % 7 == 3;
        let off = if other { between } else { Some(0.0) };
        let Some(off) = off else { continue };
        let t = 1500.0 * f64::from(k);
        let x = 1e-5 * t + off;
        news.sample(Sample {
            t,
            at: x,
            x,
            s: 1e-5 * t,
            on: x,
            axis: 0,
            placed: false,
            firm: !other || firm,
            straight: false,
            leg: false,
        });
    }
    samples.read(&news);
    samples.curves.peaks(Writer { hz: 1e6 })
}

// A pulse that may lie on the next piece, or had to wait, shows no acceleration.
#[test]
fn what_is_not_firm_shows_no_acceleration() {
    let steady = peaks(None, true);
    assert!(steady[0] < 1.0, "{steady:?}");
    assert_eq!(peaks(Some(1.0), false), steady);
    assert!(peaks(Some(1.0), true)[0] > 1000.0);
}
