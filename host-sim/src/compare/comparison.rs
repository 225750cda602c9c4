//! What a comparison finds, and the differences against a baseline.

use crate::summary::Summary;
use crate::terminal::check_name;
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt;

/// A comparison that is done. The names are those of the JSON.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Comparison {
    /// The machines, in the order of the command line.
    pub machines: Vec<Named>,
    /// What the machine is called that the others are held against.
    pub baseline: Option<String>,
    /// A row for each program and machine: program by program.
    pub rows: Vec<Row>,
    /// A total over all programs for each machine.
    pub totals: Vec<Total>,
    /// What to know before the figures are believed, in sentences.
    pub notes: Vec<String>,
}

/// A machine and its file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Named {
    /// What it is called here: its file, as short as tells it from the others.
    pub machine: String,
    /// Its name in the file.
    pub name: String,
    /// The file, as the command line has it.
    pub file: String,
}

/// One program on one machine.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// What the program is called here.
    pub program: String,
    /// What the machine is called here.
    pub machine: String,
    /// Names of the checks that failed.
    pub failed_checks: Vec<String>,
    /// The difference against the baseline; none without one, and for itself.
    pub change: Option<Change>,
    /// All that `simulate` finds.
    pub summary: Summary,
}

/// All programs on one machine.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Total {
    /// What the machine is called here.
    pub machine: String,
    /// The times.
    #[serde(flatten)]
    pub times: Times,
    /// Length of the paths, mm.
    pub path_length_mm: f64,
    /// Of that, at a programmed feed, mm.
    pub cutting_length_mm: f64,
    /// Checks that failed, as `program: check`.
    pub failed_checks: Vec<String>,
    /// The difference against the baseline; none without one, and for itself.
    pub change: Option<Change>,
}

/// Times that are summed and compared.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Times {
    /// Job time, s.
    pub job_time_s: f64,
    /// What the programmed feeds alone would take, s.
    pub feed_time_s: f64,
    /// At rest because the program asks for it, s.
    pub rest_s: f64,
    /// Time lost by reason, s.
    pub time_lost_s: BTreeMap<String, f64>,
}

/// A difference against the baseline.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Difference {
    /// Seconds more than the baseline's.
    pub s: f64,
    /// The same as percent of the baseline's job time, so that these add up as the seconds do; none
    /// where that takes no time.
    pub percent: Option<f64>,
}

/// As in `+3.20 s, +7.1 %`.
impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // What rounds to nothing has no sign.
        let unsigned = |text: String| match text.trim_matches(['-', '0', '.']) {
            "" => text.replace('-', "+"),
            _ => text,
        };
        write!(f, "{} s", unsigned(format!("{:+.2}", self.s)))?;
        match self.percent {
            Some(percent) => write!(f, ", {} %", unsigned(format!("{percent:+.1}"))),
            None => Ok(()),
        }
    }
}

/// Differences of the times. Those of `feed_time` and of all `time_lost` add up to that of
/// `job_time`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// Of the job time.
    pub job_time: Difference,
    /// Of what the feeds alone would take: other rapids, or a feed that an axis cannot reach.
    pub feed_time: Difference,
    /// Of the time lost, by reason.
    pub time_lost: BTreeMap<String, Difference>,
}

impl Times {
    fn of(summary: &Summary) -> Self {
        Self {
            job_time_s: summary.job_time_s,
            feed_time_s: summary.feed_time_s,
            rest_s: summary.rest_s,
            time_lost_s: summary.time_lost_s.clone(),
        }
    }

    fn add(&mut self, other: &Self) {
        self.job_time_s += other.job_time_s;
        self.feed_time_s += other.feed_time_s;
        self.rest_s += other.rest_s;
        for (reason, seconds) in &other.time_lost_s {
            *self.time_lost_s.entry(reason.clone()).or_default() += seconds;
        }
    }

