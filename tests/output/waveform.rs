//! `pulses.vcd`: the text, the time scale, and the edges as a waveform viewer's reader sees them
//! (crate `wellen`; the file is written with another, `vcd`).

use super::CONTROLLER;
use spokeshave_sim::machine::Controller;
use spokeshave_sim::motion::AXES;
use spokeshave_sim::output::pulses_vcd::PulsesVcd;
use std::io::{self, Cursor};
use wellen::SignalValueRef;

/// Writes the pulses.
pub fn written(controller: &Controller, pulses: &[(u64, [i8; AXES])]) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut file = PulsesVcd::new(&mut bytes, controller)?;
    for (tick, steps) in pulses {
        file.write(*tick, *steps)?;
    }
    file.finish()?;
    Ok(bytes)
}

/// A waveform as it is read back.
pub struct Waves {
    wave: wellen::simple::Waveform,
}

impl Waves {
    pub fn read(bytes: Vec<u8>) -> Self {
        let wave = wellen::simple::read_from_reader(Cursor::new(bytes)).unwrap();
        Self { wave }
    }

    /// How many units of the file make a second: 10 to this power over the factor.
    pub fn per_second(&self) -> u64 {
        let scale = self.wave.hierarchy().timescale().unwrap();
        let exponent = scale.unit.to_exponent().unwrap();
        10_u64.pow(u32::from(exponent.unsigned_abs())) / u64::from(scale.factor)
    }

    /// The changes of a line, from its value at time 0 on.
    pub fn line(&mut self, name: &str) -> Vec<(u64, bool)> {
        let hierarchy = self.wave.hierarchy();
        let variable = hierarchy.lookup_var(&["controller"], name).unwrap();
        let signal = hierarchy[variable].signal_ref();
        self.wave.load_signals(&[signal]);
        let changes = self.wave.get_signal(signal).unwrap().iter_changes();
        let high = |value: SignalValueRef<'_>| match value {
            SignalValueRef::BitVec(bits) => match bits.get_bit(0).as_ascii() {
                '0' => false,
                '1' => true,
                other => panic!("{name} is {other}"),
            },
            other => panic!("{name} is {other:?}"),
        };
        changes
            .map(|(at, value)| (self.wave.time_table()[at as usize], high(value)))
            .collect()
    }
}

/// x steps forward, then back while y steps forward; then z back.
const SHORT: [(u64, [i8; AXES]); 3] = [(10, [1, 0, 0]), (20, [-1, 1, 0]), (22, [0, 0, -1])];

#[test]
fn the_file_as_it_is_written() {
    let text = String::from_utf8(written(&CONTROLLER, &SHORT).unwrap()).unwrap();
    // IEEE 1364: declarations, initial values, then times with the changes at each. Directions
    // change 5 µs before the step that needs it, x at 15 and z at 17; steps fall after 2 µs.
    let expected = "\
$version
    spokeshave
$end
$comment
    direction lines are high towards larger coordinates
$end
$timescale 1 us $end
$scope module controller $end
$var wire 1 ! x_step $end
$var wire 1 \" x_direction $end
$var wire 1 # y_step $end
$var wire 1 $ y_direction $end
$var wire 1 % z_step $end
$var wire 1 & z_direction $end
$upscope $end
$enddefinitions $end
#0
$dumpvars
0!
1\"
0#
1$
0%
1&
$end
#10
1!
#12
0!
#15
0\"
#17
0&
#20
1!
1#
#22
0!
0#
1%
#24
0%
";
    assert_eq!(text, expected);
}

#[test]
fn the_edges_as_a_viewer_reads_them() {
    let mut waves = Waves::read(written(&CONTROLLER, &SHORT).unwrap());
    assert_eq!(waves.per_second(), 1_000_000);
    let (low, high) = (false, true);
    assert_eq!(
        waves.line("x_step"),
        [(0, low), (10, high), (12, low), (20, high), (22, low)]
    );
    assert_eq!(waves.line("x_direction"), [(0, high), (15, low)]);
    assert_eq!(waves.line("y_step"), [(0, low), (20, high), (22, low)]);
    assert_eq!(waves.line("y_direction"), [(0, high)]);
    assert_eq!(waves.line("z_step"), [(0, low), (22, high), (24, low)]);
    assert_eq!(waves.line("z_direction"), [(0, high), (17, low)]);
}

