//! Runs to draw, without the planner: moves from part programs or by formula, planned in a
//! simple way of their own (corner speeds by the inscribed circle, trapezoids, 20 ms slices).

use spokeshave::{Limit, LowPoint};
use spokeshave_sim::machine::{Axis, Controller, Machine};
use spokeshave_sim::motion::{MoveKind, Point};
use spokeshave_sim::recording::Recording;
use spokeshave_sim::trace::Slice;

/// Acceleration along every move, mm/s².
const ACCELERATION: f64 = 400.0;
/// Junction deviation, mm.
const DEVIATION: f64 = 0.02;
/// Speed of rapids, mm/s.
const RAPID: f64 = 120.0;
/// Longest slice, s.
const SLICE_S: f64 = 0.02;

/// A machine whose limits the synthetic runs respect.
pub fn machine(name: &str) -> Machine {
    let axis = |speed, acceleration| Axis {
        steps_per_mm: 80.0,
        speed_limit_mm_s: speed,
        acceleration_limit_mm_s2: acceleration,
        travel_mm: [0.0, 600.0],
        backlash_mm: 0.0,
    };
    Machine {
        name: name.to_owned(),
        junction_deviation_mm: DEVIATION,
        chord_tolerance_mm: 0.01,
        look_ahead: 32,
        controller: Controller {
            timer_hz: 1_000_000,
            pulse_width_s: 2e-6,
            pulse_period_s: 5e-6,
            direction_setup_s: 5e-6,
        },
        axes: [axis(133.0, 500.0), axis(133.0, 500.0), axis(20.0, 200.0)],
        work_zero_mm: [[0.0; 3]; 6],
    }
}

/// One move: line, kind, end, speed that is asked for, mm/s.
#[derive(Clone, Copy)]
pub struct Step {
    pub line: u32,
    pub kind: MoveKind,
    pub to: Point,
    pub feed: f64,
}

/// The moves of a part program of G0 and G1 words with absolute coordinates in mm.
pub fn moves(program: &str) -> Vec<Step> {
    let (mut kind, mut to, mut feed) = (MoveKind::Rapid, [0.0; 3], 10.0);
    let mut steps = Vec::new();
    for (index, text) in program
        .lines()
        .enumerate()
        .filter(|(_, text)| !text.starts_with('('))
    {
        let before = to;
        for word in text.split_whitespace() {
            let (letter, value) = word.split_at(1);
            match (letter, value.parse::<f64>().expect("a number")) {
                ("G", 0.0) => kind = MoveKind::Rapid,
                ("G", 1.0) => kind = MoveKind::Line,
                ("F", value) => feed = value / 60.0,
                ("X", value) => to[0] = value,
                ("Y", value) => to[1] = value,
                ("Z", value) => to[2] = value,
                _ => {}
            }
        }
        if to != before {
            let feed = if kind == MoveKind::Rapid { RAPID } else { feed };
            steps.push(Step {
                line: index as u32 + 1,
                kind,
                to,
                feed,
            });
        }
    }
    steps
}

/// A shape with straights, sharp and blunt corners, a curve of short chords and a rapid.
pub fn plate() -> Vec<Step> {
    let mut steps = Vec::new();
    let mut add = |kind, x, y, z, feed| {
        let line = steps.len() as u32 + 4;
        steps.push(Step {
            line,
            kind,
            to: [x, y, z],
            feed,
        });
    };
    add(MoveKind::Rapid, 20.0, 20.0, 5.0, RAPID);
    add(MoveKind::Line, 20.0, 20.0, -1.0, 5.0);
    add(MoveKind::Line, 140.0, 20.0, -1.0, 60.0);
    for chord in 1..=60 {
        let turn = std::f64::consts::FRAC_PI_2 * f64::from(chord) / 60.0;
        add(
            MoveKind::Line,
            140.0 + 6.0 * turn.sin(),
            26.0 - 6.0 * turn.cos(),
            -1.0,
            60.0,
        );
    }
    add(MoveKind::Line, 146.0, 90.0, -1.0, 60.0);
    add(MoveKind::Line, 80.0, 70.0, -1.0, 60.0);
    add(MoveKind::Line, 20.0, 90.0, -1.0, 30.0);
    add(MoveKind::Line, 20.0, 20.0, -1.0, 60.0);
    add(MoveKind::Rapid, 20.0, 20.0, 5.0, 15.0);
    add(MoveKind::Rapid, 0.0, 0.0, 5.0, RAPID);
    steps
}

