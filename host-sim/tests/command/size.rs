//! `size`: what parts can give, whether limits ask for more, limits that are worked out.

use crate::workshop::{Said, Workshop, flat, number, top};
use serde_json::Value;
use std::fs;

/// A demo machine with its lines changed.
pub fn demo(name: &str, change: impl Fn(&str) -> Option<String>) -> String {
    let text = fs::read_to_string(top().join("docs/demo").join(name)).unwrap();
    text.lines()
        .filter_map(change)
        .map(|line| line + "\n")
        .collect()
}

/// The demo machine without its limits.
pub fn without_limits(name: &str) -> String {
    demo(name, |line| (!is_limit(line)).then(|| line.to_owned()))
}

fn is_limit(line: &str) -> bool {
    line.starts_with("speed_limit") || line.starts_with("acceleration_limit")
}

/// The demo with the limits of the axis replaced.
pub fn with_limits(name: &str, axis: char, speed: &str, acceleration: &str) -> String {
    let text = fs::read_to_string(top().join("docs/demo").join(name)).unwrap();
    let start = text.find(&format!("[axis.{axis}]")).unwrap();
    let (before, rest) = text.split_at(start);
    let (header, rest) = rest.split_once('\n').unwrap();
    let rest: Vec<&str> = rest.lines().collect();
    let limits = format!("speed_limit = \"{speed}\"\nacceleration_limit = \"{acceleration}\"");
    let others = rest
        .iter()
        .enumerate()
        .filter(|(at, line)| *at > 1 || !is_limit(line));
    let others: Vec<&str> = others.map(|(_, line)| *line).collect();
    format!("{before}{header}\n{limits}\n{}\n", others.join("\n"))
}

pub fn size(shop: &Workshop, more: &[&str]) -> Said {
    shop.run("size", &[&["size.toml"], more].concat())
}

pub fn json(said: &Said) -> Value {
    serde_json::from_str(&said.out).unwrap()
}

pub fn shop(text: &str) -> Workshop {
    let shop = Workshop::new();
    shop.write("size.toml", text);
    shop
}

#[test]
fn the_demo_machines_have_torque_to_spare() {
    for name in ["belt-router.toml", "screw-router.toml"] {
        let shop = shop(&demo(name, |line| Some(line.to_owned())));
        let said = size(&shop, &["--json"]);
        assert_eq!((said.status, said.err.as_str()), (0, ""), "{name}");
        let found = json(&said);
        assert_eq!(found["axes"].as_array().unwrap().len(), 3);
        for axis in found["axes"].as_array().unwrap() {
            let (needed, available) = (
                number(axis, "/demand/needed_nm"),
                number(axis, "/demand/available_nm"),
            );
            assert!(needed > 0.0 && available >= 2.0 * needed, "{axis}");
            assert_eq!(axis["limits"]["speed_bound"], "file");
        }
        let text = size(&shop, &[]);
        assert!(flat(&text.out).contains("The parts can give what the limits ask for."));
        assert!(
            text.out.lines().all(|line| line.chars().count() <= 80),
            "{}",
            text.out
        );
    }
}

