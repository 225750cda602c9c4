//! What settings are worth: against runs of the command with other files, and where the answer is
//! known.

use crate::workshop::{MACHINE, SOME_OF_EVERYTHING, Workshop, flat, words};
use spokeshave::Planner;
use spokeshave_sim::machine_file;
use spokeshave_sim::program::{Reader, Settings};
use spokeshave_sim::replan::Program;
use spokeshave_sim::run::queue_bytes;
use spokeshave_sim::setting::Setting;
use spokeshave_sim::worth::{SettingWorth, Worth, text, worth};

fn worth_of(machine: &str, text: &str) -> Worth {
    let machine = machine_file::read("machine.toml", machine).unwrap();
    let settings = Settings::for_machine(&machine);
    let reader = Reader::new("part.nc", text.as_bytes(), settings.clone());
    let program = Program::from_items("part.nc", reader, &settings).unwrap();
    worth(&program, &machine).unwrap()
}

fn row(worth: &Worth, setting: Setting) -> &SettingWorth {
    let is = |row: &&SettingWorth| row.setting == setting;
    worth.settings.iter().find(is).unwrap()
}

/// The job time that `simulate --json` prints, to the last digit.
fn simulated(shop: &Workshop, machine: &str, program: &str) -> f64 {
    shop.write("other.toml", machine);
    shop.write("part.nc", program);
    let said = shop.simulate(&["part.nc", "--machine", "other.toml", "--json"]);
    assert_eq!((said.status, said.err.as_str()), (0, ""));
    let key = "\"job_time_s\": ";
    let from = said.out.find(key).unwrap() + key.len();
    let number = said.out[from..].split(',').next().unwrap();
    number.parse().unwrap()
}

#[test]
fn it_is_the_difference_of_two_simulated_runs() {
    let shop = Workshop::new();
    let worth = worth_of(MACHINE, SOME_OF_EVERYTHING);
    let base = simulated(&shop, MACHINE, SOME_OF_EVERYTHING);
    assert_eq!(worth.job_time_s, base);
    let in_axis = |axis: &str, from: &str, to: String| {
        let (head, tail) = MACHINE.split_at(MACHINE.find(axis).unwrap());
        head.to_owned() + &tail.replacen(from, &to, 1)
    };
    for setting in Setting::all() {
        let row = row(&worth, setting);
        for change in [&row.less, &row.more] {
            let value = change.value;
            let all = |from, now: f64, unit| {
                MACHINE.replace(from, &format!("\"{} {unit}\"", now * value))
            };
            let machine = match setting {
                Setting::Acceleration(axis) => in_axis(
                    ["[axis.x]", "[axis.y]", "[axis.z]"][axis],
                    "\"500 mm/s^2\"",
                    format!("\"{value} mm/s^2\""),
                ),
                Setting::Speed(axis) => in_axis(
                    ["[axis.x]", "[axis.y]", "[axis.z]"][axis],
                    "\"100 mm/s\"",
                    format!("\"{value} mm/s\""),
                ),
                Setting::AllAccelerations => all("\"500 mm/s^2\"", 500.0, "mm/s^2"),
                Setting::AllSpeeds => all("\"100 mm/s\"", 100.0, "mm/s"),
                Setting::JunctionDeviation => {
                    MACHINE.replace("\"0.02 mm\"", &format!("\"{value} mm\""))
                }
                Setting::LookAhead => MACHINE.replace("= 32", &format!("= {value}")),
                Setting::Feed => MACHINE.into(),
            };
            let mut program = SOME_OF_EVERYTHING.to_owned();
            if setting == Setting::Feed {
                for feed in [600.0, 2400.0, 300.0] {
                    let other = format!("F{:.0}", feed * value);
                    program = program.replace(&format!("F{feed}"), &other);
                }
            }
            let time = simulated(&shop, &machine, &program);
            assert_eq!(change.job_time_s, Some(time), "{} {value}", row.name);
            assert_eq!(change.change_s, Some(time - base), "{} {value}", row.name);
        }
    }
}

