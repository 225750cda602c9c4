//! What came of the events of a script.

use super::ByAxis;
use crate::run::Happened;
use serde::Serialize;

/// An event of a script, and what came of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Event {
    /// As the script has it: `hold`, `feed 50 %`.
    pub what: String,
    /// When it happened, s.
    pub at_s: f64,
    /// From when on it acts, s: later by what was queued.
    pub acts_s: f64,
    /// The line of the program that runs then.
    pub line: u32,
    /// The speed there, mm/s.
    pub speed_mm_s: f64,
    /// When the machine rests, for what brings it to rest, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rests_s: Option<f64>,
    /// From `at_s` to `rests_s`, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reaction_s: Option<f64>,
    /// The longest that this may take, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub promised_s: Option<f64>,
    /// Where it rests, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rests_mm: Option<ByAxis<f64>>,
    /// Where the motors stood at a contact, to the step, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub contact_mm: Option<ByAxis<f64>>,
}

impl From<Happened> for Event {
    fn from(happened: Happened) -> Self {
        let rests_s = happened.rests.map(|(rests_s, _)| rests_s);
        Self {
            what: happened.what.to_string(),
            at_s: happened.at_s,
            acts_s: happened.acts_s,
            line: happened.line,
            speed_mm_s: happened.speed_mm_s,
            rests_s,
            reaction_s: rests_s.map(|rests_s| rests_s - happened.at_s),
            promised_s: happened.promised_s,
            rests_mm: happened.rests.map(|(_, at)| at.into()),
            contact_mm: happened.contact_mm.map(ByAxis::from),
        }
    }
}
