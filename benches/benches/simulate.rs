//! The whole `simulate` with its checks and without files, beside its floor: the same program
//! through planner and pulses alone.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use spokeshave_sim::check::Piece;
use spokeshave_sim::cli::{Job, Reading, Simulate};
use spokeshave_sim::motion::{AXES, Item};
use spokeshave_sim::run::{Sink, SinkError, run};
use spokeshave_sim::trace::{MoveRecord, Slice};
use spokeshave_sim::{machine_file, program, simulate::simulate};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Counts pulses and drops the rest.
struct Count(u64);

impl Sink for Count {
    fn piece(&mut self, _: &Piece) {}
    fn slice(&mut self, _: &Slice) {}
    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }
    fn pulse(&mut self, _: u64, steps: [i8; AXES]) -> Result<(), SinkError> {
        self.0 += steps.iter().filter(|step| **step != 0).count() as u64;
        Ok(())
    }
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// A wavy line of 0.02 mm moves: many moves, hardly more than one step each.
fn short_moves(folder: &Path) -> PathBuf {
    let mut text = String::from("G21 G90 G94\nG1 Z0 F3000\n");
    for i in 0..200_000 {
        let t = f64::from(i) * 0.02;
        let (x, y) = (t % 300.0, 100.0 + 8.0 * (t / 9.0).sin());
        let x = if t % 600.0 < 300.0 { x } else { 300.0 - x };
        writeln!(text, "X{x:.4} Y{y:.4}").expect("memory takes text");
    }
    let path = folder.join("short.nc");
    std::fs::write(&path, text).expect("a temporary file");
    path
}

fn bench(c: &mut Criterion, name: &str, path: PathBuf, per_move: bool) {
    let machine_path = root().join("docs/demo/belt-router.toml");
    let machine = machine_file::open(&machine_path).expect("the demo machine");
    let settings = program::Settings::for_machine(&machine);
    let items: Vec<Item> = program::open(&path, settings.clone())
        .and_then(Iterator::collect)
        .expect("a good program");
    let through = |items: &[Item]| {
        let mut count = Count(0);
        let items = items.iter().cloned().map(Ok);
        let totals = run(&machine, settings.start, items, &mut count).expect("a good run");
        (count.0, totals.moves)
    };
    let (pulses, moves) = through(&items);
    let arguments = Simulate {
        job: Job {
            program: path,
            machine: machine_path,
            reading: Reading::default(),
        },
        events: None,
        out: None,
        pulses: None,
        png: false,
        json: false,
    };
    let mut group = c.benchmark_group(format!("simulate, {name}"));
    group.sample_size(20);
    group.throughput(Throughput::Elements(if per_move { moves } else { pulses }));
    group.bench_function("floor: planner and pulses alone", |b| {
        b.iter(|| through(&items))
    });
    group.bench_function("read, plan, pulse, check", |b| {
        b.iter(|| simulate(&arguments).expect("a good run").pass());
    });
    group.finish();
}

fn benches_of_programs(c: &mut Criterion) {
    let programs = root().join("tests/programs");
    bench(
        c,
        "coastline.nc, a pulse",
        programs.join("coastline.nc"),
        false,
    );
    bench(c, "relief.nc, a pulse", programs.join("relief.nc"), false);
    let folder = std::env::temp_dir().join(format!("spokeshave-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a temporary folder");
    bench(c, "0.02 mm moves, a move", short_moves(&folder), true);
    let _ = std::fs::remove_dir_all(&folder);
}

criterion_group!(benches, benches_of_programs);
criterion_main!(benches);