#[test]
fn the_time_scale_is_the_coarsest_that_rounds_nothing() {
    for (timer_hz, width, setup, per_second) in [
        (1_000_000, 2e-6, 5e-6, 1_000_000),
        (10_000, 100e-6, 200e-6, 10_000),
        // 1.5 µs needs tenths of a microsecond.
        (1_000_000, 1.5e-6, 5e-6, 10_000_000),
        (1_000_000, 2e-6, 650e-9, 100_000_000),
        // A tick of 62.5 ns.
        (16_000_000, 2e-6, 5e-6, 10_000_000_000),
        (200_000_000, 2e-6, 5e-6, 1_000_000_000),
        // 1/84 MHz is no whole number of any decimal unit.
        (84_000_000, 2e-6, 5e-6, 1_000_000_000_000),
    ] {
        let controller = Controller {
            timer_hz,
            pulse_width_s: width,
            direction_setup_s: setup,
            ..CONTROLLER
        };
        let waves = Waves::read(written(&controller, &SHORT[..1]).unwrap());
        assert_eq!(waves.per_second(), per_second, "{controller:?}");
    }
}

#[test]
fn ticks_that_are_not_whole_do_not_drift() {
    let controller = Controller {
        timer_hz: 84_000_000,
        ..CONTROLLER
    };
    // After five days, one tick apart from a whole second: nearest picosecond to n/84 µs.
    let ticks = [84_000_000 * 432_000 + 1, 84_000_000 * 432_000 + 1001];
    let pulses = ticks.map(|tick| (tick, [1, 0, 0]));
    let mut waves = Waves::read(written(&controller, &pulses).unwrap());
    let rises: Vec<_> = waves
        .line("x_step")
        .into_iter()
        .filter(|(_, high)| *high)
        .collect();
    // 1/84 µs = 11 904.76 ps, 1001/84 µs = 11 916 666.67 ps.
    let days = 432_000_000_000_000_000;
    assert_eq!(rises, [(days + 11_905, true), (days + 11_916_667, true)]);
}

#[test]
fn a_first_step_back_sets_the_direction_at_the_start() {
    // No room for the whole set-up time before the first step: the line changes at once.
    let mut waves = Waves::read(written(&CONTROLLER, &[(3, [-1, 0, 0])]).unwrap());
    assert_eq!(waves.line("x_direction"), [(0, true), (0, false)]);
    assert_eq!(waves.line("x_step"), [(0, false), (3, true), (5, false)]);
}

#[test]
fn a_set_up_time_that_is_too_short_is_shown_as_it_is() {
    // 6 µs apart: the pulse takes 2, so the direction stands for 4 of the 5 it should.
    let pulses = [(10, [1, 0, 0]), (16, [-1, 0, 0])];
    let mut waves = Waves::read(written(&CONTROLLER, &pulses).unwrap());
    assert_eq!(waves.line("x_direction"), [(0, true), (12, false)]);
}

#[test]
fn what_no_waveform_can_show_is_refused() {
    let refused = |pulses: &[(u64, [i8; AXES])], why: &str| {
        let error = written(&CONTROLLER, pulses).unwrap_err();
        assert_eq!(error.kind(), io::ErrorKind::InvalidInput);
        assert!(error.to_string().contains(why), "{error}");
    };
    refused(&[(10, [1, 0, 0]), (9, [0, 1, 0])], "tick 9 after tick 10");
    refused(
        &[(10, [1, 0, 0]), (12, [1, 0, 0])],
        "x steps at tick 12, before its last",
    );
    refused(
        &[(10, [0, -1, 0]), (10, [0, 1, 0])],
        "y steps at tick 10, before its last",
    );
    refused(&[(10, [0, 0, 2])], "2 steps at tick 10");
    refused(&[(u64::MAX, [1, 0, 0])], "later than the file can tell");
}

#[test]
fn a_full_disk_is_an_error() {
    let mut file = PulsesVcd::new(super::FullDisk { room: 50 }, &CONTROLLER).unwrap();
    file.write(10, [1, 0, 0]).unwrap();
    assert_eq!(
        file.finish().unwrap_err().kind(),
        io::ErrorKind::StorageFull
    );
}