    /// How these times differ from those of the `baseline`.
    fn against(&self, baseline: &Self) -> Change {
        let difference = |now: f64, before: f64| Difference {
            s: now - before,
            percent: (baseline.job_time_s > 0.0)
                .then(|| 100.0 * (now - before) / baseline.job_time_s),
        };
        let lost = |times: &Self, reason| times.time_lost_s.get(reason).copied().unwrap_or(0.0);
        let reasons = self.time_lost_s.keys().chain(baseline.time_lost_s.keys());
        Change {
            job_time: difference(self.job_time_s, baseline.job_time_s),
            feed_time: difference(self.feed_time_s, baseline.feed_time_s),
            time_lost: reasons
                .map(|reason| {
                    let change = difference(lost(self, reason), lost(baseline, reason));
                    (reason.clone(), change)
                })
                .collect(),
        }
    }
}

impl Comparison {
    /// From the summaries of each of `programs` on each of `machines`, program by program, and the
    /// place of the baseline among the machines.
    pub(super) fn new(
        programs: &[String],
        machines: Vec<Named>,
        baseline: Option<usize>,
        summaries: Vec<Summary>,
        notes: Vec<String>,
    ) -> Self {
        let mut rows = Vec::new();
        let of_programs = summaries.chunks(machines.len());
        for (program, summaries) in std::iter::zip(programs, of_programs) {
            for (at, summary) in summaries.iter().enumerate() {
                let failed = summary.checks.iter().filter(|check| !check.pass);
                rows.push(Row {
                    program: program.clone(),
                    machine: machines[at].machine.clone(),
                    failed_checks: failed.map(check_name).collect(),
                    change: baseline.filter(|baseline| *baseline != at).map(|baseline| {
                        Times::of(summary).against(&Times::of(&summaries[baseline]))
                    }),
                    summary: summary.clone(),
                });
            }
        }
        let mut totals: Vec<Total> = (0..machines.len())
            .map(|at| total(rows.iter().skip(at).step_by(machines.len())))
            .collect();
        if let Some(baseline) = baseline {
            let before = totals[baseline].times.clone();
            for (at, total) in totals.iter_mut().enumerate() {
                total.change = (at != baseline).then(|| total.times.against(&before));
            }
        }
        Self {
            baseline: baseline.map(|at| machines[at].machine.clone()),
            machines,
            rows,
            totals,
            notes,
        }
    }

    /// The rows of each program, a row a machine.
    pub fn programs(&self) -> std::slice::Chunks<'_, Row> {
        self.rows.chunks(self.machines.len())
    }

    /// Every check of every run passed.
    pub fn pass(&self) -> bool {
        self.rows.iter().all(|row| row.summary.pass())
    }

    /// Every reason for which any of the runs lost time, by the names in `time_lost_s`.
    pub fn reasons(&self) -> Vec<&str> {
        let all = self
            .totals
            .iter()
            .flat_map(|each| each.times.time_lost_s.keys());
        let mut reasons: Vec<&str> = all.map(String::as_str).collect();
        reasons.sort_unstable();
        reasons.dedup();
        reasons
    }

    /// As JSON, as `compare.json` and standard output have it.
    pub fn json(&self) -> String {
        // Only a map with keys that are no strings could fail.
        serde_json::to_string_pretty(self).expect("a comparison is plain data") + "\n"
    }
}

/// The sum of the rows of one machine.
fn total<'a>(rows: impl Iterator<Item = &'a Row>) -> Total {
    let mut total = Total {
        machine: String::new(),
        times: Times::default(),
        path_length_mm: 0.0,
        cutting_length_mm: 0.0,
        failed_checks: Vec::new(),
        change: None,
    };
    for row in rows {
        total.machine.clone_from(&row.machine);
        total.times.add(&Times::of(&row.summary));
        total.path_length_mm += row.summary.path_length_mm;
        total.cutting_length_mm += row.summary.cutting_length_mm;
        let names = row.failed_checks.iter();
        let named = names.map(|check| format!("{}: {check}", row.program));
        total.failed_checks.extend(named);
    }
    total
}
