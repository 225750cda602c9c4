//! A setting changed by name is the machine file with that value: taken and refused alike, in the
//! same words.

use crate::GOOD;
use spokeshave_sim::machine::Machine;
use spokeshave_sim::machine_file;
use spokeshave_sim::setting::{Changed, Setting};

fn good() -> Machine {
    machine_file::read("good.toml", GOOD).unwrap()
}

/// The file with the value of `setting` replaced by `text`.
fn file_with(setting: Setting, text: &str) -> String {
    let name = setting.name();
    let (table, key) = match name.rsplit_once('.') {
        Some((table, key)) => (format!("[{table}]"), key.to_owned()),
        None => (String::new(), name),
    };
    let start = GOOD.find(&table).unwrap();
    let line = start + GOOD[start..].find(&format!("\n{key}")).unwrap() + 1;
    let end = line + GOOD[line..].find('\n').unwrap();
    format!("{}{key} = {text}{}", &GOOD[..line], &GOOD[end..])
}

#[test]
fn a_value_is_taken_or_refused_as_in_the_file() {
    for axis in 0..3 {
        for (setting, values) in [
            (
                Setting::Acceleration(axis),
                [
                    "1 mm/s^2",
                    "0.99 mm/s^2",
                    "50 m/s^2",
                    "50.1 m/s^2",
                    "0.5 g",
                    "0 mm/s^2",
                ],
            ),
            (
                Setting::Speed(axis),
                [
                    "0.01 mm/s",
                    "0.6 mm/min",
                    "5 mm/s",
                    "0.1 mm/min",
                    "2001 mm/s",
                    "-1 mm/s",
                ],
            ),
            (
                Setting::JunctionDeviation,
                ["0.0005 mm", "0.4 um", "1 mm", "1.01 mm", "0.001 in", "0 mm"],
            ),
        ] {
            for text in values {
                let value = setting.parse(text).unwrap();
                let changed = Changed::new(&good()).with(setting, value);
                let read =
                    machine_file::read("good.toml", &file_with(setting, &format!("{text:?}")));
                match (changed, read) {
                    (Ok(changed), Ok(read)) => assert_eq!(*changed.machine(), read, "{text}"),
                    (Err(error), Err(read)) => {
                        assert_eq!(error.cause, read.cause(), "{text}");
                        assert_eq!(error.remedy, read.remedy(), "{text}");
                    }
                    (changed, read) => panic!("{text}: {changed:?} {read:?}"),
                }
            }
        }
    }
}

/// A speed past the step rate is refused in the words of the file, with the axis before them.
#[test]
fn the_step_rate_is_that_of_the_file() {
    let machine = good();
    for axis in 0..3 {
        let setting = Setting::Speed(axis);
        let ticks =
            (machine.controller.pulse_period_s * f64::from(machine.controller.timer_hz)).ceil();
        let most = f64::from(machine.controller.timer_hz)
            / ticks.max(2.0)
            / machine.axes[axis].steps_per_mm;
        if most * 1.01 > 2000.0 {
            continue; // The range ends before the driver does.
        }
        let past = most * 1.01;
        let error = Changed::new(&machine).with(setting, past).unwrap_err();
        let text = file_with(setting, &format!("\"{past} mm/s\""));
        let read = machine_file::read("good.toml", &text).unwrap_err();
        assert!(error.cause.ends_with(read.cause()), "{error} {read}");
        assert_eq!(error.remedy, read.remedy());
        assert!(Changed::new(&machine).with(setting, most * 0.99).is_ok());
    }
}

#[test]
fn names_and_factors() {
    for setting in Setting::all() {
        assert_eq!(Setting::find(&setting.name()), Ok(setting));
    }
    for (text, value) in [("120 %", 1.2), ("1.2", 1.2), (" 50%", 0.5), ("1e-1", 0.1)] {
        assert_eq!(Setting::Feed.parse(text), Ok(value));
    }
    for text in [
        "",
        "%",
        "inf",
        "nan",
        "1 mm",
        "1,2",
        "--1",
        "1 2",
        "infinity %",
    ] {
        assert!(Setting::Feed.parse(text).is_err(), "{text}");
    }
    for text in ["", "4.0", "-4", "4 moves", "70000", "1e3"] {
        assert!(Setting::LookAhead.parse(text).is_err(), "{text}");
    }
    // All axes by a factor are each axis by it.
    let machine = good();
    let all = Changed::new(&machine)
        .with(Setting::AllAccelerations, 0.5)
        .unwrap();
    for (now, then) in machine.axes.iter().zip(&all.machine().axes) {
        assert_eq!(
            then.acceleration_limit_mm_s2,
            0.5 * now.acceleration_limit_mm_s2
        );
        assert_eq!(then.speed_limit_mm_s, now.speed_limit_mm_s);
    }
    for factor in [f64::NAN, f64::INFINITY, 0.0, -1.0, 101.0] {
        assert!(
            Changed::new(&machine)
                .with(Setting::AllSpeeds, factor)
                .is_err()
        );
    }
    for value in [1.0, 2.5, 16_385.0, f64::NAN] {
        assert!(
            Changed::new(&machine)
                .with(Setting::LookAhead, value)
                .is_err()
        );
    }
}
