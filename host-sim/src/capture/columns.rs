//! The columns of a table: which one is the time, and in what unit.

use super::PS;
use super::rows::Rows;
use crate::input_error::InputError;
use clap::ValueEnum;
use std::io::BufRead;

/// Units that times in a table may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TimeUnit {
    /// Seconds.
    S,
    /// Milliseconds.
    Ms,
    /// Microseconds.
    Us,
    /// Nanoseconds.
    Ns,
}

impl TimeUnit {
    /// Picoseconds in it.
    pub(super) fn ps(self) -> f64 {
        PS * match self {
            Self::S => 1.0,
            Self::Ms => 1e-3,
            Self::Us => 1e-6,
            Self::Ns => 1e-9,
        }
    }

    fn read(text: &str) -> Option<Self> {
        match text {
            "s" | "sec" | "second" | "seconds" => Some(Self::S),
            "ms" | "millisecond" | "milliseconds" => Some(Self::Ms),
            "us" | "µs" | "μs" | "microsecond" | "microseconds" => Some(Self::Us),
            "ns" | "nanosecond" | "nanoseconds" => Some(Self::Ns),
            _ => None,
        }
    }
}

/// What a head says if it is that of a time: `Time [s]`, `time_us`, `t (ms)`, or `Time` alone.
fn as_time(head: &str) -> Option<Option<TimeUnit>> {
    let lower = head.to_lowercase();
    let word = lower.split(|c: char| !c.is_alphabetic());
    let mut words = word.filter(|word| !word.is_empty());
    if !matches!(words.next(), Some("time" | "t" | "timestamp")) {
        return None;
    }
    let (unit, more) = (words.next(), words.next());
    match (unit, more) {
        (None, _) => Some(None),
        (Some(unit), None) => TimeUnit::read(unit).map(Some),
        _ => None,
    }
}

/// The column of the time and picoseconds in its unit; `given` is the unit that the user names.
pub(super) fn time<R: BufRead>(
    rows: &Rows<R>,
    given: Option<TimeUnit>,
    formats: &str,
) -> Result<(usize, f64), InputError> {
    let heads = rows.heads().iter().enumerate();
    let times: Vec<_> = heads
        .filter_map(|(at, head)| Some((at, as_time(head)?)))
        .collect();
    match times[..] {
        [] => Err(rows.fault(
            0..0,
            "this is not a capture: it does not begin with $ like a value change dump, and no \
             column has a head such as `Time [s]` or `time_us`"
                .into(),
            formats,
        )),
        [(at, said)] => match (said, given) {
            (Some(said), Some(given)) if said != given => Err(rows.fault_at(
                at,
                "the head says another unit of the time than --time-unit does".into(),
                "leave out --time-unit, or correct the head",
            )),
            (Some(unit), _) | (None, Some(unit)) => Ok((at, unit.ps())),
            (None, None) => Err(rows.fault_at(
                at,
                "the times of this column have no unit".into(),
                "say it with --time-unit s (or ms, us, ns), or write it into the head, as in \
                 `Time [s]`",
            )),
        },
        [_, (second, _), ..] => Err(rows.fault_at(
            second,
            "there is more than one column of times".into(),
            "leave one of them, or give the others a head that does not begin with `time`",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heads_of_times() {
        for (head, said) in [
            ("Time [s]", Some(Some(TimeUnit::S))),
            ("time_us", Some(Some(TimeUnit::Us))),
            ("T (µs)", Some(Some(TimeUnit::Us))),
            ("Timestamp", Some(None)),
            ("time", Some(None)),
            ("timer", None),
            ("time_x_step", None),
            ("t3", Some(None)),
            ("x_step", None),
        ] {
            assert_eq!(as_time(head), said, "{head}");
        }
    }
}
