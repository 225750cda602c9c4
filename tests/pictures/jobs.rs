//! Jobs to draw.

use crate::synthetic::{Step, machine, moves, plate, recording};
use spokeshave::{Limit, LowPoint};
use spokeshave_sim::motion::MoveKind;
use spokeshave_sim::plots::Labels;
use spokeshave_sim::recording::{MAX_STRETCHES, Recording};
use spokeshave_sim::trace::Slice;
use std::sync::OnceLock;

/// Titles for a drawing of `program`.
pub fn labels(program: &str) -> Labels {
    Labels {
        program: program.to_owned(),
        machine: "belt bench router".to_owned(),
    }
}

/// The jobs that are drawn: a part, the three programs from open data, the fullest recording that can be,
/// nothing at all, one move.
pub fn jobs() -> &'static [(&'static str, Recording)] {
    static JOBS: OnceLock<Vec<(&str, Recording)>> = OnceLock::new();
    JOBS.get_or_init(|| {
        let drilled = Step {
            line: 1,
            kind: MoveKind::Line,
            to: [0.0, 0.0, -9.0],
            feed: 5.0,
        };
        let part = |text| recording(&moves(text));
        vec![
            ("plate.nc", recording(&plate())),
            (
                "lettering.nc",
                part(include_str!("../programs/lettering.nc")),
            ),
            (
                "coastline.nc",
                part(include_str!("../programs/coastline.nc")),
            ),
            ("relief.nc", part(include_str!("../programs/relief.nc"))),
            ("worst.nc", worst()),
            ("nothing.nc", recording(&[])),
            ("one hole.nc", recording(&[drilled])),
        ]
    })
}

/// As many stretches as can be, each of another speed than its neighbours and none in line.
fn worst() -> Recording {
    let mut recording = Recording::new(&machine("belt bench router"));
    let mut at = [0.0; 3];
    // A linear congruential generator with the constants of Knuth's MMIX (from memory).
    let mut state: u64 = 1;
    let mut random = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 40) as f64 / f64::from(1 << 24)
    };
    for index in 0..MAX_STRETCHES as u32 {
        let to = [600.0 * random(), 400.0 * random(), 0.0];
        let speed = 1.0 + 99.0 * random();
        recording.slice(&Slice {
            line: index + 1,
            kind: Some(MoveKind::Line),
            start_s: f64::from(index) * 0.05,
            duration_s: 0.05,
            from: at,
            to,
            direction: std::array::from_fn(|i| {
                (to[i] - at[i]) / (to[0] - at[0]).hypot(to[1] - at[1])
            }),
            length_mm: (to[0] - at[0]).hypot(to[1] - at[1]),
            entry_mm_s: speed,
            exit_mm_s: speed,
            asked_mm_s: 100.0,
            cap_mm_s: 100.0,
            in_cycle: false,
            stop: None,
            spindle_rpm: None,
            limit: if index % 2 == 0 {
                Limit::Feed
            } else {
                Limit::AxisAcceleration(0)
            },
            low_point: LowPoint::Corner,
            pace: 1.0,
            overridden: None,
        });
        at = to;
    }
    recording
}
