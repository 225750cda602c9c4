//! The plan against the optimum of a linear program, on real jobs.
//!
//! Source: L. Consolini, M. Locatelli, A. Minari, A. Piazzi, *An optimal complexity algorithm for
//! minimum-time velocity planning*, Systems & Control Letters, 2017 (from memory): on b = v², the
//! caps and the acceleration limits are linear, and the plan that maximises the sum of b also
//! takes the least time. A general-purpose solver (Clarabel, an interior point method) finds it
//! without any of the planner's passes.
//!
//! Programs: a coastline (Natural Earth, public domain), lettering (Hershey fonts, US National
//! Bureau of Standards), a relief (USGS elevation model, public domain).

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettingsBuilder, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus,
};
use spokeshave::Machine;
use spokeshave_tests::exact::mm;
use spokeshave_tests::job::Job;
use spokeshave_tests::profile::{self, Stretch};
use spokeshave_tests::{audit, machines, run, words};

/// Holds every one of the programs.
const WHOLE: usize = 16_384;

const PROGRAMS: [(&str, &str); 3] = [
    ("lettering", include_str!("../programs/lettering.nc")),
    ("coastline", include_str!("../programs/coastline.nc")),
    ("relief", include_str!("../programs/relief.nc")),
];

fn job(machine: Machine<3>, program: &str) -> Job<3> {
    let mut job = Job::new(machine, mm([0.0; 3]));
    let mut stop = false;
    for line in words::read(program) {
        // A stop before a move that goes nowhere stays asked for.
        stop |= line.stop;
        let before = job.moves.len();
        job.line(mm(line.to), line.feed, stop);
        stop &= job.moves.len() == before;
    }
    job
}

/// A spiral of 20 to 60 mm in chords of 0.05 mm at 90 mm/s, as a finishing pass of a dish may be:
/// the braking distance is a hundred chords and more, so that a short queue is felt.
fn spiral(machine: Machine<3>) -> Job<3> {
    let mut job = Job::new(machine, mm([20.0, 0.0, 0.0]));
    let mut angle = 0.0_f64;
    for _ in 0..12_000 {
        let radius = 20.0 + angle;
        angle += 0.05 / radius;
        job.line(
            mm([radius * angle.cos(), radius * angle.sin(), 0.0]),
            Some(90.0),
            false,
        );
    }
    job
}

fn jobs(machine: Machine<3>) -> impl Iterator<Item = (&'static str, Job<3>)> {
    let programs = PROGRAMS.map(|(name, program)| (name, job(machine, program)));
    programs.into_iter().chain([("spiral", spiral(machine))])
}

/// v² at every junction: the largest sum under the caps and the accelerations.
fn optimum(stretches: &[Stretch]) -> Vec<f64> {
    // Only between the ends, where the plan rests.
    let n = stretches.len() - 1;
    let caps: Vec<f64> = stretches[1..].iter().map(|s| s.entry).collect();
    // In units of the largest cap, as a solver likes it.
    let unit = caps.iter().copied().fold(0.0, f64::max);
    let (mut rows, mut columns, mut values, mut bounds) = (vec![], vec![], vec![], vec![]);
    let mut at_most = |terms: &[(usize, f64)], bound: f64| {
        for &(column, value) in terms {
            rows.push(bounds.len());
            columns.push(column);
            values.push(value);
        }
        bounds.push(bound);
    };
    for (k, cap) in caps.iter().enumerate() {
        at_most(&[(k, 1.0)], cap / unit);
        at_most(&[(k, -1.0)], 0.0);
    }
    for (k, stretch) in stretches.iter().enumerate() {
        let change = stretch.change() / unit;
        // Junction k − 1 of the variables is where stretch k begins.
        let begin = (k > 0).then(|| k - 1);
        let end = (k < n).then_some(k);
        // The faster end pays for the bend: b·(1 + share) − b_other ≤ change.
        let faster = 1.0 + stretch.share();
        let of = |at_begin: f64, at_end: f64| {
            let begin = begin.map(|k| (k, at_begin));
            begin
                .into_iter()
                .chain(end.map(|k| (k, at_end)))
                .collect::<Vec<_>>()
        };
        at_most(&of(-1.0, faster), change);
        at_most(&of(faster, -1.0), change);
    }
    let constraints = CscMatrix::new_from_triplets(bounds.len(), n, rows, columns, values);
    let cones = [NonnegativeConeT(bounds.len())];
    let settings = DefaultSettingsBuilder::default()
        .verbose(false)
        .tol_gap_abs(1e-10)
        .tol_gap_rel(1e-10)
        .tol_feas(1e-10)
        .build()
        .unwrap();
    let mut solver = DefaultSolver::new(
        &CscMatrix::zeros((n, n)),
        &vec![-1.0; n],
        &constraints,
        &bounds,
        &cones,
        settings,
    )
    .unwrap();
    solver.solve();
    assert_eq!(solver.solution.status, SolverStatus::Solved);
    let mut b = vec![0.0];
    // What the interior point leaves below zero is nothing.
    b.extend(solver.solution.x.iter().map(|x| (x * unit).max(0.0)));
    b.push(0.0);
    b
}

