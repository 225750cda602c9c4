//! Peak speed and time of the trapezoidal profile.
//!
//! Source: L. Biagiotti, C. Melchiorri, *Trajectory Planning for Automatic Machines and Robots*,
//! Springer 2008, §3.2 (from memory): without a cruise the peak is v = √(a·h + (v₀² + v₁²)/2);
//! from rest to rest with a cruise at v, T = h/v + v/a; with end speeds and no cruise,
//! T = (2v − v₀ − v₁)/a.

use spokeshave::Ramp;
use spokeshave_tests::exact::mm;
use spokeshave_tests::job::Job;
use spokeshave_tests::rules::U;
use spokeshave_tests::{audit, machines, run};

const HZ: u32 = 1_000_000;
const ACCELERATION: f64 = 400.0;

/// The ramps of straight moves of these lengths and feeds, one after the other.
fn plan(moves: &[(f64, f32)]) -> Vec<Ramp<1>> {
    let machine = machines::single(HZ, 80.0, 400.0, ACCELERATION as f32);
    let mut job = Job::new(machine, mm([0.0]));
    let mut at = 0.0;
    for &(length, feed) in moves {
        at += length;
        job.line(mm([at]), Some(feed), false);
    }
    let ramps = run::ramps::<1, 8>(&job, 8);
    audit::ramps(&job, &ramps);
    ramps
}

/// What may lie between a time and its formula: the rounding of each ramp (30·U of its time: see
/// `audit`), and a slice at a peak that is left out below half a tick, which costs at most two.
fn room(ramps: &[Ramp<1>]) -> f64 {
    30.0 * U * audit::time(HZ, ramps) * ramps.len() as f64 + 2.0 / f64::from(HZ)
}

#[test]
fn from_rest_to_rest_with_a_cruise() {
    for (h, v) in [(10.0, 20.0), (100.0, 120.0), (1_000.0, 350.0), (0.5, 3.0)] {
        let ramps = plan(&[(h, v)]);
        let v = f64::from(v);
        let exact = h / v + v / ACCELERATION;
        let off = (audit::time(HZ, &ramps) - exact).abs();
        assert!(off <= room(&ramps), "{h} mm at {v}: {off} s off {exact}");
        let top = ramps
            .iter()
            .map(|r| f64::from(r.exit_speed))
            .fold(0.0, f64::max);
        assert!((top - v).abs() <= 8.0 * U * v, "{top}");
    }
}

#[test]
fn with_end_speeds_and_no_cruise() {
    for (h, v0, v1) in [
        (5.0, 0.0, 0.0),
        (2.0, 30.0, 10.0),
        (8.0, 12.0, 47.0),
        (0.1, 5.0, 6.0),
    ] {
        // The moves before and after hold the end speeds: as feeds, long enough to get there.
        let ends = [v0, v1].map(|v: f32| (f64::from(v).powi(2) / ACCELERATION, v));
        let middle = (h, 390.0);
        let moves: Vec<_> = match (v0 > 0.0, v1 > 0.0) {
            (false, false) => vec![middle],
            _ => vec![ends[0], middle, ends[1]],
        };
        let ramps = plan(&moves);
        let tag = if moves.len() == 1 { 0 } else { 1 };
        let ramps: Vec<_> = ramps.into_iter().filter(|ramp| ramp.tag == tag).collect();
        let (v0, v1) = (f64::from(v0), f64::from(v1));
        let peak = (ACCELERATION * h + 0.5 * (v0 * v0 + v1 * v1)).sqrt();
        let top = ramps
            .iter()
            .map(|r| f64::from(r.exit_speed))
            .fold(0.0, f64::max);
        // Coordinates round h by up to 2⁻¹⁷ mm; a peak left out is below half a tick of speed-up.
        let grain = ACCELERATION * (1.0 / 131_072.0) / (2.0 * peak);
        let missed = ACCELERATION * 0.5 / f64::from(HZ);
        assert!(
            (top - peak).abs() <= grain + missed + 16.0 * U * peak,
            "{top} and not {peak}"
        );
        let exact = (2.0 * peak - v0 - v1) / ACCELERATION;
        let off = (audit::time(HZ, &ramps) - exact).abs();
        let room = room(&ramps) + 2.0 * grain / ACCELERATION;
        assert!(off <= room, "{h} mm: {off} s off {exact}");
    }
}