/// Two commands from parts to a simulation: the limits go into the file, and all else stays as it is.
#[test]
fn missing_limits_are_worked_out_and_written() {
    for name in ["belt-router.toml", "screw-router.toml"] {
        let bare = without_limits(name);
        let shop = shop(&bare);
        // The file without limits is for nothing else.
        let program = shop.write("part.nc", "G21 G90\nG1 X10 Y5 F600\nM2\n");
        let early = shop.simulate(&["part.nc", "--machine", "size.toml"]);
        assert_eq!(early.status, 2);
        assert!(
            early.err.contains("`speed_limit` is missing in [axis.x]"),
            "{}",
            early.err
        );

        let said = size(&shop, &["--out", "sized.toml"]);
        assert_eq!((said.status, said.err.as_str()), (0, ""));
        assert!(flat(&said.out).contains("Next: spokeshave simulate PROGRAM --machine sized.toml"));
        let written = shop.text("sized.toml");
        let kept: String = written
            .lines()
            .filter(|line| !is_limit(line))
            .map(|line| format!("{line}\n"))
            .collect();
        assert_eq!(kept, bare, "{name}");
        assert_eq!(written.lines().filter(|line| is_limit(line)).count(), 6);
        let program = program.to_str().unwrap();
        let passed = shop.simulate(&[program, "--machine", "sized.toml"]);
        assert_eq!(
            (passed.status, passed.err.as_str()),
            (0, ""),
            "{}",
            passed.out
        );

        // They hold, and a percent more of an acceleration that torque bounds does not: three digits
        // are rounded down by at most a hundredth.
        shop.write("size.toml", &written);
        let found = size(&shop, &["--json"]);
        assert_eq!(found.status, 0);
        for axis in json(&found)["axes"].as_array().unwrap() {
            let (needed, available) = (
                number(axis, "/demand/needed_nm"),
                number(axis, "/demand/available_nm"),
            );
            assert!(available >= 2.0 * needed * (1.0 - 1e-9), "{axis}");
            let more = 1.011 * number(axis, "/limits/acceleration_mm_s2");
            let speed = number(axis, "/limits/speed_mm_s");
            let axis = axis["axis"].as_str().unwrap().chars().next().unwrap();
            let text = with_limits(
                name,
                axis,
                &format!("{speed} mm/s"),
                &format!("{more} mm/s^2"),
            );
            shop.write("size.toml", text);
            let said = size(&shop, &[]);
            assert_eq!(said.status, 1, "{name} {axis}: {}", said.out);
            assert!(
                flat(&said.out).contains(&format!("TOO MUCH: {axis}:")),
                "{}",
                said.out
            );
        }
    }
}

/// The end of a curve is reached to the rounding: 1000 rpm are 50 mm/s with a lead of 3 mm, and no hair
/// more, whatever a conversion there and back makes of it.
#[test]
fn the_end_of_a_curve_is_on_the_curve() {
    let parts = |rpm: u32| {
        let tables = format!(
            "[axis.x.drive]\nkind = \"lead screw\"\nsize = \"Tr 12x3\"\nfriction = 0.1\n\
             length = \"400 mm\"\nends = \"fixed-fixed\"\nfull_steps = 200\nmicrosteps = 8\n\
             [axis.x.load]\nmass = \"6 kg\"\n[axis.x.motor]\nrotor_inertia = \"280 g cm^2\"\n\
             torque_curve = [[\"60 rpm\", \"1.1 N m\"], [\"{rpm} rpm\", \"0.6 N m\"]]\n"
        );
        let text = crate::workshop::MACHINE.replacen("resolution = \"80 steps/mm\"\n", "", 1);
        let text = text.replacen("speed_limit = \"100 mm/s\"\n", "", 1);
        text.replacen("acceleration_limit = \"500 mm/s^2\"\n", "", 1) + &tables
    };
    for rpm in (900..1100).step_by(20) {
        let shop = shop(&parts(rpm));
        let said = size(&shop, &["--json"]);
        assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
        let x = &json(&said)["axes"][0];
        assert_eq!(x["ceilings"][0]["bound"], "end-of-curve", "{rpm}");
        let end = f64::from(rpm) / 60.0 * 3.0;
        // Three digits, rounded down.
        let limit = number(x, "/limits/speed_mm_s");
        assert!(
            limit <= end * (1.0 + 1e-9) && limit > 0.99 * end,
            "{limit} of {end}"
        );
    }
}

/// Of all pairs that the motor can give, the one chosen takes the least time for the move.
#[test]
fn the_pair_chosen_is_the_quickest_for_the_move() {
    let shop = shop(&without_limits("belt-router.toml"));
    for stroke in [5.0, 40.0, 300.0] {
        let text = format!("{stroke} mm");
        let found = json(&size(&shop, &["--json", "--stroke", &text]));
        let x = &found["axes"][0];
        let time = |speed: f64, acceleration: f64| {
            if speed * speed >= acceleration * stroke {
                2.0 * (stroke / acceleration).sqrt()
            } else {
                stroke / speed + speed / acceleration
            }
        };
        let chosen = time(
            number(x, "/limits/speed_mm_s"),
            number(x, "/limits/acceleration_mm_s2"),
        );
        for speed in (20..=500).step_by(20) {
            // Another speed, with all the acceleration that goes with it.
            let file = demo("belt-router.toml", |line| match line {
                _ if line.starts_with("acceleration_limit") => None,
                "speed_limit = \"8 m/min\"" => Some(format!("speed_limit = \"{speed} mm/s\"")),
                _ => Some(line.to_owned()),
            });
            let other = Workshop::new();
            other.write("size.toml", file);
            let found = json(&size(&other, &["--json"]));
            let Some(acceleration) = found["axes"][0]["limits"]["acceleration_mm_s2"].as_f64()
            else {
                continue; // Too fast to have any.
            };
            // Both numbers of the pair are rounded down by up to a hundredth.
            assert!(
                chosen <= time(f64::from(speed), acceleration) * 1.011,
                "{speed}: {found}"
            );
        }
    }
}

