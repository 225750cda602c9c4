//! One pulse, beside its floor.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use spokeshave::{Coordinate, Event, Planner, PulseGenerator, Ramp, TrainMaker};
use spokeshave_benches::merged::Merged;
use spokeshave_benches::{belt_router, floor, wave};
use std::hint::black_box;

/// The ramps of a job, planned beforehand: only the pulses are measured.
fn ramps(moves: usize, step: f64) -> Vec<Ramp<3>> {
    let mut planner: Planner<3, 64> = Planner::new(belt_router(), [Coordinate::ZERO; 3]);
    let mut ramps = Vec::new();
    for (tag, to) in (0..).zip(wave(moves, step)) {
        while planner.is_full() {
            ramps.extend(planner.next_ramp());
        }
        planner.line(to, Some(80.0), tag).expect("a good move");
    }
    ramps.extend(std::iter::from_fn(|| planner.next_ramp()));
    ramps
}

fn generate(ramps: &[Ramp<3>]) -> u64 {
    let mut pulses = PulseGenerator::new(&belt_router(), [Coordinate::ZERO; 3]);
    let mut ramps = ramps.iter().copied();
    let mut trains = TrainMaker::new(&belt_router(), [Coordinate::ZERO; 3]);
    let mut source = || trains.next_train(&mut || ramps.next());
    let mut steps = 0;
    loop {
        match pulses.next_event(&mut source) {
            Event::Pulse(pulse) => steps += u64::from(pulse.steps.count_ones()),
            Event::Wait(_) => {}
            Event::Idle => return steps,
        }
    }
}

fn pulses(c: &mut Criterion) {
    let mut group = c.benchmark_group("pulse");
    for (name, moves, step) in [
        ("short moves, 0.5 mm", 4_000, 0.5),
        ("long moves, 20 mm", 100, 20.0),
    ] {
        let ramps = ramps(moves, step);
        let steps = generate(&ramps);
        group.throughput(Throughput::Elements(steps));
        group.bench_function(format!("floor, {name}"), |b| {
            let steps = u32::try_from(steps).expect("few steps");
            b.iter(|| {
                let ramp =
                    floor::Pulses::new(black_box(steps), black_box(3.0), black_box(80.0), 1e4);
                (0..steps).map(|i| ramp.time(i, f32::sqrt)).sum::<f32>()
            });
        });
        group.bench_function(format!("floor, in the order of time, {name}"), |b| {
            // Two axes that interleave as those of a curve do.
            let steps = u32::try_from(steps).expect("few steps");
            let counts = [steps * 5 / 8, steps * 3 / 8, 0];
            b.iter(|| {
                let merged = Merged::new(black_box(counts), black_box(3.0), black_box(80.0), 1e4);
                merged.take(steps as usize).sum::<f32>()
            });
        });
        group.bench_function(format!("generator, {name}"), |b| {
            b.iter(|| generate(black_box(&ramps)));
        });
    }
    group.finish();
}

criterion_group!(benches, pulses);
criterion_main!(benches);