#[test]
fn on_a_long_straight_it_is_the_feed() {
    let worth = worth_of(MACHINE, "G21 G90\nG1 X200 F600\n");
    // t = L/v + v/a, L = 200 mm, v = 10 mm/s, a = 500 mm/s².
    let time = |v: f64, a: f64| 200.0 / v + v / a;
    // Ends of ramps to a tick of 1 µs, speeds to single precision (6e-8 of 20 s).
    let close = |a: f64, b: f64| (a - b).abs() < 5e-6;
    assert!(close(worth.job_time_s, time(10.0, 500.0)));
    let saved = |setting| row(&worth, setting).more.change_s.unwrap();
    let feed = time(11.0, 500.0) - time(10.0, 500.0);
    assert!(close(saved(Setting::Feed), feed));
    let acceleration = time(10.0, 550.0) - time(10.0, 500.0);
    assert!(close(saved(Setting::Acceleration(0)), acceleration));
    assert!(
        worth.advice.contains("10 % more of `feed`"),
        "{}",
        worth.advice
    );
    assert!(
        worth.advice.contains("mind the chip load"),
        "{}",
        worth.advice
    );
    // y and z do not move, x does not reach its limit, and there is no corner.
    let nothing = [
        "axis.y.acceleration_limit",
        "axis.z.acceleration_limit",
        "axis.x.speed_limit",
        "axis.y.speed_limit",
        "axis.z.speed_limit",
        "axis.all.speed_limit",
        "junction_deviation",
        "look_ahead",
    ];
    assert_eq!(worth.change_nothing[..2], nothing[..2]);
    assert!(
        nothing
            .iter()
            .all(|name| worth.change_nothing.contains(&(*name).into()))
    );
}

/// Steps of 1 mm in x and y by turns at a feed never reached. Every speed on it goes with the root
/// of the acceleration: v² = A·δ·k at a corner, b₁ = b₀ + 2·A·L between. So time goes with one over
/// the root, and a tenth more of all accelerations saves 1 − 1/√1.1. More of x alone leaves the
/// corners as they are (both axes turn there) and half of the moves.
#[test]
fn on_a_staircase_it_is_the_acceleration_of_all_axes() {
    let stairs = "X1\nY1\n".repeat(60);
    let worth = worth_of(MACHINE, &format!("G21 G91 G1 F6000\n{stairs}"));
    let more = |setting| row(&worth, setting).more.job_time_s.unwrap();
    let expected = worth.job_time_s / 1.1_f64.sqrt();
    let all = more(Setting::AllAccelerations);
    // 120 moves, each to a tick of 1 µs or two.
    assert!((all - expected).abs() < 3e-4, "{all} {expected}");
    for axis in [0, 1] {
        let one = more(Setting::Acceleration(axis));
        assert!(worth.job_time_s - one < 0.5 * (worth.job_time_s - all));
    }
    assert!(
        worth.advice.contains("`axis.all.acceleration_limit`"),
        "{}",
        worth.advice
    );
    assert!(worth.advice.contains("torque"), "{}", worth.advice);
}

#[test]
fn a_change_past_the_driver_is_told_with_its_cause() {
    // 2000 steps/mm at 100 mm/s is 200 000 steps/s, all that a period of 5 µs allows.
    let machine = MACHINE.replacen("\"80 steps/mm\"", "\"2000 steps/mm\"", 1);
    let worth = worth_of(&machine, SOME_OF_EVERYTHING);
    let row = row(&worth, Setting::Speed(0));
    assert_eq!((row.more.job_time_s, row.more.change_s), (None, None));
    let cause = row.more.refused.as_deref().unwrap();
    assert!(cause.contains("220000 steps/s"), "{cause}");
    assert!(row.less.job_time_s.is_some());
    let text = text(&worth);
    assert!(
        text.contains("Refused: `axis.x.speed_limit` at 110 mm/s"),
        "{text}"
    );
    assert!(!worth.change_nothing.contains(&row.name));
}

