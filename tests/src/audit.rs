//! What must hold of the ramps of any job.

use crate::crossing::ticks;
use crate::job::Job;
use crate::profile;
use crate::rules::{self, HEADING, U};
use crate::{exact, rules::Span};
use spokeshave::{Limit, Machine, Ramp};

/// The tag of a rest; a move has its number in the job.
pub const REST: u32 = u32::MAX;

/// Checks every ramp of `job` by itself and with its neighbours.
///
/// # Panics
/// Where a rule is broken.
pub fn ramps<const N: usize>(job: &Job<N>, ramps: &[Ramp<N>]) {
    let mut speed = 0.0_f32;
    let mut position = exact::position(&job.machine, &job.start);
    let mut next = 0;
    let mut slice = 0;
    for ramp in ramps {
        assert_eq!(ramp.entry_speed, speed, "speed jumps: {ramp:?}");
        assert!(
            ramp.exit_speed.is_finite() && ramp.exit_speed >= 0.0,
            "{ramp:?}"
        );
        speed = ramp.exit_speed;
        duration(&job.machine, ramp);
        for (position, steps) in position.iter_mut().zip(ramp.steps) {
            *position += steps;
        }
        if ramp.tag == REST {
            assert_eq!((ramp.steps, ramp.exit_speed), ([0; N], 0.0), "{ramp:?}");
            continue;
        }
        assert_eq!(ramp.tag as usize, next, "order: {ramp:?}");
        slice += 1;
        one(
            &job.machine,
            &Leg {
                unit: job.moves[next].unit,
                length: job.moves[next].length,
                cap: job.cap(next),
                off: 0.0,
                room: 0.0,
            },
            ramp,
            slice,
        );
        if ramp.ends_move {
            slice = 0;
            at_target(job, next, &position);
            corner(job, next, ramp);
            next += 1;
        }
    }
    assert_eq!(speed, 0.0, "the plan does not end at rest");
    assert_eq!(next, job.moves.len(), "moves are missing");
}

/// What a ramp is part of.
#[derive(Clone, Copy, Debug)]
pub struct Leg<const N: usize> {
    /// Direction of the move that was asked for.
    pub unit: [f64; N],
    /// Its length, mm.
    pub length: f64,
    /// The most speed, mm/s.
    pub cap: f64,
    /// It begins so far off the place from which it was asked for, mm.
    pub off: f64,
    /// A change of speed that no acceleration makes, mm/s: 0 but for what an operator did.
    pub room: f64,
}

/// A ramp lasts no longer than the machine says.
///
/// # Panics
/// Where it does.
pub fn duration<const N: usize>(machine: &Machine<N>, ramp: &Ramp<N>) {
    let hz = f64::from(machine.controller().timer_hz);
    let ramp_time = f64::from(machine.controller().ramp_time);
    // One division and one product round the time of a ramp after it was held to the limit.
    let longest = (ramp_time * (1.0 + 4.0 * U)).max(1.0 / hz);
    assert!(ramp.ticks() / hz <= longest, "{ramp:?}");
    assert!(ramp.ticks() <= f64::from(Ramp::<N>::MOST_TICKS), "{ramp:?}");
}

/// One ramp, the `slice`th of its move: speed, acceleration, and that its way is what its speeds and its
/// time make.
///
/// # Panics
/// Where it is not.
pub fn one<const N: usize>(machine: &Machine<N>, leg: &Leg<N>, ramp: &Ramp<N>, slice: u32) {
    let Leg { unit, cap, .. } = leg;
    let hz = f64::from(machine.controller().timer_hz);
    let ramp_time = f64::from(machine.controller().ramp_time);
    let acceleration = rules::acceleration(machine, unit);
    let time = ramp.ticks() / hz;
    let (v0, v1) = (f64::from(ramp.entry_speed), f64::from(ramp.exit_speed));
    let top = v0.max(v1);

    // A cap is off by HEADING and one division. A rise is at most 5·U past it (difference,
    // division, product, sum, and the split into slices), a root of its square 5·U.
    let aside = leg.off / leg.length;
    let over = HEADING + 8.0 * U + aside;
    assert!(
        top <= *cap * (1.0 + over),
        "past the cap of {cap}: {ramp:?}"
    );

    // Acceleration. The limit is off by HEADING and one division, the time by 4·U. A speed is the
    // root of a rounded square, and the square is compared with a rounded square: 12·U of the
    // speed. How far the ramp before went is rounded as a part of itself (4·U), which this ramp
    // makes up for: that shifts its time by at most 8·U of the longest ramp. Each slice of a
    // braking leaves the rounding of its speed and its way (12·U of what is left of both) to the
    // slices after it.
    let a = acceleration * (1.0 + HEADING + aside + (8.0 + 12.0 * f64::from(slice)) * U);
    let longest = time + 8.0 * U * ramp_time;
    let change = (v1 - v0).abs();
    let slack = 12.0 * U * top + leg.room;
    assert!(
        change <= a * longest + slack,
        "acceleration past {a} over {longest} s, slice {slice}: {ramp:?}"
    );

    let mut way = [0.0; N];
    let mut grain = [0.0; N];
    for i in 0..N {
        let axis = &machine.axes()[i];
        let unit_mm = 1.0 / (axis.steps_per_mm * 4_294_967_296.0);
        way[i] = ramp.steps[i] as f64 * unit_mm;
        // Each end of a ramp is rounded to 2⁻³² step, and a target by 1/4 of that before.
        grain[i] = 2.5 * unit_mm;
        let axis_speed = top * unit[i].abs();
        assert!(
            axis_speed <= f64::from(axis.speed_limit) * (1.0 + over + HEADING),
            "axis {i} too fast: {ramp:?}"
        );
        let (axis_change, limit) = (change * unit[i].abs(), f64::from(axis.acceleration_limit));
        assert!(
            axis_change * acceleration <= limit * a * (1.0 + HEADING + aside) * longest + slack * a,
            "axis {i} accelerates past {limit}: {ramp:?}"
        );
        // It goes straight: each axis has its part of the way.
        let part = unit[i] * 0.5 * (v0 + v1) * time;
        let off = (way[i] - part).abs();
        let room = 32.0 * U * part.abs() + grain[i] + leg.off + top / (hz * 4e9);
        assert!(
            off <= room,
            "axis {i} goes {} and not {part}: {ramp:?}",
            way[i]
        );
    }
    // Length: mean speed (3·U) by time (3·U), as a part of a rounded length (12·U), or back.
    let length = 0.5 * (v0 + v1) * time;
    let off = (rules::norm(&way) - length).abs();
    let room = 32.0 * U * length + rules::norm(&grain) + leg.off + top / (hz * 4e9);
    assert!(
        off <= room,
        "goes {} and not {length}: {ramp:?}",
        rules::norm(&way)
    );
    assert!(!matches!(ramp.limit, Limit::Rest), "{ramp:?}");
}

