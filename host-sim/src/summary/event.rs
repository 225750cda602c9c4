//! What came of the events of a script.

use super::ByAxis;
use crate::run::Happened;
use crate::script::What;
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
    /// When the machine rests, where the event brings it to rest, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rests_s: Option<f64>,
    /// How long it stands there, s; none where the job ends there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stands_s: Option<f64>,
    /// From `at_s` to `rests_s`, s, for a hold, an end and a contact.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reaction_s: Option<f64>,
    /// The longest that this may take, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub promised_s: Option<f64>,
    /// The line of the program on whose move it rests.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rests_line: Option<u32>,
    /// Where it rests, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rests_mm: Option<ByAxis<f64>>,
    /// Where the motors stood at a contact, to the step, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub contact_mm: Option<ByAxis<f64>>,
    /// What it is.
    #[serde(skip)]
    pub kind: What,
}

impl Event {
    /// The job ends by it, wherever the program is.
    pub fn ends_the_job(&self) -> bool {
        matches!(self.kind, What::End | What::Contact)
    }
}

impl From<Happened> for Event {
    fn from(happened: Happened) -> Self {
        let stand = happened.stand;
        let rests_s = stand.map(|stand| stand.from_s);
        let brakes = happened.promised_s.is_some();
        Self {
            what: happened.what.to_string(),
            at_s: happened.at_s,
            acts_s: happened.acts_s,
            line: happened.line,
            speed_mm_s: happened.speed_mm_s,
            rests_s,
            stands_s: stand.and_then(|stand| Some(stand.until_s? - stand.from_s)),
            reaction_s: rests_s
                .filter(|_| brakes)
                .map(|rests_s| rests_s - happened.at_s),
            promised_s: happened.promised_s,
            rests_line: stand.map(|stand| stand.line),
            rests_mm: stand.map(|stand| stand.at.into()),
            contact_mm: happened.contact_mm.map(ByAxis::from),
            kind: happened.what,
        }
    }
}
