//! `size`: limits that ask for more than there is, and input that is refused.

use crate::size::{demo, shop, size, with_limits, without_limits};
use crate::workshop::flat;

#[test]
#[rustfmt::skip] // One case a line.
fn limits_that_ask_too_much_are_told_and_nothing_is_written() {
    for (name, axis, speed, acceleration, told) in [
        ("belt-router.toml", 'x', "8 m/min", "9 m/s^2", "at 133.33 mm/s with 9000 mm/s² the motor needs"),
        ("belt-router.toml", 'y', "8 m/min", "20 m/s^2", "each motor needs"),
        ("belt-router.toml", 'x', "700 mm/s", "100 mm/s^2", "the motor has less than 2 times the torque"),
        ("belt-router.toml", 'z', "90 mm/s", "100 mm/s^2", "the torque curve ends at 80 mm/s"),
        ("screw-router.toml", 'y', "70 mm/s", "250 mm/s^2", "its screw may whip from 65.7"),
        ("screw-router.toml", 'y', "10 mm/s", "8 m/s^2", "its screw may buckle: it may be pushed with 255 N"),
        ("screw-router.toml", 'z', "100 mm/s", "120 mm/s^2", "the motor has less than 2 times the torque"),
        ("screw-router.toml", 'z', "60 mm/s", "3 m/s^2", "(an estimate) at 1417 rpm"),
    ] {
        let shop = shop(&with_limits(name, axis, speed, acceleration));
        let said = size(&shop, &["--out", "sized.toml"]);
        let text = flat(&said.out);
        assert_eq!((said.status, said.err.as_str()), (1, ""), "{text}");
        let fault = text.split("TOO MUCH: ").nth(1).unwrap_or_else(|| panic!("{text}"));
        assert!(fault.starts_with(&format!("{axis}: ")) && text.contains(told), "{told}: {text}");
        assert!(
            text.ends_with("lower them, or --anew works out others. Nothing was written to sized.toml."),
            "{text}"
        );
        assert!(!shop.path("sized.toml").exists());
        // Worked out anew, they do.
        let anew = size(&shop, &["--anew", "--out", "sized.toml"]);
        assert_eq!((anew.status, anew.err.as_str()), (0, ""), "{}", anew.out);
        assert!(shop.path("sized.toml").exists());
    }
}

#[test]
fn what_cannot_be_sized_is_refused() {
    let belt = demo("belt-router.toml", |line| Some(line.to_owned()));
    let bare = crate::workshop::MACHINE;
    let motorless = without_limits("belt-router.toml");
    let motorless = &motorless[..motorless.find("[axis.z.motor]").unwrap()];
    for (text, more, cause, remedy) in [
        (bare, &[][..], "no axis has a drive", "[axis.x.drive]"),
        (
            motorless,
            &["--out", "sized.toml"],
            "axis z has no limits, and no motor",
            "write its limits",
        ),
        (
            &belt,
            &["--out", "size.toml"],
            "size.toml is the machine file itself",
            "another file",
        ),
        (&belt, &["--out", "./."], "is a folder", "name of a file"),
        (
            &belt,
            &["--out", "new/"],
            "new/ is a folder",
            "new/sized.toml",
        ),
        (
            &belt,
            &["--picture", "torque.png", "--png"],
            "would be the SVG and the PNG",
            ".svg",
        ),
        (&belt, &["--safety", "0.5"], "a number from 1 to 20", ""),
        (&belt, &["--safety", "two"], "a number from 1 to 20", ""),
        (&belt, &["--stroke", "50"], "`50` has no unit", "50 mm"),
        (&belt, &["--stroke", "-1 mm"], "longer than 0", ""),
        (&belt, &["--png"], "--picture", ""),
    ] {
        let shop = shop(text);
        let before = shop.names(".");
        let said = size(&shop, more);
        let told = flat(&said.err.replace('│', ""));
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{more:?}");
        assert!(
            told.contains(cause) && told.contains(remedy),
            "{cause}: {told}"
        );
        assert_eq!(shop.names("."), before, "{more:?}");
        assert_eq!(shop.text("size.toml"), text);
    }
    // A file that is refused is refused with its line.
    let shop = shop(&belt.replace("teeth = 20", "teeth = 2"));
    let said = size(&shop, &[]);
    assert_eq!(said.status, 2);
    assert!(
        said.err.contains("must be a whole number from 6 to 500"),
        "{}",
        said.err
    );
}

/// Motors that cannot move their axes: no limits are asked for, so none can be lowered.
#[test]
fn motors_that_are_too_weak_for_any_limits() {
    let weak = |line: &str| match line.trim_start().starts_with("torque_curve") {
        true => {
            Some(r#"torque_curve = [["60 rpm", "0.05 N m"], ["300 rpm", "0.03 N m"]]"#.to_owned())
        }
        false => (!line.contains("_limit")).then(|| line.to_owned()),
    };
    let shop = shop(&demo("parts-router.toml", weak));
    let said = size(&shop, &["--out", "sized.toml"]);
    let text = flat(&said.out);
    assert_eq!((said.status, said.err.as_str()), (1, ""), "{text}");
    let end = "No limits are low enough for the parts of x, y, z: it takes other parts or less load. Nothing was \
               written to sized.toml.";
    assert!(text.ends_with(end), "{text}");
    assert!(
        !text.contains("lower them") && !text.contains("acceleration limit at all speeds"),
        "{text}"
    );
    assert!(!shop.path("sized.toml").exists());
}

/// What is said of torque is said of the axes for which it is true.
#[test]
fn a_motor_that_does_not_give_it_is_not_said_to() {
    let shop = shop(&with_limits("belt-router.toml", 'x', "8 m/min", "9 m/s^2"));
    let text = flat(&size(&shop, &[]).out);
    let said =
        "The motors of y, z give the acceleration limit at all speeds up to the speed limit.";
    assert!(text.contains(said), "{text}");
    let shop = crate::size::shop(&demo("belt-router.toml", |line| Some(line.to_owned())));
    let text = flat(&size(&shop, &[]).out);
    let said = "The motor gives the acceleration limit at all speeds up to the speed limit.";
    assert!(text.contains(said), "{text}");
}

/// A file that is there is not written over, whatever it is.
#[test]
fn a_file_that_is_there_stays() {
    let shop = shop(&without_limits("belt-router.toml"));
    shop.write("sized.toml", "mine");
    let said = size(&shop, &["--out", "sized.toml"]);
    assert_eq!((said.status, said.out.as_str()), (2, ""));
    let told = flat(&said.err);
    assert!(
        told.contains("sized.toml is there already") && told.contains("name a new file"),
        "{told}"
    );
    assert_eq!(shop.text("sized.toml"), "mine");
}
