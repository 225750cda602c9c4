//! The files of `compare`: names that tell machines and programs apart, and speeds over each other.

use crate::compare::{BOTH, SQUARE, json, run, shop, slow};
use crate::workshop::{MACHINE, words};
use resvg::tiny_skia::Pixmap;
use serde_json::Value;

#[test]
fn machines_of_the_same_file_name_are_told_apart() {
    let shop = shop();
    for (folder, machine) in [("old", MACHINE.to_owned()), ("new", slow())] {
        std::fs::create_dir(shop.path(folder)).unwrap();
        shop.write(&format!("{folder}/router.toml"), machine);
    }
    let machines = [
        "--machine",
        "old/router.toml",
        "--machine",
        "new/router.toml",
    ];
    for baseline in ["new/router.toml", "./new/router.toml", "slow bench"] {
        let more = ["--baseline", baseline, "--json", "--out", "out"];
        let said = shop.run("compare", &[&["square.nc"], &machines[..], &more].concat());
        assert_eq!(said.status, 0, "{baseline}: {}", said.err);
        let all: Value = serde_json::from_str(&said.out).unwrap();
        let names = ["old/router.toml", "new/router.toml"];
        for (row, name) in all["rows"].as_array().unwrap().iter().zip(names) {
            assert_eq!(row["machine"], name);
        }
        assert_eq!(all["baseline"], names[1], "{baseline}");
        let svg = shop.text("out/speeds-square.nc.svg");
        assert!(names.iter().all(|name| svg.contains(&format!("{name}: "))));
    }
}

#[test]
fn programs_of_the_same_file_name_have_a_picture_each() {
    let shop = shop();
    for folder in ["a", "b"] {
        std::fs::create_dir(shop.path(folder)).unwrap();
        shop.write(&format!("{folder}/part.nc"), SQUARE);
    }
    let programs = ["a/part.nc", "b/part.nc"];
    let said = shop.run(
        "compare",
        &[&programs, &BOTH[2..], &["--out", "out", "--png"]].concat(),
    );
    assert_eq!((said.status, said.err.as_str()), (0, ""));
    assert_eq!(
        shop.names("out"),
        [
            "compare.csv",
            "compare.json",
            "speeds-a-part.nc.png",
            "speeds-a-part.nc.svg",
            "speeds-b-part.nc.png",
            "speeds-b-part.nc.svg"
        ]
    );
    for program in programs {
        assert!(said.out.contains(&format!("\n{program}  ")), "{}", said.out);
    }
}

/// The first chart against the time, the second against the path, and with a baseline the third:
/// all lines in the colours of the legend.
#[test]
fn pictures_show_each_machine_in_its_colour() {
    let shop = shop();
    run(&shop, &["--baseline", "machine", "--out", "out", "--png"]);
    let svg = shop.text("out/speeds-square.nc.svg");
    for words in [
        "Speeds: square.nc on 2 machines",
        "machine: ",
        "(baseline)",
        "slow: ",
        "time, s",
        "way along the path, mm",
        "speed, mm/s",
        "later by, s",
    ] {
        assert!(svg.contains(words), "{words}");
    }
    let bytes = std::fs::read(shop.path("out/speeds-square.nc.png")).unwrap();
    let picture = Pixmap::decode_png(&bytes).unwrap();
    // Blue and vermilion of Okabe and Ito, as in every picture.
    for colour in [(0x00, 0x72, 0xb2), (0xd5, 0x5e, 0x00)] {
        let is = |pixel: &&resvg::tiny_skia::PremultipliedColorU8| {
            (pixel.red(), pixel.green(), pixel.blue()) == colour
        };
        let count = picture.pixels().iter().filter(is).count();
        assert!(count > 500, "{colour:?}: {count}");
    }
    // Without a baseline nobody is later than anybody.
    run(&shop, &["--out", "out"]);
    assert!(!shop.text("out/speeds-square.nc.svg").contains("later by"));
}

/// The corner at 40 mm along the square's path, seen through a window around it: both machines slow
/// there, and nowhere else in the window.
#[test]
fn a_stretch_shows_a_corner_of_both_machines_at_the_same_place() {
    let shop = shop();
    let more = [
        "--out",
        "out",
        "--stretch",
        "35 mm..45 mm",
        "--baseline",
        "machine",
    ];
    let whole = json(&shop, &["--baseline", "machine"]);
    let said = run(&shop, &[&more[..], &["--json"]].concat());
    let figures: Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!(figures, whole, "figures are those of the whole job");
    let svg = shop.text("out/speeds-square.nc.svg");
    assert!(svg.contains("This is a stretch of the path"), "{svg}");
    // The lowest points of the lines in the second chart: the paths of the two machines' colours.
    let lowest = |colour: &str| -> f64 {
        let lines = svg
            .lines()
            .filter(|line| line.contains(colour) && line.contains(" d=\"M"));
        let chart = lines
            .filter(|line| line.len() > 500)
            .nth(1)
            .expect("a second chart");
        let (_, points) = chart.split_once(" d=\"M").unwrap();
        let numbers = points.split('"').next().unwrap().split(['M', ' ']);
        let spots = numbers.filter_map(|pair| {
            let (x, y) = pair.split_once(',')?;
            Some((x.parse::<f64>().ok()?, y.parse::<f64>().ok()?))
        });
        spots.max_by(|a, b| a.1.total_cmp(&b.1)).expect("points").0
    };
    let [blue, vermilion] = ["#0072B2", "#D55E00"].map(lowest);
    // Four units of the drawing are one of the page, and a column is about one of the page.
    assert!((blue - vermilion).abs() <= 8.0, "{blue} {vermilion}");
    // The middle of the chart: 82 to 1080 of the page.
    assert!((blue / 4.0 - 581.0).abs() < 3.0, "{blue}");
}

#[test]
fn a_stretch_past_the_end_of_a_path_is_refused() {
    let shop = shop();
    let more = ["--out", "out", "--stretch", "200 mm..300 mm"];
    let said = shop.run("compare", &[&["square.nc"], &BOTH[2..], &more].concat());
    assert_eq!((said.status, said.out.as_str()), (2, ""));
    let text = words(&said.err);
    let cause = "begins at 200 mm, but the path of square.nc is 160.0 mm long";
    assert!(text.contains(cause), "{text}");
    assert!(text.contains("help: begin before"), "{text}");
    assert!(!shop.path("out").exists());
}

#[test]
fn a_program_that_goes_nowhere_has_empty_pictures() {
    let shop = shop();
    for program in ["G21\nM2\n", "G21\nG4 P1\nM2\n"] {
        shop.write("square.nc", program);
        run(&shop, &["--baseline", "slow", "--out", "out", "--png"]);
        let svg = shop.text("out/speeds-square.nc.svg");
        assert!(svg.contains("later by, s") && !svg.contains("NaN"));
    }
}

#[test]
fn long_names_are_shortened_to_fit() {
    let shop = shop();
    let long = format!("{}.toml", "long-".repeat(40));
    shop.write(&long, slow());
    let machines = ["--machine", "machine.toml", "--machine", &long];
    let more = ["--baseline", &long, "--out", "out"];
    let said = shop.run("compare", &[&["square.nc"], &machines[..], &more].concat());
    assert_eq!((said.status, said.err.as_str()), (0, ""));
    let svg = shop.text("out/speeds-square.nc.svg");
    assert!(
        svg.contains('…') && !svg.contains(&"long-".repeat(40)),
        "{svg}"
    );
}
