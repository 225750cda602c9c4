//! One move through the look-ahead, beside its floor and beside the textbook re-plan.

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use spokeshave::{Coordinate, Planner, Point};
use spokeshave_benches::{belt_router, floor, textbook, wave};
use std::hint::black_box;

/// Pushes the whole path and takes its ramps; moves of this length have one ramp each at speed.
fn plan<const Q: usize>(planner: &mut Planner<3, Q>, path: &[Point<3>]) -> u64 {
    let mut ticks = 0;
    let mut take = |planner: &mut Planner<3, Q>| {
        if let Some(ramp) = planner.next_ramp() {
            ticks += ramp.duration;
        }
    };
    for (tag, to) in (0..).zip(path) {
        while planner.is_full() {
            take(planner);
        }
        planner.line(*to, Some(80.0), tag).expect("a good move");
    }
    ticks
}

fn with_queue<const Q: usize>(path: &[Point<3>]) -> u64 {
    let mut planner: Planner<3, Q> = Planner::new(belt_router(), [Coordinate::ZERO; 3]);
    plan(&mut planner, path)
}

fn lookahead(c: &mut Criterion) {
    let machine = belt_router();
    let start = [Coordinate::ZERO; 3];
    let path = wave(20_000, 0.1);
    let mut group = c.benchmark_group("move");
    group.throughput(Throughput::Elements(path.len() as u64));
    group.bench_function("floor", |b| {
        b.iter(|| floor::moves(&machine, start, black_box(&path)));
    });
    group.bench_function("queue of 32", |b| {
        b.iter(|| with_queue::<32>(black_box(&path)))
    });
    group.bench_function("queue of 1024", |b| {
        b.iter(|| with_queue::<1024>(black_box(&path)));
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
