//! What the reasons are called, wherever they are shown: in files, tables, plots and reports.

use crate::trace::{Override, Reason};
use spokeshave::{Limit, LowPoint};

/// What each axis gives to one kind of name, in the order of the axes, and a name for an axis that
/// the host tool does not know.
struct PerAxis {
    names: [&'static str; crate::motion::AXES],
    other: &'static str,
}

impl PerAxis {
    fn of(&self, axis: u8) -> &'static str {
        self.names
            .get(usize::from(axis))
            .copied()
            .unwrap_or(self.other)
    }
}

/// What holds the speed, by name: `feed`, `x speed`, `y acceleration`, `rest`.
pub fn limit_name(limit: Limit) -> &'static str {
    const SPEED: PerAxis = PerAxis {
        names: ["x speed", "y speed", "z speed"],
        other: "other axis speed",
    };
    const ACCELERATION: PerAxis = PerAxis {
        names: ["x acceleration", "y acceleration", "z acceleration"],
        other: "other axis acceleration",
    };
    match limit {
        Limit::Feed => "feed",
        Limit::AxisSpeed(axis) => SPEED.of(axis),
        Limit::AxisAcceleration(axis) => ACCELERATION.of(axis),
        Limit::Rest => "rest",
    }
}

/// What the speed changes for, by name: `corner`, `bend`, `stop`, `end of queue`, `feed hold`, `slower feed
/// nearby`, `slower x nearby`.
pub fn low_point_name(low_point: LowPoint) -> &'static str {
    const SLOWER: PerAxis = PerAxis {
        names: ["slower x nearby", "slower y nearby", "slower z nearby"],
        other: "slower other axis nearby",
    };
    match low_point {
        LowPoint::Corner => "corner",
        LowPoint::Bend => "bend",
        LowPoint::Stop => "stop",
        LowPoint::QueueEnd => "end of queue",
        LowPoint::Hold => "feed hold",
        LowPoint::Feed => "slower feed nearby",
        LowPoint::AxisSpeed(axis) => SLOWER.of(axis),
    }
}

/// The one reason for the speed of a ramp or a move, under which time is counted: while the speed
/// changes, what it changes for; else what holds it. It is the key of `time_lost_s` in
/// `summary.json` and the value of `limited_by` in `moves.csv`.
///
/// ```
/// use spokeshave::{Limit, LowPoint};
/// use spokeshave_sim::output::wording::reason_name;
/// assert_eq!(reason_name(Limit::AxisSpeed(0), LowPoint::Stop), "x speed");
/// assert_eq!(reason_name(Limit::AxisAcceleration(0), LowPoint::Corner), "corner");
/// ```
pub fn reason_name(limit: Limit, low_point: LowPoint) -> &'static str {
    match limit {
        // A rest that the program does not ask for.
        Limit::Rest if low_point != LowPoint::Stop => low_point_name(low_point),
        Limit::AxisAcceleration(_) => low_point_name(low_point),
        Limit::Feed | Limit::AxisSpeed(_) | Limit::Rest => limit_name(limit),
    }
}

/// The reason as a reader of tables takes it, after "time lost to": `corners`, `bends`, `starts and
/// stops`, `the speed limit of x`. There is one for each [`reason_name`].
pub fn reason_words(limit: Limit, low_point: LowPoint) -> &'static str {
    const SPEED: PerAxis = PerAxis {
        names: [
            "the speed limit of x",
            "the speed limit of y",
            "the speed limit of z",
        ],
        other: "the speed limit of another axis",
    };
    const SLOWER: PerAxis = PerAxis {
        names: [
            "moves nearby that x slows",
            "moves nearby that y slows",
            "moves nearby that z slows",
        ],
        other: "moves nearby that another axis slows",
    };
    match (limit, low_point) {
        (Limit::Feed, _) => "the programmed feed",
        (Limit::AxisSpeed(axis), _) => SPEED.of(axis),
        (_, LowPoint::Hold) => "feed holds",
        (Limit::Rest, LowPoint::Stop) => "rests",
        (_, LowPoint::Corner) => "corners",
        (_, LowPoint::Bend) => "bends",
        (_, LowPoint::Stop) => "starts and stops",
        (_, LowPoint::QueueEnd) => "the end of the look-ahead queue",
        (_, LowPoint::Feed) => "slower feeds nearby",
        (_, LowPoint::AxisSpeed(axis)) => SLOWER.of(axis),
    }
}

impl Reason {
    /// Its name: [`reason_name`], `feed override` or `rapid override`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Planned(limit, low_point) => reason_name(limit, low_point),
            Self::Override(Override::Feed(_)) => "feed override",
            Self::Override(Override::Rapid(_)) => "rapid override",
        }
    }

    /// As a reader of tables takes it: [`reason_words`], `feed overrides` or `rapid overrides`.
    pub fn words(self) -> &'static str {
        match self {
            Self::Planned(limit, low_point) => reason_words(limit, low_point),
            Self::Override(Override::Feed(_)) => "feed overrides",
            Self::Override(Override::Rapid(_)) => "rapid overrides",
        }
    }
}