/// Move `k` ends at its target: rounded to 2⁻³² step from a scale that is off by 1/4 of it.
fn at_target<const N: usize>(job: &Job<N>, k: usize, position: &[i64; N]) {
    let target = exact::position(&job.machine, &job.moves[k].to);
    for i in 0..N {
        let off = (position[i] - target[i]).abs();
        assert!(off <= 1, "move {k} axis {i}: {off}/2³² step off");
    }
}

/// Move `k` ends no faster than the corner and its neighbour's cap allow.
fn corner<const N: usize>(job: &Job<N>, k: usize, ramp: &Ramp<N>) {
    if k + 1 == job.moves.len() {
        return;
    }
    let most = job.entry(k + 1).hi;
    let b = f64::from(ramp.exit_speed).powi(2);
    // The root and the conversion of v² from a whole number.
    assert!(b <= most * (1.0 + 12.0 * U), "corner {k}: {b} past {most}");
}

/// The plan is the textbook's: at every junction, v² lies where rounding lets the largest plan
/// lie, for ramps that were made with `depth` moves in the queue at all times, or all that were
/// left.
///
/// # Panics
/// Where it does not.
pub fn is_largest<const N: usize>(job: &Job<N>, ramps: &[Ramp<N>], depth: usize) {
    let entries: Vec<Span> = (0..job.moves.len()).map(|k| job.entry(k)).collect();
    let changes: Vec<Span> = (0..job.moves.len()).map(|k| job.change(k)).collect();
    let mut slices = vec![0_u32; job.moves.len()];
    let mut phase = (0, 0);
    for ramp in ramps.iter().filter(|ramp| ramp.tag != REST) {
        slices[ramp.tag as usize] += 1;
        // A rise, a cruise and a fall, in this order: rounding makes no slices between. A change
        // of speed of some units in the last place is none.
        let change = f64::from(ramp.exit_speed) - f64::from(ramp.entry_speed);
        let next = match ramp.limit {
            Limit::AxisAcceleration(_) if change.abs() <= 8.0 * U * f64::from(ramp.entry_speed) => {
                continue;
            }
            Limit::AxisAcceleration(_) if change > 0.0 => 0,
            Limit::AxisAcceleration(_) => 2,
            _ => 1,
        };
        assert!((ramp.tag, next) >= phase, "out of order: {ramp:?}");
        phase = (ramp.tag, next);
    }
    // Each slice of a move rounds the speed and the way that is left: 12·U of v².
    let rounding = |k: usize| f64::from(slices[k] + 1) * 12.0 * U;
    let plan = |side: fn(&Span) -> f64, sign: f64| {
        let entries: Vec<f64> = entries.iter().map(side).collect();
        let changes: Vec<f64> = changes.iter().map(side).collect();
        let rounding = |k| sign * rounding(k);
        if depth < entries.len() {
            profile::windowed(&entries, &changes, depth, rounding)
        } else {
            profile::two_pass(&entries, &changes, rounding)
        }
    };
    let (lo, hi) = (plan(|s| s.lo, -1.0), plan(|s| s.hi, 1.0));
    let ends = ramps
        .iter()
        .filter(|ramp| ramp.tag != REST && ramp.ends_move);
    for (k, ramp) in (1..).zip(ends) {
        let b = f64::from(ramp.exit_speed).powi(2);
        assert!(
            lo[k] <= b && b <= hi[k],
            "junction {k}: v² = {b}, textbook {} to {}",
            lo[k],
            hi[k]
        );
    }
}

/// How long ramps last together, s.
pub fn time<const N: usize>(hz: u32, ramps: &[Ramp<N>]) -> f64 {
    let sum = ramps.iter().map(|ramp| u128::from(ramp.duration)).sum();
    ticks(sum) / f64::from(hz)
}
