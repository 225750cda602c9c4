//! Jobs that last for weeks are right to the tick.

use crate::workshop::MACHINE;
use spokeshave_sim::check::{Checker, Piece};
use spokeshave_sim::machine::Machine;
use spokeshave_sim::machine_file;
use spokeshave_sim::motion::AXES;
use spokeshave_sim::program::{Reader, Settings};
use spokeshave_sim::run::{Sink, SinkError, Totals, run};
use spokeshave_sim::trace::{MoveRecord, Slice};
use std::fmt::Write;

/// Hands all to the checker, and notes when the first pulse of each move comes.
struct Watch {
    checker: Checker,
    /// Moves begin after so many ticks without a pulse.
    rest: u64,
    last: u64,
    begins: Vec<u64>,
}

impl Sink for Watch {
    fn piece(&mut self, piece: &Piece) {
        self.checker.piece(piece);
    }
    fn slice(&mut self, _: &Slice) {}
    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }
    fn pulse(&mut self, tick: u64, steps: [i8; AXES]) -> Result<(), SinkError> {
        if self.begins.is_empty() || tick - self.last > self.rest {
            self.begins.push(tick);
        }
        self.last = tick;
        self.checker.pulse(tick, steps);
        Ok(())
    }
}

/// Runs `program` and returns the first pulse of each move, tick; no check failed.
pub fn watched(machine: &Machine, program: &str) -> (Vec<u64>, Totals) {
    let mut watch = Watch {
        checker: Checker::new(machine, [0.0; AXES]),
        rest: u64::from(machine.controller.timer_hz) / 2,
        last: 0,
        begins: Vec::new(),
    };
    let settings = Settings::for_machine(machine);
    let reader = Reader::new("part.nc", program.as_bytes(), settings);
    let totals = run(machine, [0.0; AXES], reader, &mut watch).unwrap();
    let report = watch.checker.finish();
    let failures: Vec<_> = report.failures().collect();
    assert!(failures.is_empty(), "{failures:#?}");
    (watch.begins, totals)
}

fn machine(timer: &str) -> Machine {
    let text = MACHINE.replace("1 MHz", timer);
    machine_file::read("machine.toml", &text).unwrap()
}

/// The same move to and fro, with rests between. How long the move takes shows where the rests are the
/// shortest; all else is whole numbers.
fn to_and_fro(machine: &Machine, rests: &[&str]) {
    let program = |rests: &[&str]| {
        let mut text = String::from("G21 G90\n");
        for (k, rest) in rests.iter().enumerate() {
            writeln!(text, "G0 X{}\nG4 P{rest}", [8, 0][k % 2]).unwrap();
        }
        text + "G0 X4\n"
    };
    let (begins, totals) = watched(machine, &program(rests));
    let (short, _) = watched(machine, &program(&vec!["1"; rests.len()]));
    assert_eq!(begins.len(), rests.len() + 1);
    let hz = f64::from(machine.controller.timer_hz);
    let mut later = 0;
    for (k, rest) in rests.iter().enumerate() {
        // Below 2⁵³ ticks all along.
        later += (rest.parse::<f64>().unwrap() * hz).round() as i64 - hz as i64;
        let found = begins[k + 1] as i64 - short[k + 1] as i64;
        assert_eq!(found, later, "rest {k}: {rest} s");
    }
    let rest: f64 = rests.iter().map(|rest| rest.parse::<f64>().unwrap()).sum();
    // Sums and products in double precision.
    assert!(
        (totals.rest_s / rest - 1.0).abs() < 1e-12,
        "{}",
        totals.rest_s
    );
}

/// 31 days at 1 MHz: 2.7e12 ticks.
#[test]
fn a_month_of_rests_is_right_to_the_tick() {
    let days: Vec<String> = (0..31)
        .map(|day| format!("{}.{day:02}7913", 86_400 - day))
        .collect();
    let days: Vec<&str> = days.iter().map(String::as_str).collect();
    to_and_fro(&machine("1 MHz"), &days);
}

/// At 200 MHz single precision has lost the ticks of a rest of 0.1 s.
#[test]
fn rests_on_the_fastest_timer_are_right_to_the_tick() {
    let rests = [
        "0.7",
        "1.234567895",
        "12.345",
        "59.99999",
        "600.000000005",
        "3600.1",
    ];
    to_and_fro(&machine("200 MHz"), &rests);
}
