//! `corners --out`: table and picture tell what the JSON tells.

use crate::workshop::{SOME_OF_EVERYTHING, Table, Workshop, number, top};
use resvg::tiny_skia::Pixmap;
use serde_json::Value;

const START: [&str; 3] = ["part.nc", "--machine", "machine.toml"];

fn corners(shop: &Workshop, more: &[&str]) -> String {
    let said = shop.run("corners", &[&START, more].concat());
    assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
    said.out
}

fn shop(program: &str) -> Workshop {
    let shop = Workshop::new();
    shop.write("part.nc", program);
    shop
}

/// A path of a JSON row and the column of the table.
const NUMBERS: [(&str, &str); 15] = [
    ("/number", "number"),
    ("/line", "line"),
    ("/first_line", "first_line"),
    ("/last_line", "last_line"),
    ("/position_mm/x", "x_mm"),
    ("/position_mm/y", "y_mm"),
    ("/position_mm/z", "z_mm"),
    ("/time_s", "time_s"),
    ("/turn_degrees", "turn_degrees"),
    ("/turn_within_mm", "turn_within_mm"),
    ("/reached_mm_s", "reached_mm_s"),
    ("/asked_mm_s", "asked_mm_s"),
    ("/lost_s", "lost_s"),
    ("/share", "share"),
    ("/axis_limit", "axis_limit"),
];

#[test]
fn json_and_table_agree() {
    let shop = shop(SOME_OF_EVERYTHING);
    let more = ["--top", "7", "--out", "out"];
    let out = corners(&shop, &[&more[..], &["--json"]].concat());
    let answer: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(shop.names("out"), ["corners.csv", "corners.svg"]);
    let table: Table = shop.table("out/corners.csv");
    let places = answer["places"].as_array().unwrap();
    let others = answer["other_places"].as_array().unwrap();
    assert_eq!(places.len(), 7);
    assert!(others.len() > 1);
    assert_eq!(table.rows.len(), places.len() + others.len() + 1);
    for (path, head) in NUMBERS {
        let column = table.numbers(head);
        for (row, field) in places.iter().zip(&column) {
            let value = row.pointer(path).unwrap().as_f64();
            // The table has nine decimals.
            let same = match (value, field) {
                (Some(value), Some(field)) => (value - field).abs() <= 1e-9,
                (None, None) => true,
                _ => false,
            };
            assert!(same, "{head}: {value:?} {field:?}");
        }
    }
    for head in ["kind", "reason", "why"] {
        for (row, text) in places.iter().zip(table.texts(head)) {
            assert_eq!(row[head], text);
        }
    }
    for (other, at) in others.iter().zip(places.len()..) {
        assert_eq!(other["reason"], table.texts("reason")[at]);
        assert_eq!(other["places"].as_f64(), table.numbers("places")[at]);
    }
    // Each row is off by its rounding to nine decimals.
    let sum: f64 = table.all("lost_s").iter().sum();
    let rounding = 1e-9 * table.rows.len() as f64;
    assert!((sum - number(&answer, "/lost_s")).abs() < rounding, "{sum}");
}

#[test]
fn the_terminal_tells_the_same() {
    let shop = shop(SOME_OF_EVERYTHING);
    let text = corners(&shop, &["--top", "3"]);
    let answer: Value = serde_json::from_str(&corners(&shop, &["--top", "3", "--json"])).unwrap();
    for row in answer["places"].as_array().unwrap() {
        let seconds = format!("{:.3}", number(row, "/lost_s"));
        let line = row["line"].to_string();
        let is_there = |shown: &str| {
            let fields: Vec<&str> = shown.split_whitespace().collect();
            fields.contains(&seconds.as_str()) && fields.contains(&line.as_str())
        };
        assert!(text.lines().any(is_there), "line {line}: {seconds}\n{text}");
        // Tables may break a sentence where it is long.
        let start: String = row["why"].as_str().unwrap().chars().take(20).collect();
        assert!(text.contains(&start), "{start}\n{text}");
    }
    for words in [
        "canned cycles",
        "dwells",
        "rapids",
        "cutting",
        "spindle starts and stops",
    ] {
        assert!(text.contains(words), "{words}\n{text}");
    }
    assert!(text.contains("Slower than 80 % of the programmed feed: "));
    assert!(!text.contains("Caution"));
    let bit = ["--flutes", "3", "--chip-load", "0.5 mm"];
    let text = corners(&shop, &bit);
    assert!(
        text.contains("Caution: a bit that moves slower than its chip load rubs"),
        "{text}"
    );
}

/// Pixels of the colour that slow stretches have (vermilion, 213 94 0).
fn vermilion(shop: &Workshop) -> usize {
    let bytes = std::fs::read(shop.path("out/corners.png")).unwrap();
    let picture = Pixmap::decode_png(&bytes).unwrap();
    let is_marked = |pixel: &&resvg::tiny_skia::PremultipliedColorU8| {
        (pixel.red(), pixel.green(), pixel.blue()) == (213, 94, 0)
    };
    picture.pixels().iter().filter(is_marked).count()
}

#[test]
fn the_picture_marks_what_is_slow_and_numbers_the_places() {
    // 20 mm between corners at 50 mm/s: 2.5 mm at each end are below it.
    let shop = shop("G21 G90\nG1 X20 F3000\nY20\nX0\nY0\n");
    let out = ["--out", "out", "--png"];
    corners(&shop, &[&out[..], &["--below", "100 %"]].concat());
    let most = vermilion(&shop);
    corners(&shop, &[&out[..], &["--below", "1 %"]].concat());
    // The swatch of the legend is there always: 22 by 12 at twice the size.
    let swatch = 44 * 24;
    let least = vermilion(&shop);
    assert!(
        least > swatch / 2 && most > least + swatch,
        "{least} {most}"
    );
    let svg = shop.text("out/corners.svg");
    roxmltree_is_sound(&svg);
    for words in [
        "Where time is lost: part.nc on test bench",
        ">\n5\n<",
        "line 2",
    ] {
        assert!(svg.contains(words), "{words}");
    }
}

/// The renderer reads the same XML as any viewer.
fn roxmltree_is_sound(svg: &str) {
    resvg::usvg::Tree::from_str(svg, &resvg::usvg::Options::default()).unwrap();
}

#[test]
fn the_worst_corner_of_a_real_program_stands_in_its_picture() {
    let shop = Workshop::new();
    let program = top().join("tests/programs/coastline.nc");
    let machine = top().join("docs/demo/belt-router.toml");
    let arguments = [
        program.as_os_str(),
        "--machine".as_ref(),
        machine.as_os_str(),
    ];
    let more = ["--out".as_ref(), "out".as_ref()];
    let said = shop.run("corners", &[&arguments[..], &more].concat());
    assert_eq!((said.status, said.err.as_str()), (0, ""));
    let table = shop.table("out/corners.csv");
    let svg = shop.text("out/corners.svg");
    for (line, why) in table.texts("line").iter().zip(table.texts("why")).take(10) {
        assert!(svg.contains(&format!("line {line}")), "{line}");
        assert!(
            svg.contains(&why.chars().take(20).collect::<String>()),
            "{why}"
        );
    }
}
