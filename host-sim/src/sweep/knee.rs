//! Where more buys little.

use serde::Serialize;

/// A step buys little where it saves less than this part of the job time.
pub const LITTLE: f64 = 0.01;

/// Where more of a setting begins to buy less than [`LITTLE`] a step, for good.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case", tag = "knee", content = "index")]
pub enum Knee {
    /// At this value, counted from 0: the step to it bought as much, none after it does.
    At(usize),
    /// No step buys as much: the first value is past the knee.
    Before,
    /// The last step still does: the knee lies beyond the values tried.
    Beyond,
    /// There are no two neighbours to compare.
    Unknown,
}

/// The knee of job times along the values of a setting, from less to more of it; `None` where a
/// value is refused.
///
/// ```
/// use spokeshave_sim::sweep::{Knee, knee};
/// let times = [100.0, 90.0, 85.0, 84.5, 84.2].map(Some);
/// assert_eq!(knee(&times), Knee::At(2));
/// assert_eq!(knee(&times[..3]), Knee::Beyond);
/// assert_eq!(knee(&times[2..]), Knee::Before);
/// ```
pub fn knee(times: &[Option<f64>]) -> Knee {
    let steps: Vec<(usize, bool)> = times
        .windows(2)
        .enumerate()
        .filter_map(|(index, pair)| {
            let (before, after) = (pair[0]?, pair[1]?);
            Some((index + 1, before - after >= LITTLE * before))
        })
        .collect();
    let last_that_buys = steps.iter().rposition(|(_, buys)| *buys);
    match (last_that_buys, steps.len()) {
        (_, 0) => Knee::Unknown,
        (None, _) => Knee::Before,
        (Some(at), count) if at + 1 == count => Knee::Beyond,
        (Some(at), _) => Knee::At(steps[at].0),
    }
}
