//! Machines, shapes and measured runs for all checks of bends.

use spokeshave::{Axis, Machine};
use spokeshave_tests::exact::mm;
use spokeshave_tests::job::Job;
use spokeshave_tests::machines::CONTROLLER;
use spokeshave_tests::run;
use spokeshave_tests::shapes::{self, Path, Straights};
use spokeshave_tests::turning::{Course, Worst};

/// Programmed feed, mm/s.
pub const FEED: f32 = 100.0;

/// Junction deviation, mm.
pub const DEVIATION: f32 = 0.02;

/// Most acceleration of an axis as a multiple of its limit where chords are of [`SHORT`] and
/// less, and where they are coarser: what the design promises of the law.
pub const MOST: f64 = 1.10;
pub const MOST_COARSE: f64 = 1.4;

/// The same at a lone corner.
pub const LONE: f64 = 2.1;

/// Chords up to here, mm, are short: in v·T = √(8δr) there is room for four and more, down to a
/// radius of 4 mm. With fewer, corners show one by one: a window of T holds n + 1 where it holds n
/// on the mean.
pub const SHORT: f64 = 0.2;

/// A machine with these acceleration limits, mm/s².
pub fn machine<const N: usize>(accelerations: [f32; N], deviation: f32) -> Machine<N> {
    let axes = accelerations.map(|acceleration_limit| Axis {
        steps_per_mm: 400.0,
        speed_limit: 133.0,
        acceleration_limit,
    });
    Machine::new(axes, CONTROLLER, deviation).expect("a valid machine")
}

/// Two equal axes, as in the design's trial.
pub fn equal() -> Machine<2> {
    machine([500.0; 2], DEVIATION)
}

/// A shape of so many axes: its name, and the path for a chord length.
pub type Shape<const N: usize> = (&'static str, fn(f64) -> Path<N>);

/// The shapes in the plane.
pub fn plane<const N: usize>() -> [Shape<N>; 6] {
    [
        ("corner, cut", |c| {
            shapes::rounded_corner(5.0, c, Straights::Cut)
        }),
        ("corner, whole", |c| {
            shapes::rounded_corner(5.0, c, Straights::Whole)
        }),
        ("circle", |c| shapes::circle(5.0, c)),
        ("S", |c| shapes::s_bend(4.0, c)),
        ("spiral outwards", outwards),
        ("spiral inwards", |c| shapes::reversed(&outwards(c))),
    ]
}

fn outwards<const N: usize>(chord: f64) -> Path<N> {
    shapes::spiral([4.0, 10.0], 1.0, chord)
}

/// The job along a path, from its first point.
pub fn job<const N: usize>(machine: Machine<N>, path: &Path<N>) -> Job<N> {
    let mut job = Job::new(machine, mm(path[0]));
    for at in &path[1..] {
        job.line(mm(*at), Some(FEED), false);
    }
    job
}

/// What a run showed.
#[derive(Clone, Copy, Debug)]
pub struct Measured<const N: usize> {
    pub seconds: f64,
    pub worst: [Worst; N],
    pub moves: usize,
}

impl<const N: usize> Measured<N> {
    /// The worst acceleration of all axes, as a multiple of the limit.
    pub fn ratio(&self) -> f64 {
        self.worst.iter().fold(0.0, |most, w| w.ratio.max(most))
    }
}

/// A run through the planner with a queue of `Q` moves.
pub fn run<const N: usize, const Q: usize>(machine: Machine<N>, path: &Path<N>) -> Measured<N> {
    let job = job(machine, path);
    let ramps = run::ramps::<N, Q>(&job, Q);
    let course = Course::new(&machine, &ramps);
    Measured {
        seconds: course.seconds(),
        worst: course.worst(&machine),
        moves: job.moves.len(),
    }
}

/// A run with a queue so long that its end does not matter: 4096 chords of 0.01 mm are 41 mm,
/// four times the way from 100 mm/s to rest at 500 mm/s².
pub fn long<const N: usize>(machine: Machine<N>, path: &Path<N>) -> Measured<N> {
    run::<N, 4096>(machine, path)
}

/// Complaints of a whole table, so that one run shows all of them.
#[derive(Debug, Default)]
pub struct Complaints(Vec<String>);

impl Complaints {
    /// Adds one where `good` does not hold.
    pub fn unless(&mut self, good: bool, what: String) {
        if !good {
            self.0.push(what);
        }
    }

    /// Fails where there is any.
    pub fn settle(self) {
        assert!(self.0.is_empty(), "\n{}", self.0.join("\n"));
    }
}

/// Runs shapes over chord lengths, rounded and not, and checks the acceleration of each axis.
pub fn keeps_limits<const N: usize>(machine: Machine<N>, shapes: &[Shape<N>], chords: &[f64]) {
    let mut complaints = Complaints::default();
    for (name, shape) in shapes {
        for &chord in chords {
            let most = if chord <= SHORT { MOST } else { MOST_COARSE };
            let path = shape(chord);
            for (how, path) in [("exact", path.clone()), ("rounded", shapes::rounded(&path))] {
                let measured = long(machine, &path);
                let line = format!(
                    "{name:16} {chord:5} mm {how:8} {:6.3} of the limit",
                    measured.ratio()
                );
                println!("{line}");
                for (axis, worst) in measured.worst.iter().enumerate() {
                    complaints.unless(
                        worst.ratio <= most,
                        format!("{line}: axis {axis}, {worst:.3?}, at most {most}"),
                    );
                }
            }
        }
    }
    complaints.settle();
}
