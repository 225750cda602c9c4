//! One move through the look-ahead, beside its floor and beside the textbook re-plan.

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use spokeshave::{Coordinate, LookAhead, Machine, Planner, Point};
use spokeshave_benches::{belt_router, floor, textbook, wave};
use std::hint::black_box;

/// Sends the whole path through the look-ahead and takes every junction's speed out.
fn plan<const Q: usize>(machine: &Machine<3>, path: &[Point<3>], bends: bool) -> f32 {
    let mut moves: LookAhead<3, Q> = LookAhead::new(machine, [Coordinate::ZERO; 3]);
    if !bends {
        moves.leave_out_bends();
    }
    let mut sum = 0.0;
    for to in path {
        if moves.is_full() {
            sum += moves.take().map_or(0.0, |planned| planned.exit_v2);
        }
        moves.line(*to, None, 0).expect("a good move");
    }
    sum
}

/// The same, cut into ramps.
fn ramps<const Q: usize>(machine: &Machine<3>, path: &[Point<3>]) -> u64 {
    let mut planner: Planner<3, Q> = Planner::new(*machine, [Coordinate::ZERO; 3]);
    let mut ticks = 0;
    for to in path {
        while planner.is_full() {
            ticks += planner.next_ramp().map_or(0, |ramp| ramp.duration);
        }
        planner.line(*to, None, 0).expect("a good move");
    }
    ticks
}

/// The floor, where no move begins before the one before it is done, as in a planner whose speeds hang on each
/// other: a processor works on several moves of the bare floor at a time.
fn one_by_one(machine: &Machine<3>, path: &[Point<3>]) -> f32 {
    let mut floor = floor::Moves::new([Coordinate::ZERO; 3]);
    let mut sum = 0.0_f32;
    for to in path {
        // The sum is never below 0: this adds nothing, but nobody knows before it is there.
        let nothing = black_box((sum.to_bits() >> 31) as i32);
        let to = to.map(|at| Coordinate::from_counts(at.counts() + nothing));
        sum += floor.next(machine, to, f32::sqrt);
    }
    sum
}

fn lookahead(c: &mut Criterion) {
    let machine = belt_router();
    let start = [Coordinate::ZERO; 3];
    let path = wave(20_000, 0.1);
    let mut group = c.benchmark_group("move");
    group.throughput(Throughput::Elements(path.len() as u64));
    group.bench_function("floor", |b| {
        b.iter(|| {
            let mut floor = floor::Moves::new(start);
            let path = black_box(&path).iter();
            path.map(|to| floor.next(&machine, *to, f32::sqrt))
                .sum::<f32>()
        });
    });
    group.bench_function("floor, each move after the one before", |b| {
        b.iter(|| one_by_one(&machine, black_box(&path)));
    });
    let fine = wave(20_000, 0.02);
    for (law, bends) in [("", true), (", corners alone", false)] {
        group.bench_function(format!("queue of 32{law}"), |b| {
            b.iter(|| plan::<32>(&machine, black_box(&path), bends));
        });
        group.bench_function(format!("queue of 1024{law}"), |b| {
            b.iter(|| plan::<1024>(&machine, black_box(&path), bends));
        });
        group.bench_function(format!("queue of 1024, 0.02 mm{law}"), |b| {
            b.iter(|| plan::<1024>(&machine, black_box(&fine), bends));
        });
    }
    group.bench_function("queue of 32, with its ramps", |b| {
        b.iter(|| ramps::<32>(&machine, black_box(&path)));
    });
    for capacity in [32, 1024] {
        let few = &path[..path.len() / (capacity / 32)];
        group.throughput(Throughput::Elements(few.len() as u64));
        group.bench_with_input(
            BenchmarkId::new("textbook re-plan", capacity),
            &capacity,
            |b, n| {
                b.iter(|| textbook::plan(&machine, start, black_box(few), *n));
            },
        );
    }
    group.finish();
}

criterion_group!(benches, lookahead);
criterion_main!(benches);