#[test]
fn what_falls_and_what_is_guessed_is_said() {
    let said = |text: &str| flat(&size(&shop(text), &[]).out);
    let belt = demo("belt-router.toml", |line| Some(line.to_owned()));
    assert!(said(&belt).contains("z may fall when the power goes off"));
    // Without the detent of the motor it does.
    let free = demo("belt-router.toml", |line| {
        (line != "detent_torque = \"15 mN m\"").then(|| line.to_owned())
    });
    assert!(
        said(&free).contains("z FALLS when the power goes off"),
        "{}",
        said(&free)
    );
    let screw = said(&demo("screw-router.toml", |line| Some(line.to_owned())));
    assert!(screw.contains("z: the drive locks itself"), "{screw}");
    assert!(
        screw.contains("z: the torque of the motor is an estimate"),
        "{screw}"
    );
    assert!(screw.contains("about 1.277"), "{screw}");
    for text in [&said(&belt), &screw] {
        assert!(
            text.contains("local codes") && text.contains("pinches"),
            "{text}"
        );
    }
    // Corners may ask for more at once than a motor starts with.
    let weak = belt.replace(
        "rotor_inertia = \"70 g cm^2\"",
        "rotor_inertia = \"70 g cm^2\"\nstart_stop_rate = \"60 steps/s\"",
    );
    assert!(
        said(&weak).contains("starts and stops at 14 rpm (18 rpm bare)"),
        "{}",
        said(&weak)
    );
}

#[test]
fn an_axis_without_a_motor_shows_what_is_known() {
    let text = demo("screw-router.toml", |line| Some(line.to_owned()));
    let text = &text[..text.find("[axis.z.load]").unwrap()];
    let shop = shop(text);
    let said = size(&shop, &["--json"]);
    assert_eq!(said.status, 0, "{}", said.err);
    let z = &json(&said)["axes"][2];
    assert_eq!(z["motor"], Value::Null);
    assert!(number(z, "/efficiency_back") < 0.0 && number(z, "/most_push_n") > 1e4);
    // A speed at which its screw would whip is too much without a motor too.
    let fast = text
        .replace("\"50 in/min\"", "\"500 mm/s\"")
        .replace("microsteps = 8", "microsteps = 2");
    shop.write("size.toml", fast.replace("\"10 in\"", "\"1 m\""));
    let said = size(&shop, &[]);
    assert_eq!(said.status, 1, "{}", said.out);
    assert!(
        flat(&said.out).contains("z: the speed limit is 500 mm/s, but its screw may whip"),
        "{}",
        said.out
    );
}

/// Line ends of the other world stay, and so does what stands behind a limit that is worked out anew.
#[test]
fn line_ends_and_comments_stay() {
    let text = demo("belt-router.toml", |line| Some(line.to_owned()))
        .replace(
            "speed_limit = \"8 m/min\"",
            "speed_limit = \"8 m/min\" # measured",
        )
        .replace('\n', "\r\n");
    let shop = shop(&text);
    let said = size(&shop, &["--anew", "--out", "sized.toml"]);
    assert_eq!((said.status, said.err.as_str()), (0, ""));
    let written = shop.text("sized.toml");
    assert_eq!(
        written.matches("\r\n").count(),
        text.matches("\r\n").count()
    );
    assert_eq!(written.matches('\n').count(), text.matches('\n').count());
    let measured: Vec<&str> = written
        .lines()
        .filter(|line| line.contains("# measured"))
        .collect();
    assert_eq!(measured.len(), 2, "{written}");
    assert!(
        measured
            .iter()
            .all(|line| line.starts_with("speed_limit = \"") && line.contains("mm/s\" # measured"))
    );
}
