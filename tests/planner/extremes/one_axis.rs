//! One axis, one move from rest to rest, on every machine of extremes.

use super::judge::{self, longest, room, trapezoid};
use super::machines::{PERIODS, TIMERS, axes, controller, machine};
use spokeshave::{Coordinate, Machine, Pulse};
use spokeshave_sim::check::Report;
use spokeshave_tests::exact;
use spokeshave_tests::job::Job;
use spokeshave_tests::judged;

/// Lengths of a move, mm: a nanometre, which is less than a coordinate can tell, a coordinate's count,
/// and up to 10 m.
const LENGTHS: [f64; 5] = [1e-6, 1e-5, 0.03, 7.3, 10_000.0];

/// Most pulses and most ramps of a case; a longer move is cut down to them.
const MOST_PULSES: f64 = 100_000.0;
const MOST_RAMPS: f64 = 30_000.0;

#[test]
fn every_machine_is_refused_for_its_reason_or_right() {
    let (mut refused, mut whole, mut cut, mut measured) = (0, 0, 0, [0; 3]);
    for timer in TIMERS {
        for period in PERIODS {
            for axis in axes() {
                let controller = controller(timer, period);
                let Some(machine) = machine([axis], controller, period, 0.02) else {
                    refused += 1;
                    continue;
                };
                for length in LENGTHS {
                    let h = short_enough(&machine, length);
                    (whole, cut) = (whole + u32::from(h == length), cut + u32::from(h < length));
                    // Odd ones the other way.
                    let h = if whole % 2 == 0 { h } else { -h };
                    let report = one(machine, h);
                    for (count, name) in measured.iter_mut().zip(MEASURED) {
                        *count += u32::from(worst(&report, name).is_some());
                    }
                }
            }
        }
    }
    println!("{refused} machines refused; {whole} moves, and {cut} cut down to fewer pulses");
    println!("measured: {MEASURED:?} {measured:?}");
}

const MEASURED: [&str; 3] = ["axis speed", "straight acceleration", "rest"];

/// The part of a move that the case has time for.
fn short_enough(machine: &Machine<1>, length: f64) -> f64 {
    let axis = machine.axes()[0];
    let (v, a) = (axis.speed_limit.into(), axis.acceleration_limit.into());
    let mut h = length.min(MOST_PULSES / axis.steps_per_mm);
    while trapezoid(h, v, a) > MOST_RAMPS * longest(machine) {
        h *= 0.9;
    }
    h
}

fn one(machine: Machine<1>, h: f64) -> Report {
    let axis = machine.axes()[0];
    let to = Coordinate::from_mm(h).unwrap();
    let what = format!("{axis:?} {:?} {h} mm", machine.controller());
    let mut job = Job::new(machine, [Coordinate::ZERO]);
    job.line([to], None, false);
    let done = judge::run(&job, &what);

    // The very step: a move one way has no hysteresis, and the last step is made where it ends.
    let position = exact::position(&machine, &[to])[0];
    let steps = (position.unsigned_abs() + (1 << 31)) >> 32;
    assert_eq!(done.pulses.len() as u64, steps, "{what}");
    let forward = u8::from(h > 0.0);
    let same = |pulse: &Pulse| (pulse.steps, pulse.forward) == (1, forward);
    assert!(done.pulses.iter().all(same), "{what}");
    assert_eq!(done.late, 0, "{what}");

    let h = to.mm().abs();
    let (v, a) = (axis.speed_limit.into(), axis.acceleration_limit.into());
    if h == 0.0 {
        assert_eq!(done.time, 0.0, "{what}");
    } else {
        let off = (done.time - trapezoid(h, v, a)).abs();
        assert!(off <= room(&machine, h, v, a), "{what}: {off} s");
    }
    sees(&job, &done.pulses, &done.report, &what);
    done.report
}

/// What a check measured, if anything.
fn worst(report: &Report, name: &str) -> Option<f64> {
    let found = report.checks.iter().filter(|check| check.name == name);
    found.map(|check| check.worst).find(|worst| !worst.is_nan())
}

/// The checker is not blind: it misses a step that is left out, and it finds the same pulses in 3/4 of
/// the time too fast, wherever it had seen the limit of speed reached, or that of acceleration.
fn sees(job: &Job<1>, pulses: &[Pulse], clean: &Report, what: &str) {
    if pulses.is_empty() {
        return;
    }
    let mut lost = pulses.to_vec();
    lost.remove(pulses.len() / 2);
    let report = judged::report(job, &lost);
    assert!(
        report.failures().any(|check| check.name == "steps"),
        "{what}"
    );

    let axis = job.machine.axes()[0];
    let reached =
        |name, limit: f32| worst(clean, name).is_some_and(|worst| worst > 0.9 * f64::from(limit));
    if reached("axis speed", axis.speed_limit)
        || reached("straight acceleration", axis.acceleration_limit)
    {
        let fast: Vec<Pulse> = pulses
            .iter()
            .map(|pulse| Pulse {
                tick: pulse.tick * 3 / 4,
                ..*pulse
            })
            .collect();
        let fast = judged::report(job, &fast);
        // Where the shorter time leaves room for no measurement, the checker says so.
        let told = !fast.pass() || worst(&fast, "axis speed").is_none();
        assert!(told, "{what}: {fast:#?}");
    }
}
