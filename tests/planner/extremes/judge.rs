//! What must hold of any job on any machine, however extreme.

use spokeshave::{Machine, Pulse, Ramp};
use spokeshave_sim::check::Report;
use spokeshave_tests::job::Job;
use spokeshave_tests::rules::U;
use spokeshave_tests::run::{self, Pulses};
use spokeshave_tests::{audit, exact, judged, pulse_audit};

/// As far as a step may be late for the path to be kept all the same: the checker allows 9/16 of a step, of which a
/// plan takes 1/2.
const LATE_STEPS: f64 = 1.0 / 16.0;

/// A job that kept every rule.
pub struct Done {
    /// s
    pub time: f64,
    /// Steps that came later than planned.
    pub late: u32,
    pub pulses: Vec<Pulse>,
    pub report: Report,
}

/// Runs `job` and holds it to all rules: ramps within the limits that end at rest at each target, pulses
/// within a tick of their crossings or late for a reason and counted, every axis on the step nearest to where it should be, and
/// a checker that finds no fault.
///
/// # Panics
/// Where a rule is broken.
pub fn run<const N: usize>(job: &Job<N>, what: &str) -> Done {
    run_but_for(job, &[], what)
}

/// The same but for some checks of the checker.
///
/// # Panics
/// Where another rule is broken.
pub fn run_but_for<const N: usize>(job: &Job<N>, others: &[&str], what: &str) -> Done {
    let ramps = run::ramps::<N, 64>(job, 64);
    audit::ramps(job, &ramps);
    let mut maker = Pulses::new(&job.machine, job.start);
    let pulses = maker.all(&ramps);
    let late = pulse_audit::check(&job.machine, &job.start, &ramps, &pulses);
    let counted = maker.generator.lateness();
    assert!(counted.steps >= late.0, "{what}: {counted:?} {late:?}");
    let stands = maker.generator.position();
    let target = exact::position(&job.machine, &job.end());
    for axis in 0..N {
        // Half a step, 1/16 more after turning back, and the rounding of the scale.
        let off = (i64::from(stands[axis]) << 32) - target[axis];
        assert!(off.abs() <= (9 << 28) + 1, "{what}: axis {axis}, {off}");
    }
    let report = judged::report(job, &pulses);
    let failed = report.failures();
    // Where drivers hold steps back for long, with many more due meanwhile, the axis is off its path: the
    // checker is right to say so, and the generator has counted them.
    let held_back = counted.worst as f64 / f64::from(job.machine.controller().timer_hz);
    let rates =
        (job.machine.axes().iter()).map(|axis| f64::from(axis.speed_limit) * axis.steps_per_mm);
    let off_path = rates.fold(0.0, f64::max) * held_back > LATE_STEPS;
    let left_out = |name| others.contains(&name) || off_path && name == "path";
    let failures: Vec<_> = failed.filter(|check| !left_out(check.name)).collect();
    assert!(failures.is_empty(), "{what}: {failures:#?}");
    let time = audit::time(job.machine.controller().timer_hz, &ramps);
    Done {
        time,
        late: counted.steps,
        pulses,
        report,
    }
}

/// The textbook time of a move from rest to rest, s: h/v + v/a, or 2·√(h/a) where it has no cruise
/// (L. Biagiotti, C. Melchiorri, *Trajectory Planning for Automatic Machines and Robots*, Springer 2008,
/// §3.2, from memory).
pub fn trapezoid(h: f64, v: f64, a: f64) -> f64 {
    if h * a >= v * v {
        h / v + v / a
    } else {
        2.0 * (h / a).sqrt()
    }
}

/// How far the time of one move from rest to rest may be from [`trapezoid`], s.
///
/// - Each length, speed limit, acceleration and time is right to some units of round-off, 32·U together
///   with the heading's 12.
/// - A peak or a cruise of less than half a tick, or of less than what single precision tells of v/a
///   (8·U·v/a), is left out: 2 ticks and 32·U of the ramps.
/// - Each slice of a ramp rounds the speed at its end by U·v at most, of the a·t that it changes by. So
///   a ramp from rest to v may last longer or less by ∫ U·v/(a·t) dv/a = U·v²/(2·a²·t), twice. Slices
///   are equal, so none is shorter than half of the longest, or it is the whole ramp.
pub fn room<const N: usize>(machine: &Machine<N>, h: f64, v: f64, a: f64) -> f64 {
    let controller = machine.controller();
    let hz = f64::from(controller.timer_hz);
    let peak = v.min((h * a).sqrt());
    let slice = longest(machine) / 2.0;
    let ramp = peak / a;
    2.0 / hz + 64.0 * U * trapezoid(h, v, a) + U * ramp * ramp / slice.min(ramp)
}

/// The longest ramp of a machine, s.
pub fn longest<const N: usize>(machine: &Machine<N>) -> f64 {
    let controller = machine.controller();
    let most = f64::from(Ramp::<N>::MOST_TICKS) / f64::from(controller.timer_hz);
    f64::from(controller.ramp_time).min(0.99 * most)
}
