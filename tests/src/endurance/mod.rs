//! One long job through planner and checker: nothing may add up, in position, in time or in memory.

mod memory;
mod program;

use program::Passes;
use spokeshave_sim::check::{CheckResult, Checker, Piece, Report};
use spokeshave_sim::machine::{Axis, Controller, Machine};
use spokeshave_sim::motion::{AXES, Point};
use spokeshave_sim::run::{RunError, Sink, SinkError, Totals, run};
use spokeshave_sim::trace::{MoveRecord, Slice};
use std::cell::Cell;
use std::time::Instant;

/// Where the job ends, steps: whole ones, so that there is no doubt where each axis must stand.
const END: [i64; AXES] = [123_457, -98_765, 4_321];

/// By how much a worst value may come nearer to its limit from a tenth of the job to all of it, as a part of
/// the limit. What grows with the job has grown by nine tenths of itself then. What does not finds its worst
/// places among ten times as many; those that chance makes rare (two steps close to each other) move most.
const CREEP: f64 = 0.05;

/// What an allocator keeps, and pages that happen to be touched (bytes).
const MEMORY: u64 = 1 << 20;

/// Pulses that go to the checker together.
const BATCH: usize = 4096;

/// What came of it.
pub struct Outcome {
    /// Pulses, an axis at a time.
    pub pulses: u64,
    /// How long it took, s.
    pub seconds: f64,
    /// Peak of the resident memory after 1 % of the pulses and at the end, bytes; `None` where the system
    /// does not tell it.
    pub memory: [Option<u64>; 2],
    /// Where the pulses end and where the program does, steps.
    pub ends: [[i64; 2]; AXES],
    /// The tick of the last pulse, and that at which the plan ends.
    pub ticks: [f64; 2],
    /// The most that may lie between them.
    pub last_ticks: f64,
    /// What the checker had found after a tenth, and at the end.
    pub checks: [Report; 2],
    /// What the run adds up to.
    pub totals: Totals,
}

impl Outcome {
    /// What is wrong, in words.
    pub fn faults(&self) -> Vec<String> {
        let mut faults = Vec::new();
        for (axis, [pulses, program]) in self.ends.iter().enumerate() {
            if pulses != program {
                faults.push(format!(
                    "axis {axis} ends at step {pulses}, not at {program}"
                ));
            }
        }
        let [last, end] = self.ticks;
        if !(0.0..=self.last_ticks).contains(&(end - last)) {
            faults.push(format!(
                "the last pulse is at tick {last}, the end of the plan at {end}"
            ));
        }
        if self.totals.late_steps > 0 {
            faults.push(format!("{} steps came late", self.totals.late_steps));
        }
        let [_, all] = &self.checks;
        faults.extend(all.failures().map(|check| format!("{check:?}")));
        faults
    }

    /// What grew with the job though it must not, in words: for a job of many passes, in a process of its own.
    pub fn growth(&self) -> Vec<String> {
        let mut grown = Vec::new();
        for (early, late) in self.worst_values() {
            // The least value allowed is one that the worst is not below.
            let used = |check: &CheckResult| match check.name {
                "pulse period" | "direction setup" => check.limit / check.worst,
                _ => check.worst / check.limit,
            };
            if used(late) - used(early) > CREEP {
                grown.push(format!(
                    "{} crept from {} to {}",
                    late.name, early.worst, late.worst
                ));
            }
        }
        if let [Some(early), Some(late)] = self.memory
            && late > early + MEMORY
        {
            grown.push(format!("memory grew from {early} to {late} bytes"));
        }
        grown
    }

    /// The checks that go on during a job, after a tenth of it and at its end.
    pub fn worst_values(&self) -> impl Iterator<Item = (&CheckResult, &CheckResult)> {
        let [early, all] = &self.checks;
        let both = early.checks.iter().zip(&all.checks);
        both.filter(|(_, check)| !matches!(check.name, "end position" | "steps"))
    }
}

/// A router of three drives that have no common measure: an Acme screw of 10 threads an inch (ASME B1.5)
/// with 1 600 steps a turn, a belt on 20 teeth of 5.08 mm (ISO 5296) with 3 200, geared 7 to 3, and a ball screw of
/// 5 mm with 3 200. Its timer has no whole number of ns in a tick.
pub fn machine() -> Machine {
    let axis = |steps_per_mm, speed_limit_mm_s, acceleration_limit_mm_s2| Axis {
        steps_per_mm,
        speed_limit_mm_s,
        acceleration_limit_mm_s2,
        travel_mm: [-9_000.0, 9_000.0],
        backlash_mm: 0.0,
    };
    Machine {
        name: "three drives".into(),
        junction_deviation_mm: 0.02,
        chord_tolerance_mm: 0.002,
        look_ahead: 64,
        controller: Controller {
            timer_hz: 84_000_000,
            pulse_width_s: 1e-6,
            pulse_period_s: 2.5e-6,
            direction_setup_s: 1e-6,
        },
        axes: [
            axis(1_600.0 / 2.54, 120.0, 800.0),
            axis(3_200.0 / 101.6 * 7.0 / 3.0, 150.0, 1_000.0),
            axis(3_200.0 / 5.0, 60.0, 400.0),
        ],
        work_zero_mm: [[0.0; AXES]; 6],
    }
}