#[test]
fn queues_are_listed_with_their_memory() {
    // Short moves in a row: with a queue of 4 the machine must be able to stop within 4 of them.
    let line = "X0.2\n".repeat(400);
    let worth = worth_of(MACHINE, &format!("G21 G91 G1 F3000\n{line}"));
    let queues = &worth.look_ahead.queues;
    let moves: Vec<usize> = queues.iter().map(|queue| queue.moves).collect();
    assert_eq!(moves, [4, 8, 16, 32, 64, 128, 256, 512, 1024, 16384]);
    assert_eq!(queues[9].cost_s, 0.0);
    assert!(queues[0].cost_s > queues[1].cost_s && queues[1].cost_s > queues[2].cost_s);
    // v² = 2·a·s: 50 mm/s takes 2.5 mm to stop, 13 moves; from 16 on nothing is lost but rounding.
    assert!(
        queues[2..].iter().all(|queue| queue.cost_s.abs() < 1e-3),
        "{queues:?}"
    );
    let sizes = [
        (4, size_of::<Planner<3, 4>>()),
        (32, size_of::<Planner<3, 32>>()),
        (256, size_of::<Planner<3, 256>>()),
        (1024, size_of::<Planner<3, 1024>>()),
    ];
    for (moves, size) in sizes {
        assert_eq!(queue_bytes(moves), size);
        let queue = queues.iter().find(|queue| queue.moves == moves).unwrap();
        assert_eq!(queue.planner_bytes, size);
    }
    assert_eq!(
        worth.look_ahead.bytes_a_move,
        (sizes[3].1 - sizes[1].1) / 992
    );
}

/// The feed is the program's: what the machine could do stands beside it.
#[test]
fn where_the_feed_is_worth_most_the_best_of_the_machine_is_told_too() {
    // From rest to rest at 50 mm/s takes 30/50 + 50/500 s: the first part is the feed's.
    let advice = worth_of(MACHINE, "G21 G1 X30 F3000\nM2\n").advice;
    let own = "Of the machine's own settings, the most is gained by 10 % more of \
               `axis.x.acceleration_limit`";
    assert!(advice.contains("10 % more of `feed`"), "{advice}");
    assert!(advice.contains(own), "{advice}");
    // From rest to rest in 10 mm at 500 mm/s² is 70.7 mm/s at most: the feed buys nothing.
    let advice = worth_of(MACHINE, "G21 G1 X10 F6000\nM2\n").advice;
    assert!(!advice.contains("own settings"), "{advice}");
}

#[test]
fn the_command_prints_the_tables_the_advice_and_the_same_as_json() {
    let shop = Workshop::new();
    shop.write("part.nc", SOME_OF_EVERYTHING);
    let worth = worth_of(MACHINE, SOME_OF_EVERYTHING);
    let arguments = ["part.nc", "--machine", "machine.toml"];
    let said = shop.run("worth", &arguments);
    assert_eq!((said.status, said.err.as_str()), (0, ""));
    let out = flat(&said.out);
    assert_eq!(out, flat(&text(&worth)));
    for shown in [
        "part.nc on test bench: ",
        "axis.y.acceleration_limit",
        "These change nothing here: ",
        "look-ahead, moves",
        "16384, as endless",
        worth.advice.as_str(),
    ] {
        assert!(out.contains(shown), "{shown} missing in\n{out}");
    }
    let said = shop.run("worth", &[&arguments[..], &["--json"]].concat());
    assert_eq!(said.out, worth.json());
    let json: serde_json::Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!(
        json["settings"].as_array().unwrap().len(),
        Setting::all().len()
    );
    assert_eq!(json["advice"], worth.advice);
    assert_eq!(json["look_ahead"]["queues"][0]["moves"], 4);
}

#[test]
fn the_command_refuses_what_simulate_refuses_and_what_takes_no_time() {
    let shop = Workshop::new();
    shop.write("part.nc", "G21\nG1 X1o F600\n");
    shop.write("still.nc", "G21\nM2\n");
    shop.write("fast.nc", "G21\nG1 X1 F700000\n");
    for (program, machine, cause) in [
        ("part.nc", "machine.toml", "part.nc:2:6"),
        ("gone.nc", "machine.toml", "gone.nc"),
        (".", "machine.toml", "must be a file"),
        ("part.nc", "gone.toml", "gone.toml"),
        ("fast.nc", "machine.toml", "fast.nc:2"),
        ("still.nc", "machine.toml", "takes no time"),
    ] {
        let said = shop.run("worth", &[program, "--machine", machine]);
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{cause}");
        assert!(words(&said.err).contains(cause), "{}", said.err);
        assert!(said.err.contains("help: "), "{}", said.err);
    }
}
