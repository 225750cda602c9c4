//! Random input: whatever the bytes, no panic; however it is printed, a program reads the same.

use crate::support::{read_with, settings};
use proptest::prelude::*;
use spokeshave_sim::motion::Action;
use spokeshave_sim::program::{Reader, Settings};

/// Reads to the end; at most one error, and it is the last item.
fn read_all(bytes: &[u8], block_delete: bool) -> Result<(), TestCaseError> {
    let settings = Settings {
        block_delete,
        ..settings()
    };
    let mut failed = false;
    // A cycle may have any number of holes: the first 10 000 items will do.
    for item in Reader::new("test.nc", bytes, settings).take(10_000) {
        prop_assert!(!failed, "goes on after an error");
        match item {
            Ok(item) => prop_assert!(item.line >= 1),
            Err(error) => {
                failed = true;
                prop_assert!(error.line() >= 1 && error.column() >= 1);
                prop_assert!(!error.cause().is_empty() && !error.remedy().is_empty());
                prop_assert!(bytes.split(|byte| *byte == b'\n').count() >= error.line() as usize);
            }
        }
    }
    Ok(())
}

/// Words in which any part of a program may turn up, good or bad.
fn scrap() -> impl Strategy<Value = String> {
    prop_oneof![
        6 => (
            "[GMNXYZIJKFPQRLSTxyzgmABDHO]",
            prop_oneof![
                "[0-9]{1,2}",
                "-?[0-9]{1,3}\\.[0-9]{0,3}",
                "(0|1|2|3|4|17|18|19|20|21|53|54|61\\.1|80|81|82|83|90|91|92|93|94|98|99)",
            ],
        )
            .prop_map(|(letter, number)| letter + &number),
        1 => "[ \t\n\r/%();#=\\[\\].+-]",
        1 => Just("\n".to_string()),
        1 => "\\PC",
    ]
}

/// The words of a line that can be read, given that a feed is set and X is not where the line before
/// left it.
fn good_line() -> impl Strategy<Value = Vec<String>> {
    let number = || (-400_000_i32..400_000).prop_map(|n| format!("{:.3}", f64::from(n) / 1000.0));
    let words = |line: &str| line.split(' ').map(String::from).collect::<Vec<_>>();
    prop_oneof![
        (number(), number()).prop_map(move |(x, y)| words(&format!("G1 X{x} Y{y}"))),
        (number(), number()).prop_map(move |(x, z)| words(&format!("G0 X{x} Z{z} G90"))),
        (number(), 1..9000_u32).prop_map(move |(y, f)| words(&format!("G1 Y{y} F{f}"))),
        number().prop_map(move |i| words(&format!("G2 G91 X0 I{}", nonzero(&i)))),
        number().prop_map(move |y| words(&format!("G81 Y{y} Z-1.5 R2 G90 L2"))),
        Just(words("G4 P.5")),
        Just(words("M3 S12000")),
        Just(words("G21 G17 G64")),
        Just(words("G54 G61.1")),
        Just(words("M1")),
    ]
}

fn nonzero(number: &str) -> String {
    if number.parse::<f64>() == Ok(0.0) {
        "1".into()
    } else {
        number.into()
    }
}

/// A line printed plainly, and again with the letters in any case, blanks anywhere, and comments
/// between words.
fn two_prints() -> impl Strategy<Value = (String, String)> {
    let blanks = prop::collection::vec("[ \t]{0,2}", 0..12);
    let dressing = (
        blanks,
        any::<u64>(),
        "(\\([a-z ]{0,5}\\))?",
        "(;[ -~]{0,8})?",
    );
    (good_line(), dressing).prop_map(|(words, (blanks, cases, comment, tail))| {
        let plain = words.join(" ") + "\n";
        let mut dressed = String::new();
        let mut place = 0;
        for word in &words {
            for c in word.chars() {
                let lower = cases >> (place % 64) & 1 == 1;
                dressed.push(if lower { c.to_ascii_lowercase() } else { c });
                if !blanks.is_empty() {
                    dressed += &blanks[place % blanks.len()];
                }
                place += 1;
            }
            dressed += &comment;
        }
        (plain, dressed + &tail + "\r\n")
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..300), delete: bool) {
        read_all(&bytes, delete)?;
    }

    #[test]
    fn any_words_never_panic(scraps in prop::collection::vec(scrap(), 0..60), delete: bool) {
        let text = scraps.join(" ");
        read_all(text.as_bytes(), delete)?;
        // And with a feed and a mode in force, so that more of them are carried out.
        read_all(format!("F100 G1\n{text}").as_bytes(), delete)?;
    }

    #[test]
    fn spacing_case_and_comments_change_nothing(
        lines in prop::collection::vec(two_prints(), 1..20)
    ) {
        let (plain, dressed): (String, String) = lines.into_iter().unzip();
        let plain = read_with(settings(), &format!("F100\n{plain}"));
        let dressed = read_with(settings(), &format!("F100\n{dressed}"));
        match (plain, dressed) {
            (Ok(plain), Ok(dressed)) => prop_assert_eq!(plain, dressed),
            (plain, dressed) => prop_assert!(false, "refused: {:?} {:?}", plain.err(), dressed.err()),
        }
    }

    #[test]
    fn arcs_by_radius_have_the_length_of_their_chord(
        (x, y) in (1.0..500.0_f64, -500.0..500.0_f64),
        ratio in 1.01..100.0_f64,
        (clockwise, longer) in any::<(bool, bool)>(),
    ) {
        // In inverse time with F60 the feed is the length. Elementary geometry: an arc of radius r
        // over a chord c turns through 2 asin(c/2r), or through the rest of a full turn.
        let chord = x.hypot(y);
        let radius = ratio * chord / 2.0;
        let shorter = 2.0 * radius * (chord / 2.0 / radius).asin();
        let length = if longer { std::f64::consts::TAU * radius - shorter } else { shorter };
        let code = if clockwise { "G2" } else { "G3" };
        let sign = if longer { "-" } else { "" };
        let program = format!("G93\n{code} X{x} Y{y} R{sign}{radius} F60");
        // The longer arcs of large radius leave the range of ±10 m, and are refused.
        if let Ok(items) = read_with(settings(), &program) {
            let Action::Move(made) = &items[0].action else { panic!("no move") };
            // The centre, up to 35 000 mm off, rounds by 1e-11 at most, against a chord of 1 mm or
            // more and seen under asin's slope, 7 at 1/1.01: below 1e-9 of the length.
            let got = made.feed.expect("a feed");
            prop_assert!((got / length - 1.0).abs() < 1e-9, "{got} is not {length}");
        } else {
            prop_assert!(longer && 2.0 * radius > 9000.0, "{program} is refused");
        }
    }

    #[test]
    fn every_line_that_moves_is_one_item(steps in prop::collection::vec(0..4_u8, 0..200)) {
        // Each line moves, rests, moves nowhere or is a comment; the end is one more.
        let mut program = String::from("G91 G1 F100\n");
        let mut expected = Vec::new();
        for (step, line) in steps.iter().zip(2..) {
            program += ["X0.5\n", "G4 P1\n", "X0\n", "(nothing)\n"][usize::from(*step)];
            if *step < 2 {
                expected.push((line, *step == 0));
            }
        }
        let items = read_with(settings(), &program).expect("is read");
        let mut got: Vec<_> = items
            .iter()
            .map(|item| (item.line, matches!(item.action, Action::Move(_))))
            .collect();
        prop_assert_eq!(got.pop(), Some((steps.len() as u32 + 1, false)));
        prop_assert_eq!(got, expected);
    }
}