/// Plans `steps` from rest at the origin to rest and tells every slice to `tell`.
pub fn run(steps: &[Step], tell: &mut impl FnMut(&Slice)) {
    let starts: Vec<Point> = std::iter::once([0.0; 3])
        .chain(steps.iter().map(|step| step.to))
        .collect();
    let lengths: Vec<f64> = steps
        .iter()
        .zip(&starts)
        .map(|(step, from)| distance(from, &step.to))
        .collect();
    let direction = |k: usize| -> Point {
        std::array::from_fn(|i| (steps[k].to[i] - starts[k][i]) / lengths[k])
    };
    // Speeds at the junctions, and what lowers them.
    let mut nodes = vec![(0.0, LowPoint::Stop)];
    for k in 1..steps.len() {
        let (u, v) = (direction(k - 1), direction(k));
        let half = distance(&u, &v) / 2.0;
        let cosine = (1.0 - half * half).max(0.0).sqrt();
        let corner = (ACCELERATION * DEVIATION * cosine * (1.0 + cosine)).sqrt() / half;
        let feed = steps[k - 1].feed.min(steps[k].feed);
        nodes.push(if corner < feed {
            (corner, LowPoint::Corner)
        } else {
            (feed, LowPoint::Feed)
        });
    }
    nodes.push((0.0, LowPoint::Stop));
    for k in (0..steps.len()).rev() {
        let reach = (nodes[k + 1].0 * nodes[k + 1].0 + 2.0 * ACCELERATION * lengths[k]).sqrt();
        if reach < nodes[k].0 {
            nodes[k] = (reach, nodes[k + 1].1);
        }
    }
    for k in 0..steps.len() {
        let reach = (nodes[k].0 * nodes[k].0 + 2.0 * ACCELERATION * lengths[k]).sqrt();
        if reach < nodes[k + 1].0 {
            nodes[k + 1] = (reach, nodes[k].1);
        }
    }
    let mut now = 0.0;
    for (k, step) in steps.iter().enumerate() {
        let ((entry, before), (exit, after)) = (nodes[k], nodes[k + 1]);
        let square = (entry * entry + exit * exit) / 2.0 + ACCELERATION * lengths[k];
        let peak = square.sqrt().min(step.feed);
        let ramps = [
            (entry, peak, before),
            (peak, peak, before),
            (peak, exit, after),
        ];
        let ramp_length = |a: f64, b: f64| (a * a - b * b).abs() / (2.0 * ACCELERATION);
        let cruise = lengths[k] - ramp_length(entry, peak) - ramp_length(peak, exit);
        let mut done = 0.0;
        for (index, (from, to, low_point)) in ramps.into_iter().enumerate() {
            let length = if index == 1 {
                cruise.max(0.0)
            } else {
                ramp_length(from, to)
            };
            if length < 1e-9 {
                continue;
            }
            let time = 2.0 * length / (from + to);
            let count = (time / SLICE_S).ceil();
            let mut part = 0.0;
            while part < count {
                let at = |share: f64| from + (to - from) * share;
                let (a, b) = (at(part / count), at((part + 1.0) / count));
                let piece = (a + b) / 2.0 * time / count;
                let along = |s: f64| -> Point {
                    std::array::from_fn(|i| starts[k][i] + direction(k)[i] * s)
                };
                let steady = if step.kind == MoveKind::Rapid {
                    Limit::AxisSpeed(0)
                } else {
                    Limit::Feed
                };
                tell(&Slice {
                    line: step.line,
                    kind: Some(step.kind),
                    start_s: now,
                    duration_s: time / count,
                    from: along(done),
                    to: along(done + piece),
                    direction: direction(k),
                    length_mm: piece,
                    entry_mm_s: a,
                    exit_mm_s: b,
                    asked_mm_s: step.feed,
                    cap_mm_s: step.feed,
                    in_cycle: false,
                    stop: None,
                    spindle_rpm: None,
                    limit: if index == 1 {
                        steady
                    } else {
                        Limit::AxisAcceleration(0)
                    },
                    low_point,
                    pace: 1.0,
                    overridden: None,
                });
                done += piece;
                now += time / count;
                part += 1.0;
            }
        }
    }
}

/// A recording of `steps`.
pub fn recording(steps: &[Step]) -> Recording {
    let mut recording = Recording::new(&machine("belt bench router"));
    run(steps, &mut |slice| recording.slice(slice));
    recording
}

fn distance(a: &Point, b: &Point) -> f64 {
    a.iter()
        .zip(b)
        .map(|(a, b)| (a - b) * (a - b))
        .sum::<f64>()
        .sqrt()
}