/// Runs programs over and over until there are so many pulses; `told` is called for each 4096 or so.
///
/// # Errors
/// What the program reader or the planner refuses.
pub fn endure(pulses: u64, told: impl FnMut()) -> Result<Outcome, RunError> {
    let machine = machine();
    let made = Cell::new(0);
    let end = std::array::from_fn(|i| END[i] as f64 / machine.axes[i].steps_per_mm);
    let passes = Passes::new(end, || made.get() >= pulses)?;
    let mut watch = Watch {
        checker: Checker::new(&machine, [0.0; AXES]),
        batch: Vec::with_capacity(BATCH),
        made: &made,
        asked: pulses,
        early: None,
        memory: None,
        net: [0; AXES],
        last: 0,
        told,
    };
    let began = Instant::now();
    let totals = run(&machine, [0.0; AXES], passes, &mut watch)?;
    watch.hand_over();
    let (early, memory) = (watch.early, watch.memory);
    let all = watch.checker.finish();
    // The last step of an axis is made half a step before it stands, and 1/16 more after turning back.
    let last = (0..AXES).map(|i| {
        let axis = &machine.axes[i];
        (2.0 * 9.0 / 16.0 / axis.steps_per_mm / axis.acceleration_limit_mm_s2).sqrt()
    });
    let hz = f64::from(machine.controller.timer_hz);
    Ok(Outcome {
        pulses: made.get(),
        seconds: began.elapsed().as_secs_f64(),
        memory: [memory.flatten(), memory::peak()],
        ends: std::array::from_fn(|i| [watch.net[i], END[i]]),
        ticks: [watch.last as f64, totals.job_time_s * hz],
        last_ticks: last.fold(0.0, f64::max) * hz + 2.0,
        checks: [early.unwrap_or_else(|| all.clone()), all],
        totals,
    })
}

/// The checker, and marks on the way.
struct Watch<'a, F> {
    checker: Checker,
    batch: Vec<(u64, [i8; AXES])>,
    made: &'a Cell<u64>,
    asked: u64,
    early: Option<Report>,
    memory: Option<Option<u64>>,
    net: [i64; AXES],
    last: u64,
    told: F,
}

impl<F: FnMut()> Watch<'_, F> {
    fn hand_over(&mut self) {
        self.checker.pulses(&self.batch);
        self.batch.clear();
        let made = self.made.get();
        if self.early.is_none() && made >= self.asked / 10 {
            self.early = Some(self.checker.so_far());
        }
        if self.memory.is_none() && made >= self.asked / 100 {
            // What a look at the checks takes counts from the start.
            self.checker.so_far();
            self.memory = Some(memory::peak());
        }
    }
}

impl<F: FnMut()> Sink for Watch<'_, F> {
    fn piece(&mut self, piece: &Piece) {
        self.hand_over();
        self.checker.piece(piece);
    }

    fn slice(&mut self, _: &Slice) {}

    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }

    fn pulse(&mut self, tick: u64, steps: [i8; AXES]) -> Result<(), SinkError> {
        let mut made = 0;
        for (net, step) in self.net.iter_mut().zip(steps) {
            *net += i64::from(step);
            made += u64::from(step.unsigned_abs());
        }
        let before = self.made.get();
        self.made.set(before + made);
        if (before + made) / BATCH as u64 != before / BATCH as u64 {
            (self.told)();
        }
        self.last = tick;
        self.batch.push((tick, steps));
        if self.batch.len() == BATCH {
            self.hand_over();
        }
        Ok(())
    }
}

/// How often [`endure`] tells that it goes on.
pub fn times_told(pulses: u64) -> u64 {
    pulses / BATCH as u64
}

/// Where a pass begins: somewhere else each time, at places that no coordinate and no step hits.
fn shift(pass: u64) -> Point {
    // Low bits of a count, so that they stay within some millimetres of zero.
    let part = |by: u64, range: u64| (pass * by % range) as f64;
    [
        part(7_919, 10_007) * 0.001_234_5 - 6.0,
        part(104_729, 10_009) * 0.001_112_3 - 5.5,
        part(1_299, 1_013) * 0.000_777_7 - 0.4,
    ]
}
