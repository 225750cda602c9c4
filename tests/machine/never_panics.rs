//! Whatever the text, the reader answers.

use super::GOOD;
use proptest::prelude::*;
use spokeshave_sim::input_error::InputError;
use spokeshave_sim::quantity::{self, Kind};
use spokeshave_sim::{jobs_file, machine_file};
use std::path::Path;

/// Reads `text`; where it is refused, the place must lie inside the text.
fn answers(text: &str) {
    is_in_place(text, machine_file::read("machine.toml", text).err());
}

/// The demo's jobs file.
const JOBS: &str = include_str!("../../docs/demo/jobs.toml");

/// The same of a jobs file. What it names lies in another folder, so errors about these files may come
/// too.
fn jobs_answer(text: &str) {
    let folder = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../docs/demo"));
    let error = jobs_file::read("jobs.toml", text, folder).err();
    is_in_place(text, error.filter(|error| error.file() == "jobs.toml"));
}

fn is_in_place(text: &str, error: Option<InputError>) {
    if let Some(error) = error {
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
    fn a_good_jobs_file_with_a_stretch_replaced(
        at in 0..JOBS.len(),
        length in 0_usize..30,
        by in "[ -~\nµ]{0,12}",
    ) {
        let end = (at + length).min(JOBS.len());
        jobs_answer(&format!("{}{by}{}", &JOBS[..at], &JOBS[end..]));
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
            Kind::Duration,
            Kind::Years,
        ] {
            match quantity::parse(&text, kind) {
                Ok(value) => assert!(value.is_finite()),
                Err(error) => assert!(text.get(error.span).is_some()),
            }
        }
        for an_hour in [false, true] {
            if let Err(error) = quantity::money(&text, "kr", an_hour) {
                assert!(text.get(error.span).is_some());
            }
        }
    }
}
