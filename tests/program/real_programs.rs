//! The three real programs, read fully. Moves and cutting lengths are counted here by other means:
//! lines split at blanks, no modal state but the motion and the position.

use crate::support::settings;
use spokeshave_sim::motion::{Action, MoveKind};
use spokeshave_sim::program::open;
use std::path::Path;

struct Count {
    rapids: usize,
    cuts: usize,
    cutting_mm: f64,
}

fn count_by_hand(text: &str) -> Count {
    let mut count = Count {
        rapids: 0,
        cuts: 0,
        cutting_mm: 0.0,
    };
    let (mut position, mut cutting) = ([0.0_f64; 3], false);
    for line in text.lines().filter(|line| !line.starts_with('(')) {
        let mut to = position;
        for word in line.split(' ') {
            let (letter, number) = word.split_at(1);
            match (letter, word) {
                (_, "G0") => cutting = false,
                (_, "G1") => cutting = true,
                ("X", _) => to[0] = number.parse().expect("a number"),
                ("Y", _) => to[1] = number.parse().expect("a number"),
                ("Z", _) => to[2] = number.parse().expect("a number"),
                _ => {}
            }
        }
        let squares: f64 = (0..3).map(|axis| (to[axis] - position[axis]).powi(2)).sum();
        if squares > 0.0 {
            if cutting {
                count.cuts += 1;
                count.cutting_mm += squares.sqrt();
            } else {
                count.rapids += 1;
            }
        }
        position = to;
    }
    count
}

#[test]
fn real_programs_are_read_fully() {
    // The least number of moves is the number of lines with X, less those that repeat a place.
    for (name, least) in [
        ("coastline.nc", 3000),
        ("lettering.nc", 300),
        ("relief.nc", 12_900),
    ] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("programs")
            .join(name);
        let text = std::fs::read_to_string(&path).expect("the program is there");
        let expected = count_by_hand(&text);
        let (mut rapids, mut cuts, mut cutting_mm, mut last, mut ends) = (0, 0, 0.0, 0, 0);
        let mut position = [0.0; 3];
        let mut reader = open(&path, settings()).expect("opens");
        for item in reader.by_ref() {
            let item = item.expect("is read");
            assert!(item.line >= last, "{name}: lines run back");
            last = item.line;
            match item.action {
                Action::Move(made) => {
                    assert_eq!(made.from, position, "{name}: moves do not join");
                    position = made.to;
                    if made.kind == MoveKind::Rapid {
                        rapids += 1;
                    } else {
                        let squares: f64 =
                            (0..3).map(|i| (made.to[i] - made.from[i]).powi(2)).sum();
                        cuts += 1;
                        cutting_mm += squares.sqrt();
                        assert!(made.feed.is_some_and(|feed| feed > 0.0));
                    }
                }
                Action::Rest { .. } => ends += 1,
            }
        }
        assert_eq!((rapids, cuts), (expected.rapids, expected.cuts), "{name}");
        assert!(rapids + cuts >= least, "{name}: {} moves", rapids + cuts);
        // The same squares summed in the same order.
        assert_eq!(cutting_mm, expected.cutting_mm, "{name}");
        // M3, M5, M2.
        assert_eq!((ends, last as usize), (3, text.lines().count()), "{name}");
        assert_eq!(
            reader
                .notes()
                .iter()
                .map(|note| note.word)
                .collect::<Vec<_>>(),
            ["S"]
        );
    }
}
