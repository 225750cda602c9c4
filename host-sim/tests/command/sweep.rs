//! `sweep`: its points are plans, its files and pictures show them all.

use crate::workshop::{MACHINE, SOME_OF_EVERYTHING, Workshop, flat, number};
use resvg::tiny_skia::Pixmap;
use serde_json::Value;

fn sweep(shop: &Workshop, vary: &[&str], more: &[&str]) -> crate::workshop::Said {
    let mut arguments = vec!["part.nc", "--machine", "machine.toml"];
    for text in vary {
        arguments.extend(["--vary", text]);
    }
    let said = shop.run("sweep", &[&arguments[..], more].concat());
    assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
    said
}

fn shop(program: &str) -> Workshop {
    let shop = Workshop::new();
    shop.write("part.nc", program);
    shop
}

/// t = L/v + v/a on a straight: see the worth of settings.
#[test]
fn a_curve_has_the_closed_form_and_its_knee() {
    let shop = shop("G21 G90\nG1 X200 F600\n");
    let said = sweep(&shop, &["feed=50 %..4:36"], &["--json", "--out", "out"]);
    let json: Value = serde_json::from_str(&said.out).unwrap();
    let points = json["points"].as_array().unwrap();
    assert_eq!(points.len(), 36);
    let time = |factor: f64| 200.0 / (10.0 * factor) + 10.0 * factor / 500.0;
    for (k, point) in (0..36).zip(points) {
        let factor = 0.5 + 0.1 * f64::from(k);
        assert!((number(point, "/values/0") - factor).abs() < 1e-12);
        // Ramp ends to a tick of 1 µs; lengths and speeds to single precision of 40 s.
        assert!((number(point, "/job_time_s") - time(factor)).abs() < 1e-5);
    }
    // The last step that buys 1 %, worked out from the closed form.
    let gain = |k: i32| {
        let at = |k: i32| time(0.5 + 0.1 * f64::from(k));
        (at(k - 1) - at(k)) / at(k - 1)
    };
    let expected = (1..36).rev().find(|k| gain(*k) >= 0.01);
    // The last steps still buy more than a percent here: 1/v falls by 1/40 at least.
    assert_eq!(expected, Some(35));
    assert_eq!(json["knees"][0]["knee"], "beyond");
    let table = shop.table("out/sweep.csv");
    assert_eq!(table.heads, ["feed", "job_time_s", "feed_time_s", "rest_s"]);
    assert_eq!(table.rows.len(), 36);
}

#[test]
fn the_knee_is_marked_and_said() {
    // 20 mm at 50 mm/s: t = L/v + v/a = 0.4 + 50/a, while v²/a < L (a > 125).
    let shop = shop("G21 G90\nG1 X20 F3000\n");
    let vary = "axis.x.acceleration_limit=200 mm/s^2..2000 mm/s^2:19";
    let said = sweep(&shop, &[vary], &["--out", "out"]);
    let time = |a: f64| 0.4 + 50.0 / a;
    let buys = |k: &i32| {
        let (a, b) = (
            time(100.0 * f64::from(k + 1)),
            time(100.0 * f64::from(k + 2)),
        );
        (a - b) / a >= 0.01
    };
    let knee = 100 * ((1..19).rev().find(buys).unwrap() + 2);
    let sentence = format!("The knee is at {knee} mm/s²: from there on, 100 mm/s² more buys less");
    assert!(said.out.contains(&sentence), "{sentence}\n{}", said.out);
    let svg = shop.text("out/sweep.svg");
    assert!(
        svg.contains(&format!("{knee} mm/s², ")),
        "the knee is named"
    );
    assert!(svg.contains("now: 500 mm/s²"));
}

