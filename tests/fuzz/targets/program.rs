//! Any bytes as a part program, with and without travel limits and block delete.

#![no_main]

use libfuzzer_sys::fuzz_target;
use spokeshave_fuzz::refused;
use spokeshave_sim::motion::{Action, Item};
use spokeshave_sim::program::{Reader, Settings};

/// A line can ask for many items, by L of a canned cycle for one; more are not looked at.
const MOST_ITEMS: usize = 20_000;

fuzz_target!(|text: &[u8]| {
    read(
        text,
        Settings {
            start: [0.0; 3],
            work_zero_mm: std::array::from_fn(|k| [10.0 * k as f64; 3]),
            travel_mm: Some([[-50.0, 250.0]; 3]),
            block_delete: false,
        },
    );
    read(
        text,
        Settings {
            start: [12.5, -7.25, 3.0],
            work_zero_mm: [[12.5, 0.0, 3.0]; 6],
            travel_mm: None,
            block_delete: true,
        },
    );
});

fn read(text: &[u8], settings: Settings) {
    let limits = settings.travel_mm;
    let mut at = settings.start;
    let mut reader = Reader::new("fuzz.nc", text, settings);
    let lines = 1 + text.iter().filter(|byte| **byte == b'\n').count();
    let mut over = false;
    for item in reader.by_ref().take(MOST_ITEMS) {
        assert!(!over, "something comes after an error");
        match item {
            Ok(item) => {
                assert!((1..=lines).contains(&(item.line as usize)), "{item:?}");
                makes_sense(&item, &mut at, limits);
            }
            Err(error) => {
                refused::says_what_and_where(&error, text);
                over = true;
            }
        }
    }
    for note in reader.notes() {
        assert!((1..=lines).contains(&(note.line as usize)), "{note:?}");
    }
}

/// An item has finite numbers in their ranges, and begins where the last one ended.
fn makes_sense(item: &Item, at: &mut [f64; 3], limits: Option<[[f64; 2]; 3]>) {
    match &item.action {
        Action::Rest { seconds, .. } => {
            assert!(seconds.is_finite() && *seconds >= 0.0, "{item:?}");
        }
        Action::Move(path) => {
            assert_eq!(path.from, *at, "{item:?}");
            *at = path.to;
            for axis in 0..3 {
                let [lower, upper] = limits.map_or([-1e4, 1e4], |limits| limits[axis]);
                // Sums of a few numbers may round.
                let inside = lower - 1e-6..=upper + 1e-6;
                assert!(inside.contains(&path.to[axis]), "{item:?}");
            }
            for positive in [path.feed, path.spindle_rpm].into_iter().flatten() {
                assert!(positive.is_finite() && positive > 0.0, "{item:?}");
            }
            if let Some(arc) = &path.arc {
                assert!(arc.centre.iter().all(|mm| mm.is_finite()), "{item:?}");
                assert!(arc.turns >= 1, "{item:?}");
            }
        }
    }
}
