//! Whatever the text, the reader answers.

use super::GOOD;
use proptest::prelude::*;
use spokeshave_sim::machine_file;
use spokeshave_sim::quantity::{self, Kind};

/// Reads `text`; where it is refused, the place must lie inside the text.
fn answers(text: &str) {
    if let Err(error) = machine_file::read("machine.toml", text) {
        let lines = 1 + text.matches('\n').count();
        assert!((1..=lines).contains(&(error.line() as usize)));
        let line = text.split('\n').nth(error.line() as usize - 1).unwrap();
        assert!((1..=line.chars().count() + 1).contains(&error.column()));
        assert!(!error.cause().is_empty() && !error.remedy().is_empty());
    }
}

proptest! {
    #[test]
    fn any_text(text in ".*") {
        answers(&text);
    }

    #[test]
    fn any_lines(text in proptest::collection::vec("[ -~\r\n\"'\\[\\]=.#éµ]{0,20}", 0..8)) {
        answers(&text.join("\n"));
    }

    #[test]
    fn a_good_file_with_a_stretch_replaced(
        at in 0..GOOD.len(),
        length in 0_usize..30,
        by in "[ -~\nµ]{0,12}",
    ) {
        let end = (at + length).min(GOOD.len());
        answers(&format!("{}{by}{}", &GOOD[..at], &GOOD[end..]));
    }

    #[test]
    fn any_quantity(text in "[-+]?[0-9.eE]{0,6} ?[ -~µ²]{0,8}") {
        for kind in [
            Kind::Length,
            Kind::Speed,
            Kind::Acceleration,
            Kind::Resolution,
            Kind::Time,
            Kind::Frequency,
        ] {
            match quantity::parse(&text, kind) {
                Ok(value) => assert!(value.is_finite()),
                Err(error) => assert!(text.get(error.span).is_some()),
            }
        }
    }
}
