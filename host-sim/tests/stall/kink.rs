//! A drive that its load cannot turn: between a load that is pushed and one that pushes lies the moment
//! at which the motor turns nothing but itself.

use crate::bench::{ARM_M, FLAT, close, machine, text};
use spokeshave_sim::check::Piece;
use spokeshave_sim::motion::AXES;
use spokeshave_sim::program::{Reader, Settings};
use spokeshave_sim::run::{Sink, SinkError, plan};
use spokeshave_sim::stall::StallWatch;
use spokeshave_sim::trace::{MoveRecord, Slice};

/// The least margin of y where it brakes.
struct Braking {
    watch: StallWatch,
    least: f64,
}

impl Sink for Braking {
    fn piece(&mut self, _: &Piece) {}
    fn slice(&mut self, slice: &Slice) {
        let [_, y, _] = self.watch.slice(slice);
        if slice.exit_mm_s < slice.entry_mm_s {
            self.least = self.least.min(y.unwrap());
        }
    }
    fn record(&mut self, _: &MoveRecord) -> Result<(), SinkError> {
        Ok(())
    }
    fn pulse(&mut self, _: u64, _: [i8; AXES]) -> Result<(), SinkError> {
        Ok(())
    }
}

/// 24 kg that brake at 500 mm/s² push with 12 N, of which the guides take 10: the load drives with 2 N, and
/// a cut of up to `cut_n` stands against it. At an efficiency of 40 % the load cannot turn the motor:
/// 2 − 1/0.4 = −0.5 of its work, so the motor must give half of it to let it pass. The rotor, of
/// 10 000 g·cm², gives 1e-3 · 0.5/0.006366 = 0.0785 N·m back as it brakes. What is left for the motor
/// to hold, in the size of the sum:
///
/// - without the cut 0.5 · 2 N · 6.366 mm − 0.0785 = −0.0722 N·m;
/// - with all of 4 N, 2 N · 6.366 mm/0.4 − 0.0785 = −0.0467 N·m;
/// - with the 2 N that leave no force on the drive, all of the 0.0785 N·m.
fn least_braking(cut_n: f64) -> f64 {
    let text = text(24, 1, FLAT)
        .replace("\"100 %\"", "\"40 %\"")
        .replace("100 g cm^2", "10000 g cm^2")
        .replace(
            "friction_force",
            &format!("cutting_force = \"{cut_n} N\"\nfriction_force"),
        );
    let file = machine(&text);
    let settings = Settings::for_machine(&file.machine);
    let program = "G21 G90\nG1 Y50 F3000\nM2\n";
    let reader = Reader::new("part.nc", program.as_bytes(), settings.clone());
    let mut braking = Braking {
        watch: StallWatch::new(&file).expect("y has a motor"),
        least: f64::INFINITY,
    };
    plan(&file.machine, settings.start, reader, &mut braking).unwrap();
    braking.least
}

/// What the rotor gives back, N·m.
const ROTOR_NM: f64 = 1e-3 * 0.5 / ARM_M;

/// A cut may be anything up to its force, so the worst of it lies within.
#[test]
fn the_worst_cut_is_the_one_that_leaves_no_force() {
    close(least_braking(4.0), 0.2 / ROTOR_NM);
}

/// A cut too small to stop the load leaves the drive pushed: the more of it, the less for the motor to let
/// pass, and the more of the rotor's torque to hold. With 1 N, 0.5 · 1 N · 6.366 mm − 0.0785.
#[test]
fn a_cut_that_the_load_overcomes_counts_in_full() {
    close(least_braking(1.0), 0.2 / (ROTOR_NM - 0.5 * ARM_M));
}
