//! Short bursts of too much acceleration are measured for what they are, at any speed and either way: the
//! windows are neither longer than rounding asks for, nor so short that rounding is all they show.

use crate::machines::machine;
use crate::maker::{Job, Step};
use spokeshave_sim::check::CheckResult;
use spokeshave_sim::machine::Machine;

/// A phase of a motion along one axis: acceleration, mm/s², and how long, s.
type Phase = (f64, f64);

/// Steps of a motion from rest, and how far it goes, mm.
fn steps(phases: &[Phase], axis: usize, way: f64, per_mm: f64, hz: f64) -> (Vec<Step>, f64) {
    let (mut at, mut speed, mut time) = (0.0, 0.0, 0.0);
    let mut made: Vec<Step> = Vec::new();
    for (acceleration, lasts) in phases {
        let end = at + speed * lasts + 0.5 * acceleration * lasts * lasts;
        loop {
            let ahead = (made.len() as f64 + 0.5) / per_mm - at;
            if at + ahead > end {
                break;
            }
            // The root that needs no difference (see the design, Time).
            let root = (speed * speed + 2.0 * acceleration * ahead).max(0.0).sqrt();
            let tick = (time + 2.0 * ahead / (speed + root)) * hz;
            made.push(Step {
                tick: tick.round() as u64,
                axis,
                direction: way as i8,
                piece: 0,
            });
        }
        (at, speed, time) = (end, speed + acceleration * lasts, time + lasts);
    }
    (made, at)
}

/// The highest acceleration that the checker finds on a straight, as a part of that of a burst at twice
/// the limit, from 10 mm/s on, which lasts for T and an eighth; by the check of straights, and by that of bends.
fn found(machine: Machine, axis: usize, way: f64) -> [f64; 2] {
    let (per_mm, timer_hz) = (machine.axes[axis].steps_per_mm, machine.controller.timer_hz);
    let limit = machine.axes[axis].acceleration_limit_mm_s2;
    let span = (8.0 * machine.junction_deviation_mm / limit).sqrt();
    let burst = 2.0 * limit;
    let top = 10.0 + burst * 1.125 * span;
    let gentle = 0.5 * limit;
    let phases = [
        (gentle, 10.0 / gentle),
        (0.0, 0.1),
        (burst, 1.125 * span),
        (0.0, 0.1),
        (-gentle, top / gentle),
    ];
    let (steps, length) = steps(&phases, axis, way, per_mm, timer_hz.into());
    let mut end = [0.0; 3];
    end[axis] = way * length;
    let job = Job::new(machine, &[[0.0; 3], end], None);
    let report = job.check(&steps);
    let [straight, bend] = ["straight acceleration", "bend acceleration"].map(|name| {
        let named = |check: &&CheckResult| check.name == name && check.axis == Some(axis);
        let check = report.checks.iter().find(named).expect("measured");
        assert!(!check.pass);
        check.worst
    });
    // There is no other acceleration to tell of, and the other axes stand.
    for other in 0..3 {
        let moves = other == axis;
        let peak = report.peak_acceleration_mm_s2[other];
        let most = if moves { straight.max(bend) } else { 0.0 };
        assert!((peak - most).abs() <= 1e-9 * burst, "{peak} on {other}");
        // A speed is right to 2 %.
        let speed = report.peak_speed_mm_s[other];
        let most = if moves { top } else { 0.0 };
        assert!((speed - most).abs() <= 0.02 * most, "{speed} on {other}");
    }
    [straight / burst, bend / burst]
}

#[test]
fn a_burst_is_measured_where_ticks_are_fine() {
    // Windows of T/8, T apart, see T and an eighth: all of the burst. Rounding is 2 % of the limit at most. Those on
    // bends end T/16 apart too, and so leave up to (T/16)²/(2·T/8), 1.6 %, out at an end.
    for axis in 0..3 {
        for way in [-1.0, 1.0] {
            for per_mm in [400.0, 1600.0] {
                let [part, bend] = found(machine(per_mm, 84_000_000), axis, way);
                assert!((0.97..=1.02).contains(&part), "{part} on {axis}");
                assert!((0.95..=1.02).contains(&bend), "{bend} on {axis}");
            }
        }
    }
}

#[test]
fn a_burst_is_measured_where_ticks_are_coarse() {
    // Ticks of 10 µs, at 25 to 30 mm/s: two windows w that lie T apart are right to 2 % of the limit from
    // w = 4·e/(2 %·a·T) on, e = 0.0003 mm: T/2.6 and T/3, so T/2; with starts that are thinned to T/16, and a
    // step, up to 0.6 T. These see 1.6 T in the shape of a trapezium, of which the burst leaves
    // 0.24²/0.6 = 9.4 % out, and rounding takes 1 %. (Windows of T would leave 19 % out.)
    for axis in 0..3 {
        for way in [-1.0, 1.0] {
            let [part, bend] = found(machine(80.0, 100_000), axis, way);
            assert!((0.89..=1.02).contains(&part), "{part} on {axis}");
            assert!((0.87..=1.02).contains(&bend), "{bend} on {axis}");
        }
    }
}

#[test]
fn a_burst_is_measured_where_positions_are_coarse() {
    // T is 4 ms at a deviation of 0.001 mm and 500 mm/s². Positions of 8e-6 mm ask for w·D ≥ 4·8e-6 mm/(2 %·a) =
    // 0.2·T², so w = T/4 and up to T/16 more. These see 1.31 T in the shape of a trapezium, of which a burst
    // of 1.125 T leaves at most 2·(0.094 T)²/(2·0.3125 T) = 2.8 % out, and rounding takes 1 %. On bends a position is known to
    // 2e-5 mm: w·D ≥ 0.5·T², and a little more for the speed, so w = T, or T/16 more. Of a triangle of 2.13 T the burst
    // leaves 2·(0.5 T)²/(2·1.06 T) = 23.5 % out.
    for axis in 0..3 {
        let mut machine = machine(1600.0, 84_000_000);
        machine.junction_deviation_mm = 0.001;
        let [part, bend] = found(machine, axis, 1.0);
        assert!((0.95..=1.02).contains(&part), "{part} on {axis}");
        assert!((0.75..=1.02).contains(&bend), "{bend} on {axis}");
    }
}
