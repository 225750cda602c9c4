//! The run itself, with a listener that keeps everything: order, pieces, stops, short queues.

use crate::workshop::MACHINE;
use spokeshave_sim::check::Piece;
use spokeshave_sim::machine::Machine;
use spokeshave_sim::machine_file;
use spokeshave_sim::motion::AXES;
use spokeshave_sim::program::{Reader, Settings};
use spokeshave_sim::run::{RunError, Sink, SinkError, Totals, run};
use spokeshave_sim::trace::{MoveRecord, Slice};

/// What a run told, in order.
enum Told {
    Piece(Piece),
    Slice(Slice),
    Record(MoveRecord),
    Pulse([i8; AXES]),
}

#[derive(Default)]
struct Diary(Vec<Told>);

impl Sink for Diary {
    fn piece(&mut self, piece: &Piece) {
        self.0.push(Told::Piece(piece.clone()));
    }
    fn slice(&mut self, slice: &Slice) {
        self.0.push(Told::Slice(*slice));
    }
    fn record(&mut self, record: &MoveRecord) -> Result<(), SinkError> {
        self.0.push(Told::Record(*record));
        Ok(())
    }
    fn pulse(&mut self, _: u64, steps: [i8; AXES]) -> Result<(), SinkError> {
        self.0.push(Told::Pulse(steps));
        Ok(())
    }
}

impl Diary {
    fn pieces(&self) -> impl Iterator<Item = &Piece> {
        self.0.iter().filter_map(|told| match told {
            Told::Piece(piece) => Some(piece),
            _ => None,
        })
    }

    fn records(&self) -> impl Iterator<Item = &MoveRecord> {
        self.0.iter().filter_map(|told| match told {
            Told::Record(record) => Some(record),
            _ => None,
        })
    }

    fn slices(&self) -> impl Iterator<Item = &Slice> {
        self.0.iter().filter_map(|told| match told {
            Told::Slice(slice) => Some(slice),
            _ => None,
        })
    }
}

fn machine(look_ahead: usize) -> Machine {
    let text = MACHINE.replace("look_ahead = 32", &format!("look_ahead = {look_ahead}"));
    machine_file::read("machine.toml", &text).unwrap()
}

fn try_run(machine: &Machine, program: &str, sink: &mut impl Sink) -> Result<Totals, RunError> {
    let reader = Reader::new(
        "part.nc",
        program.as_bytes(),
        Settings::for_machine(machine),
    );
    run(machine, [0.0; AXES], reader, sink)
}

fn told(look_ahead: usize, program: &str) -> (Diary, Totals) {
    let mut diary = Diary::default();
    let totals = try_run(&machine(look_ahead), program, &mut diary).unwrap();
    (diary, totals)
}

const DEPTHS: [usize; 4] = [2, 3, 64, 1024];

/// Rests in a row, before any move, after the last; moves of no length between; exact stops.
const STOPS: &str = "\
G21 G90 F1200
G4 P0.1
G4 P0.2
G1 X5
X5
G4 P0.3
X5
G4 P0.4
X10
Y5
X10 Y5
G61.1
X15
X20
G64
Y0
X0
G4 P0.5
M2
";

#[test]
fn every_piece_comes_before_its_pulses_and_joins_the_last() {
    for depth in DEPTHS {
        let (diary, _) = told(depth, STOPS);
        let mut end = [0.0; AXES];
        let mut at = [0_i32; AXES];
        for told in &diary.0 {
            match told {
                Told::Piece(piece) => {
                    assert_eq!(piece.from, end);
                    end = piece.to;
                }
                // Never further than the pieces told so far: half a step and its hysteresis.
                Told::Pulse(steps) => {
                    for i in 0..AXES {
                        at[i] += i32::from(steps[i]);
                    }
                    let told = diary.pieces().any(|piece| {
                        (0..AXES).all(|i| {
                            let mm = f64::from(at[i]) / 80.0;
                            let [low, high] = [
                                piece.from[i].min(piece.to[i]),
                                piece.from[i].max(piece.to[i]),
                            ];
                            (low - 0.0071..=high + 0.0071).contains(&mm)
                        })
                    });
                    assert!(told, "look-ahead {depth}: {at:?}");
                }
                Told::Slice(_) | Told::Record(_) => {}
            }
        }
        // Pieces already told when a pulse comes, by count of records: a move's record follows the
        // piece, and no move is recorded whose piece is not told.
        let mut pieces = 0;
        let mut records = 0;
        for told in &diary.0 {
            match told {
                Told::Piece(_) => pieces += 1,
                Told::Record(_) => records += 1,
                Told::Slice(slice) => {
                    // The ramps of move n come after piece n.
                    assert!(
                        slice.kind.is_none() || pieces > records,
                        "look-ahead {depth}"
                    );
                }
                Told::Pulse(_) => assert!(pieces >= records, "look-ahead {depth}"),
            }
        }
        assert_eq!((pieces, records), (7, 7), "look-ahead {depth}");
    }
}

