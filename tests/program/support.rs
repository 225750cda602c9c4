//! Reading programs from text, and comparing moves.

use spokeshave_sim::input_error::InputError;
use spokeshave_sim::motion::{Action, Item, Move, Point, RestReason};
use spokeshave_sim::program::{Reader, Settings};

/// Work zeros at the machine zero, no travel limits, block delete off.
pub fn settings() -> Settings {
    Settings {
        start: [0.0; 3],
        work_zero_mm: [[0.0; 3]; 6],
        travel_mm: None,
        block_delete: false,
    }
}

pub fn read_with(settings: Settings, program: &str) -> Result<Vec<Item>, InputError> {
    Reader::new("test.nc", program.as_bytes(), settings).collect()
}

pub fn read(program: &str) -> Vec<Item> {
    read_with(settings(), program).unwrap_or_else(|error| {
        panic!(
            "{program:?} is refused: {error} ({}:{})",
            error.line(),
            error.column()
        )
    })
}

pub fn moves_of(items: &[Item]) -> Vec<Move> {
    items
        .iter()
        .filter_map(|item| match &item.action {
            Action::Move(made) => Some(made.clone()),
            Action::Rest { .. } => None,
        })
        .collect()
}

pub fn moves(program: &str) -> Vec<Move> {
    moves_of(&read(program))
}

pub fn rests(items: &[Item]) -> Vec<(u32, f64, RestReason)> {
    items
        .iter()
        .filter_map(|item| match item.action {
            Action::Rest { seconds, why } => Some((item.line, seconds, why)),
            Action::Move(_) => None,
        })
        .collect()
}

/// Two points are one to the rounding of a few sums of numbers up to 1000: 1e-12 is 8 units in the
/// last place of 1000.
pub fn near(a: &Point, b: &Point) -> bool {
    a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12)
}

#[track_caller]
pub fn assert_ends(moves: &[Move], ends: &[Point]) {
    let got: Vec<Point> = moves.iter().map(|made| made.to).collect();
    assert_eq!(got.len(), ends.len(), "{got:?}");
    for (got, end) in got.iter().zip(ends) {
        assert!(near(got, end), "{got:?} is not {end:?}");
    }
    for pair in moves.windows(2) {
        assert_eq!(pair[0].to, pair[1].from, "moves do not join");
    }
}

/// A program that must be refused, with the line and column of its error and a part of its cause.
pub type Malformed = (&'static str, (u32, usize), &'static str);

#[track_caller]
pub fn assert_refused(table: &[Malformed]) {
    let mut wrong = String::new();
    for (program, place, cause) in table {
        let found = match read_with(settings(), program) {
            Ok(items) => format!("is read, as {} items", items.len()),
            Err(error) => {
                assert!(!error.remedy().is_empty(), "{program:?} has no remedy");
                assert_eq!(error.file(), "test.nc");
                let found = (error.line(), error.column());
                if found == *place && error.cause().contains(cause) {
                    continue;
                }
                format!(
                    "fails at {}:{}: {}",
                    error.line(),
                    error.column(),
                    error.cause()
                )
            }
        };
        wrong += &format!("\n{program:?} should fail at {place:?} ({cause}) but {found}");
    }
    assert!(wrong.is_empty(), "{wrong}");
}
