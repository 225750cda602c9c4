//! The least margin is that of all moments: sampled finely from ramps, and worked out from pulses alone.

use crate::bench::{FALLING, machine, needed_nm, text};
use crate::workshop::top;
use spokeshave_sim::check::Piece;
use spokeshave_sim::machine_file::{self, WithParts};
use spokeshave_sim::motion::{AXES, AXIS_NAMES, MoveKind};
use spokeshave_sim::motor::Estimate;
use spokeshave_sim::program::{Reader, Settings};
use spokeshave_sim::run::{Sink, SinkError, plan, run};
use spokeshave_sim::stall::StallWatch;
use spokeshave_sim::trace::{MoveRecord, Slice};

/// The least margin of each axis over moments 0.1 ms apart.
struct Sampled<'a> {
    file: &'a WithParts,
    watch: StallWatch,
    least: [f64; AXES],
    moments: u64,
}

const STEP_S: f64 = 1e-4;

impl Sink for Sampled<'_> {
    fn piece(&mut self, _: &Piece) {}
    fn slice(&mut self, slice: &Slice) {
        self.watch.slice(slice);
        let cuts = matches!(slice.kind, Some(MoveKind::Line | MoveKind::Arc));
        let mut time_s = 0.0;
        while time_s < slice.duration_s {
            let part = time_s / slice.duration_s;
            let speed = slice.entry_mm_s + part * (slice.exit_mm_s - slice.entry_mm_s);
            self.moments += 1;
            for axis in 0..AXES {
                let driven = self.file.driven(axis).unwrap();
                let along = slice.direction[axis];
                let (v, a) = (along * speed, along * slice.acceleration_mm_s2());
                let available = driven.torque_available(driven.motor_rpm(v));
                for cutting in [false, cuts] {
                    let margin = available / driven.torque_needed(v, a, cutting);
                    self.least[axis] = self.least[axis].min(margin);
                }
            }
            time_s += STEP_S;
        }
    }
    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }
    fn pulse(&mut self, _: u64, _: [i8; AXES]) -> Result<(), SinkError> {
        Ok(())
    }
}

#[test]
fn no_moment_has_less_than_what_is_found() {
    for router in ["belt-router", "screw-router"] {
        for program in ["tests/programs/lettering.nc", "docs/demo/leaf.nc"] {
            let path = top().join(format!("docs/demo/{router}.toml"));
            let file = machine_file::open_with_parts(&path).unwrap();
            let settings = Settings::for_machine(&file.machine);
            let text = std::fs::read(top().join(program)).unwrap();
            let reader = Reader::new("part.nc", text.as_slice(), settings.clone());
            let mut sampled = Sampled {
                file: &file,
                watch: StallWatch::new(&file).unwrap(),
                least: [f64::INFINITY; AXES],
                moments: 0,
            };
            plan(&file.machine, settings.start, reader, &mut sampled).unwrap();
            assert!(sampled.moments > 100_000, "{}", sampled.moments);
            let stall = sampled.watch.finish();
            for (axis, sampled) in sampled.least.into_iter().enumerate() {
                let found = stall.of(AXIS_NAMES[axis]).unwrap();
                // Moments that differ by a millionth count as equal.
                assert!(
                    found.margin <= sampled * (1.0 + 2e-6),
                    "{router}, {program}: {sampled}, {found:?}"
                );
                // And what is found is a moment of the job, or of a bend: the speed changes by 0.08 mm/s
                // in 0.1 ms, and no curve here falls by a hundredth in that.
                assert!(
                    found.in_bend || sampled <= found.margin * 1.01,
                    "{router}, {program}: {sampled}, {found:?}"
                );
            }
        }
    }
}

/// Times of the steps of y, s, forward or back.
struct StepsOfY(Vec<(f64, i8)>);

impl Sink for StepsOfY {
    fn piece(&mut self, _: &Piece) {}
    fn slice(&mut self, _: &Slice) {}
    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }
    fn pulse(&mut self, tick: u64, steps: [i8; AXES]) -> Result<(), SinkError> {
        if steps[1] != 0 {
            self.0.push((tick as f64 * 1e-6, steps[1]));
        }
        Ok(())
    }
}

/// From pulses alone, by second differences over twice 20 steps: 0.25 mm each, 2.5 ms at 100 mm/s. A tick
/// of 1 µs is 4e-4 of that, so a speed is right to 0.04 mm/s and an acceleration to 0.08 mm/s in 2.5 ms,
/// 32 mm/s², which is 6 % of the tenth of the torque that accelerates. The last pair of windows within the
/// ramp ends at most 20 steps before its end: it lies 2 · 1.25 mm/s below 100 at most, where there are
/// 0.0045 N·m more for each mm/s, 9 % of 0.12 N·m.
#[test]
fn pulses_alone_say_the_same() {
    let program = "G21 G90\nG0 X60\nG1 Y5 F3600\nG0 X0\nG1 Y0\nG0 Y80\nG0 X60\nG1 Y75\nM2\n";
    let file = machine(&text(2, 1, FALLING));
    let settings = Settings::for_machine(&file.machine);
    let reader = Reader::new("part.nc", program.as_bytes(), settings.clone());
    let mut steps = StepsOfY(Vec::new());
    run(&file.machine, settings.start, reader, &mut steps).unwrap();
    // Of its data sheet: 0.3 N·m up to 90 rpm, 0.03 at 180, straight between; 40 mm a turn.
    let available = |speed: f64| {
        let rpm = speed / 40.0 * 60.0;
        0.3 - 0.27 * ((rpm - 90.0) / 90.0).max(0.0)
    };
    const W: usize = 20;
    let mut least = f64::INFINITY;
    for window in steps.0.windows(2 * W + 1) {
        if window.iter().any(|(_, way)| *way != window[0].1) {
            continue;
        }
        let [a, b, c] = [0, W, 2 * W].map(|at| window[at].0);
        let mm = W as f64 / 80.0;
        let (first, second) = (mm / (b - a), mm / (c - b));
        // A mean speed at constant acceleration is that of the middle of its time.
        let acceleration = (second - first) / (0.5 * (c - a));
        let speed = 2.0 * mm / (c - a);
        least = least.min(available(speed) / needed_nm(2.0, acceleration));
    }
    let found = crate::bench::stall(&file, program);
    let found = found.of('y').unwrap().margin;
    assert!(
        0.99 * found < least && least < 1.1 * found,
        "{least} {found}"
    );
}

/// What the search for the worst moment of a ramp rests on where there is no curve: over ratings of all
/// sizes, with supplies that cannot even drive the rated current at rest, and speeds to 20 000 rpm.
#[test]
fn an_estimate_never_rises_with_the_speed() {
    for holding_torque_nm in [0.05, 1.26, 8.0] {
        for (inductance_h, resistance_ohm) in [(3e-5, 0.05), (2.5e-3, 0.9), (2e-2, 60.0)] {
            for supply_v in [1.0, 12.0, 36.0, 300.0] {
                let motor = Estimate {
                    holding_torque_nm,
                    rated_current_a: 2.8,
                    inductance_h,
                    resistance_ohm,
                    supply_v,
                    full_steps: 200,
                };
                let mut last = f64::INFINITY;
                for rpm in (0..20_000).step_by(7) {
                    let now = motor.at(rpm.into());
                    // Where circles cross, a difference of squares keeps some 12 digits of the largest.
                    assert!(
                        now <= last + 1e-9 * holding_torque_nm,
                        "{motor:?} at {rpm}: {last}, {now}"
                    );
                    last = now;
                }
            }
        }
    }
}