#[test]
fn pieces_know_their_stops_and_rests_whatever_the_queue() {
    for depth in DEPTHS {
        let (diary, totals) = told(depth, STOPS);
        let stops: Vec<(u32, bool, f64)> = diary
            .pieces()
            .map(|piece| (piece.line, piece.stop, piece.rest_s))
            .collect();
        let expected = [
            (4, true, 0.7), // The move on line 7 goes nowhere, so both rests are at this end.
            (9, false, 0.0),
            (10, false, 0.0),
            (13, true, 0.0),
            (14, true, 0.0),
            (16, false, 0.0),
            (17, true, 0.5),
        ];
        assert_eq!(stops.len(), expected.len());
        for (told, expected) in std::iter::zip(&stops, &expected) {
            assert_eq!(
                (told.0, told.1),
                (expected.0, expected.1),
                "look-ahead {depth}"
            );
            assert!(
                (told.2 - expected.2).abs() < 1e-12,
                "look-ahead {depth}: {told:?}"
            );
        }
        // Rests are kept in ticks of 1 µs, five of them, each to the nearest.
        assert!((totals.rest_s - 1.5).abs() <= 5e-6, "{}", totals.rest_s);
    }
}

#[test]
fn the_machine_is_at_rest_where_it_should_be() {
    for depth in DEPTHS {
        let (diary, _) = told(depth, STOPS);
        for record in diary.records() {
            let stops = [4, 13, 14, 17].contains(&record.line);
            assert_eq!(
                record.exit_mm_s == 0.0,
                stops,
                "look-ahead {depth}, line {}",
                record.line
            );
        }
        let mut last = 0.0;
        for slice in diary.slices() {
            assert_eq!(
                slice.entry_mm_s, last,
                "look-ahead {depth}, line {}",
                slice.line
            );
            last = slice.exit_mm_s;
        }
        assert_eq!(last, 0.0);
    }
}

#[test]
fn a_longer_queue_is_never_slower_and_steps_are_the_same() {
    // Of each axis, there and back.
    let steps = |diary: &Diary| {
        let mut counts = [[0_u32; 2]; AXES];
        for told in &diary.0 {
            if let Told::Pulse(steps) = told {
                for (count, step) in counts.iter_mut().zip(steps) {
                    count[0] += u32::from(*step > 0);
                    count[1] += u32::from(*step < 0);
                }
            }
        }
        counts
    };
    let (diary, shallow) = told(2, STOPS);
    let wanted = steps(&diary);
    assert!(wanted[0][0] > 0, "{wanted:?}");
    for depth in [3, 64, 1024] {
        let (diary, deep) = told(depth, STOPS);
        assert_eq!(steps(&diary), wanted);
        assert_eq!(deep.end_mm, shallow.end_mm);
        // Ends of ramps are rounded in single precision: far below a tick for each of the moves.
        assert!(deep.job_time_s <= shallow.job_time_s + 8e-6);
    }
}

#[test]
fn corners_of_records_are_those_of_the_junction_with_the_next_move() {
    // A right angle: v² = A·δ·c(1+c)/s² with s = sin 45°, c = cos 45° (the inscribed circle). The
    // normal lies at 45° to both axes, so A = 500·√2.
    let c = 0.5_f64.sqrt();
    let expected = (500.0 / c * 0.02 * c * (1.0 + c) / 0.5).sqrt();
    let (diary, _) = told(32, "G21 G90 F1200\nG1 X5\nY5\nX4 Y5\nG4 P1\nX3\n");
    let corners: Vec<Option<f64>> = diary.records().map(|record| record.corner_mm_s).collect();
    // Single precision: a few units in the last place.
    let close = |value: Option<f64>| (value.unwrap() / expected - 1.0).abs() < 1e-6;
    assert!(
        close(corners[0]) && close(corners[1]),
        "{corners:?} {expected}"
    );
    assert_eq!(corners[2..], [Some(0.0), Some(0.0)]);
}

/// A sink that is full after some rows.
struct Full(u32);

impl Sink for Full {
    fn piece(&mut self, _: &Piece) {}
    fn slice(&mut self, _: &Slice) {}
    fn record(&mut self, record: &MoveRecord) -> Result<(), SinkError> {
        if record.line > self.0 {
            return Err("full".into());
        }
        Ok(())
    }
    fn pulse(&mut self, _: u64, _: [i8; AXES]) -> Result<(), SinkError> {
        Ok(())
    }
}

#[test]
fn a_sink_that_cannot_write_ends_the_run() {
    let error = try_run(&machine(2), STOPS, &mut Full(9)).unwrap_err();
    assert!(
        matches!(&error, RunError::Sink(why) if why.to_string() == "full"),
        "{error}"
    );
}

#[test]
fn what_the_planner_refuses_names_its_line() {
    for (program, cause) in [
        ("G21\nG1 X1 F700000\n", "line 2: the feed"),
        ("G21\nG1 X1 F60\nG4 P100001\n", "line 3: the rest"),
    ] {
        let error = try_run(&machine(32), program, &mut Diary::default()).unwrap_err();
        assert!(error.to_string().starts_with(cause), "{error}");
        assert!(matches!(error, RunError::Line { remedy, .. } if !remedy.is_empty()));
    }
}