/// A queue as large as the programs takes more room than a test's thread has.
fn with_room(check: impl FnOnce() + Send + 'static) {
    std::thread::Builder::new()
        .stack_size(64 << 20)
        .spawn(check)
        .unwrap()
        .join()
        .unwrap();
}

fn is_optimal(machine: Machine<3>) {
    for (name, job) in jobs(machine) {
        for (law, stretches, ramps) in [
            (
                "corners alone",
                job.stretches(),
                run::ramps_of_corners::<3, WHOLE>(&job, WHOLE),
            ),
            (
                "with bends",
                job.stretches_with_bends(),
                run::ramps::<3, WHOLE>(&job, WHOLE),
            ),
        ] {
            let exact = profile::time(&stretches, &optimum(&stretches));
            audit::ramps(&job, &ramps);
            let planned = audit::time(machine.controller().timer_hz, &ramps);
            // The same limits of speed, but all of the acceleration along the path everywhere.
            let mut alone = stretches.clone();
            alone.iter_mut().for_each(|s| s.bend = f64::INFINITY);
            let alone = profile::time(&alone, &profile::largest(&alone));
            println!(
                "{name}, {law}: {planned:.4} s, optimum {exact:.4} s; sharing costs {:.2} %",
                100.0 * (exact / alone - 1.0)
            );
            // Rounding moves v² by some 1e-6 of itself at a junction (see `audit`), corners with a
            // small turn and the solver's own tolerance by more; all of it stays within 1e-4.
            assert!(
                (planned / exact - 1.0).abs() <= 1e-4,
                "{name}, {law}: {planned} {exact}"
            );
        }
    }
}

#[test]
fn plans_for_belts_are_optimal() {
    with_room(|| is_optimal(machines::belts()));
}

#[test]
fn plans_for_screws_are_optimal() {
    with_room(|| is_optimal(machines::screws()));
}

fn time(job: &Job<3>, depth: usize) -> f64 {
    let ramps = run::ramps::<3, WHOLE>(job, depth);
    audit::time(job.machine.controller().timer_hz, &ramps)
}

/// A queue of less than the program costs time: what it sees ends at rest. By how much is what
/// the textbook plan of each window says, and less for a longer queue.
#[test]
fn a_shorter_queue_costs_what_the_textbook_says() {
    with_room(|| {
        for (machine_name, machine) in
            [("belts", machines::belts()), ("screws", machines::screws())]
        {
            let mut costs = Vec::new();
            for (name, job) in jobs(machine) {
                let stretches = job.stretches();
                let eased = time(&job, WHOLE);
                let entries: Vec<f64> = stretches.iter().map(|s| s.entry).collect();
                let changes: Vec<f64> = stretches.iter().map(Stretch::change).collect();
                let whole = profile::time(&stretches, &profile::largest(&stretches));
                let mut longer = f64::INFINITY;
                let mut report = format!("{machine_name}, {name}, {whole:.2} s, queue of");
                for depth in [8, 16, 32, 64, WHOLE] {
                    let ramps = run::ramps_of_corners::<3, WHOLE>(&job, depth);
                    let planned = audit::time(machine.controller().timer_hz, &ramps);
                    let b = profile::windowed(&entries, &changes, depth, |_| 0.0);
                    let exact = profile::time(&stretches, &b);
                    let cost = 100.0 * (planned / whole - 1.0).max(0.0);
                    report += &format!(" {depth}: +{cost:.2} %");
                    // As for the optimum.
                    assert!((planned / exact - 1.0).abs() <= 1e-4, "{planned} {exact}");
                    // A longer queue sees all that a shorter one does; the rest is rounding.
                    assert!(
                        planned <= longer * (1.0 + 1e-5),
                        "{depth}: {planned} {longer}"
                    );
                    longer = planned;
                    costs.push(cost);
                }
                println!("{report}");
                // With the law of bends the part of the queue that later moves can still change
                // is taken at its worst, so there is no textbook plan to equal: never faster. Where a
                // queue of 32 costs nothing by the corner rule, which is a matter of braking, one of 64
                // leaves 32 moves for bends, which are found within 12 chords: it costs nothing either.
                let mut longer = f64::INFINITY;
                let mut report = format!("  with bends, {eased:.2} s, queue of");
                for depth in [8, 16, 32, 64] {
                    let planned = time(&job, depth);
                    report += &format!(" {depth}: +{:.2} %", 100.0 * (planned / eased - 1.0));
                    assert!(
                        planned >= eased * (1.0 - 1e-4),
                        "{depth}: {planned} {eased}"
                    );
                    assert!(
                        planned <= longer * (1.0 + 1e-4),
                        "{depth}: {planned} {longer}"
                    );
                    longer = planned;
                }
                println!("{report}");
                if costs[costs.len() - 3] < 1e-3 {
                    assert!(longer <= eased * (1.0 + 1e-4), "{longer} {eased}");
                }
            }
            // The check would mean nothing if no queue were ever short.
            assert!(costs.iter().any(|&cost| cost > 5.0), "{costs:?}");
        }
    });
}