#[test]
fn a_point_of_the_grid_is_a_simulated_run() {
    let shop = shop(SOME_OF_EVERYTHING);
    let vary = [
        "axis.y.acceleration_limit=200 mm/s^2..1000 mm/s^2:5",
        "junction_deviation=0.01 mm..0.05 mm:3",
    ];
    sweep(&shop, &vary, &["--out", "out", "--png"]);
    assert_eq!(shop.names("out"), ["sweep.csv", "sweep.png", "sweep.svg"]);
    let table = shop.table("out/sweep.csv");
    let times = table.all("job_time_s");
    assert_eq!(times.len(), 15);
    let heads = ["axis.y.acceleration_limit_mm_s2", "junction_deviation_mm"];
    assert_eq!(table.heads[..2], heads);
    // The fourth value along the second row.
    let at = 5 + 3;
    assert_eq!(
        (table.all(heads[0])[at], table.all(heads[1])[at]),
        (800.0, 0.03)
    );
    let (head, tail) = MACHINE.split_at(MACHINE.find("[axis.y]").unwrap());
    let tail = tail.replacen("500 mm", "800 mm", 1);
    let other = head.replace("0.02 mm", "0.03 mm") + &tail;
    shop.write("other.toml", other);
    let said = shop.simulate(&["part.nc", "--machine", "other.toml", "--json"]);
    let summary: Value = serde_json::from_str(&said.out).unwrap();
    // The table has nine decimals.
    assert!((number(&summary, "/job_time_s") - times[at]).abs() <= 1e-9);

    let bytes = std::fs::read(shop.path("out/sweep.png")).unwrap();
    let picture = Pixmap::decode_png(&bytes).unwrap();
    // A cell of the slowest colour of the scale (the dark end of viridis, 68 1 84).
    let dark = |pixel: &resvg::tiny_skia::PremultipliedColorU8| {
        (pixel.red(), pixel.green(), pixel.blue()) == (68, 1, 84)
    };
    let count = picture.pixels().iter().filter(|pixel| dark(pixel)).count();
    assert!(count > 1000, "{count}");
}

#[test]
fn refused_points_are_counted_and_left_blank() {
    // 500 steps/mm and 200 000 steps/s: 400 mm/s is the most; 450 and 500 are past it.
    let shop = shop("G21 G90\nG1 X20 F3000\n");
    let machine = MACHINE.replacen("\"80 steps/mm\"", "\"500 steps/mm\"", 1);
    shop.write("machine.toml", machine);
    let said = sweep(
        &shop,
        &[
            "axis.x.speed_limit=50 mm/s..500 mm/s:10",
            "look_ahead=4..8:3",
        ],
        &["--out", "out"],
    );
    let sentence = "Refused: 6 of 30 points, the first at axis.x.speed_limit = 450 mm/s, \
                    look_ahead = 4 moves";
    assert!(flat(&said.out).contains(sentence), "{}", said.out);
    assert!(said.out.contains("225000 steps/s"), "{}", said.out);
    let times = shop.table("out/sweep.csv").numbers("job_time_s");
    let blank: Vec<usize> = (0..30).filter(|at| times[*at].is_none()).collect();
    assert_eq!(blank, [8, 9, 18, 19, 28, 29]);
    assert!(shop.text("out/sweep.svg").contains("blank: refused"));
}

#[test]
fn the_same_sweep_is_the_same_to_the_last_byte() {
    let shop = shop(SOME_OF_EVERYTHING);
    let vary = ["feed=50 %..150 %:7", "axis.all.speed_limit=0.5..1.5:6"];
    let once = sweep(&shop, &vary, &["--json"]);
    assert_eq!(once.out, sweep(&shop, &vary, &["--json"]).out);
}

/// A bend of short chords may be taken slower with more deviation, because the stretch over which
/// its turns add up grows with it. Where that happens on a real program, it is said.
#[test]
fn more_that_costs_time_is_said() {
    let relief = std::fs::read(crate::workshop::top().join("tests/programs/relief.nc")).unwrap();
    let machine = crate::workshop::top().join("docs/demo/belt-router.toml");
    let shop = Workshop::new();
    shop.write("part.nc", relief);
    shop.write("machine.toml", std::fs::read(machine).unwrap());
    let said = sweep(
        &shop,
        &["junction_deviation=0.005 mm..0.045 mm:5"],
        &["--out", "out"],
    );
    let times = shop.table("out/sweep.csv").all("job_time_s");
    let shortest = times.iter().copied().fold(f64::INFINITY, f64::min);
    let turns_back = times[4] > 1.0001 * shortest;
    assert_eq!(
        said.out.contains("More is not always faster"),
        turns_back,
        "{}",
        said.out
    );
    // And never on a straight, whose time falls with each step.
    shop.write("part.nc", "G21 G90\nG1 X200 F600\n");
    let said = sweep(&shop, &["feed=1..2:5"], &[]);
    assert!(!said.out.contains("More is not"), "{}", said.out);
}
