//! What the job time is made of: cutting, rapids, canned cycles, dwells, and the waits that a
//! program asks for without saying how long.

use crate::motion::{Action, Item, MoveKind, RestReason};
use crate::trace::Slice;
use serde::Serialize;

/// A part of the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Moves at a programmed feed.
    Cutting,
    /// Rapids.
    Rapids,
    /// All moves of canned cycles, their rapids with them.
    CannedCycles,
    /// Dwells: G4, and at the bottom of canned cycles.
    Dwells,
    /// M3 to M5. The program does not say how long the spindle takes.
    SpindleWaits,
    /// M6. The program does not say how long it takes.
    ToolChanges,
    /// M0 and M1. The program does not say how long they take.
    OperatorStops,
    /// Motors that take up backlash, while the axes stand.
    TakeUps,
    /// Standing because of a script of events: feed holds, and no moves from the main loop.
    Standstills,
}

impl Part {
    /// All parts, in the order of tables.
    pub const ALL: [Self; 9] = [
        Self::Cutting,
        Self::Rapids,
        Self::CannedCycles,
        Self::Dwells,
        Self::SpindleWaits,
        Self::ToolChanges,
        Self::OperatorStops,
        Self::TakeUps,
        Self::Standstills,
    ];

    /// Its name in tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Cutting => "cutting",
            Self::Rapids => "rapids",
            Self::CannedCycles => "canned cycles",
            Self::Dwells => "dwells",
            Self::SpindleWaits => "spindle starts and stops",
            Self::ToolChanges => "tool changes",
            Self::OperatorStops => "stops for the operator",
            Self::TakeUps => "taking up backlash",
            Self::Standstills => "holds and stalls",
        }
    }

    /// It is a wait, whose length the program does not say.
    pub fn is_open(self) -> bool {
        matches!(
            self,
            Self::SpindleWaits | Self::ToolChanges | Self::OperatorStops
        )
    }

    fn of_rest(why: RestReason) -> Option<Self> {
        match why {
            RestReason::Dwell => Some(Self::Dwells),
            RestReason::Spindle => Some(Self::SpindleWaits),
            RestReason::ToolChange => Some(Self::ToolChanges),
            RestReason::OperatorStop => Some(Self::OperatorStops),
            RestReason::End | RestReason::ExactStop => None,
        }
    }

    fn of_move(is_rapid: bool, in_cycle: bool) -> Self {
        match (in_cycle, is_rapid) {
            (true, _) => Self::CannedCycles,
            (false, true) => Self::Rapids,
            (false, false) => Self::Cutting,
        }
    }

    /// The part that a slice belongs to. A rest for which no reason is known is a dwell.
    fn of_slice(slice: &Slice) -> Self {
        match slice.kind {
            None if slice.is_standstill() => Self::Standstills,
            Some(MoveKind::TakeUp) => Self::TakeUps,
            Some(kind) => Self::of_move(kind == MoveKind::Rapid, slice.in_cycle),
            None => slice.stop.and_then(Self::of_rest).unwrap_or(Self::Dwells),
        }
    }
}

/// What one part comes to.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PartTime {
    /// The part.
    pub part: Part,
    /// How many moves, arcs as one, or rests; of standstills, how many times the machine stands.
    pub count: u64,
    /// Length of path, mm.
    pub length_mm: f64,
    /// Time, s. All parts add up to the job time.
    pub time_s: f64,
    /// Of that, time lost against the speeds that the program asks for, s: below 0 where overrides gain some, and of
    /// standstills all.
    pub lost_s: f64,
}

/// The parts of a job.
///
/// ```
/// use spokeshave_sim::job_time::{JobTime, Part};
/// use spokeshave_sim::motion::{Action, Item, RestReason};
/// let mut job = JobTime::default();
/// let action = Action::Rest { seconds: 0.0, why: RestReason::ToolChange };
/// job.item(&Item { line: 7, action });
/// // One tool change, of which nobody knows how long it takes.
/// let change = job.parts().find(|part| part.part == Part::ToolChanges).unwrap();
/// assert_eq!((change.count, change.time_s), (1, 0.0));
/// assert!(change.part.is_open());
/// ```
#[derive(Clone, Debug)]
pub struct JobTime {
    parts: [PartTime; Part::ALL.len()],
    /// The last slice was of a standstill, which goes on.
    stands: bool,
}

impl Default for JobTime {
    fn default() -> Self {
        let none = |part| PartTime {
            part,
            count: 0,
            length_mm: 0.0,
            time_s: 0.0,
            lost_s: 0.0,
        };
        Self {
            parts: Part::ALL.map(none),
            stands: false,
        }
    }
}

impl JobTime {
    fn part(&mut self, part: Part) -> &mut PartTime {
        &mut self.parts[part as usize]
    }

    /// Counts what the program asks for.
    pub fn item(&mut self, item: &Item) {
        let part = match &item.action {
            Action::Move(path) => Some(Part::of_move(path.feed.is_none(), path.in_cycle)),
            Action::Rest { why, .. } => Part::of_rest(*why),
        };
        if let Some(part) = part {
            self.part(part).count += 1;
        }
    }

    /// Adds the time of a slice.
    pub fn slice(&mut self, slice: &Slice) {
        let stood = std::mem::replace(&mut self.stands, slice.is_standstill());
        let begins = self.stands && !stood;
        let part = self.part(Part::of_slice(slice));
        part.count += u64::from(begins);
        part.time_s += slice.duration_s;
        part.lost_s += slice.lost_s();
        if slice.kind.is_some() {
            part.length_mm += slice.length_mm;
        }
    }

    /// This and what another counted of the same job: one the items, say, and one the slices.
    pub fn join(&mut self, other: &Self) {
        for (part, other) in self.parts.iter_mut().zip(&other.parts) {
            part.count += other.count;
            part.length_mm += other.length_mm;
            part.time_s += other.time_s;
            part.lost_s += other.lost_s;
        }
    }

    /// The parts that the job has, in the order of [`Part::ALL`].
    pub fn parts(&self) -> impl Iterator<Item = PartTime> {
        self.parts
            .into_iter()
            .filter(|part| part.count > 0 || part.time_s > 0.0)
    }
}
