//! What quantities measure, and the units they may be written in.

/// What a quantity measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Read in mm.
    Length,
    /// Read in mm/s.
    Speed,
    /// Read in mm/s².
    Acceleration,
    /// Read in steps/mm.
    Resolution,
    /// Read in s.
    Time,
    /// How long work takes, read in s.
    Duration,
    /// How long a thing is in use, read in years.
    Years,
    /// Read in Hz.
    Frequency,
    /// A part of something, read as a factor.
    Part,
}

/// A unit is worth 10^`tens` · `over` / `under` of the unit that its kind is read in. The power of
/// ten goes into the text of the number, so that a decimal quantity is the nearest `f64` to what
/// was written; the other factors are whole numbers, so that exact results stay exact.
pub(super) struct Unit {
    pub(super) name: &'static str,
    pub(super) tens: i64,
    pub(super) over: f64,
    pub(super) under: f64,
}

const fn decimal(name: &'static str, tens: i64) -> Unit {
    scaled(name, tens, 1.0, 1.0)
}

const fn scaled(name: &'static str, tens: i64, over: f64, under: f64) -> Unit {
    Unit {
        name,
        tens,
        over,
        under,
    }
}

// An inch is 25.4 mm exactly (international yard and pound agreement, 1959): 254/10.
const LENGTHS: &[Unit] = &[
    decimal("mm", 0),
    decimal("um", -3),
    decimal("µm", -3),
    decimal("cm", 1),
    decimal("m", 3),
    scaled("in", 0, 254.0, 10.0),
];
const SPEEDS: &[Unit] = &[
    decimal("mm/s", 0),
    scaled("mm/min", 0, 1.0, 60.0),
    decimal("m/s", 3),
    scaled("m/min", 3, 1.0, 60.0),
    scaled("in/s", 0, 254.0, 10.0),
    scaled("in/min", 0, 254.0, 600.0),
];
// Standard gravity is 9.80665 m/s² exactly (3rd CGPM, 1901).
const ACCELERATIONS: &[Unit] = &[
    decimal("mm/s^2", 0),
    decimal("mm/s²", 0),
    decimal("m/s^2", 3),
    decimal("m/s²", 3),
    scaled("in/s^2", 0, 254.0, 10.0),
    scaled("in/s²", 0, 254.0, 10.0),
    scaled("g", 0, 980_665.0, 100.0),
];
const RESOLUTIONS: &[Unit] = &[decimal("steps/mm", 0), scaled("steps/in", 0, 10.0, 254.0)];
const TIMES: &[Unit] = &[
    decimal("s", 0),
    decimal("ms", -3),
    decimal("us", -6),
    decimal("µs", -6),
    decimal("ns", -9),
];
const DURATIONS: &[Unit] = &[
    decimal("s", 0),
    scaled("min", 0, 60.0, 1.0),
    scaled("h", 0, 3600.0, 1.0),
];
const YEARS: &[Unit] = &[decimal("years", 0), decimal("year", 0)];
const FREQUENCIES: &[Unit] = &[decimal("Hz", 0), decimal("kHz", 3), decimal("MHz", 6)];

const PARTS: &[Unit] = &[decimal("%", -2)];

impl Kind {
    pub(super) const ALL: [Self; 9] = [
        Self::Length,
        Self::Speed,
        Self::Acceleration,
        Self::Resolution,
        Self::Time,
        Self::Duration,
        Self::Years,
        Self::Frequency,
        Self::Part,
    ];

    pub(super) fn units(self) -> &'static [Unit] {
        match self {
            Self::Length => LENGTHS,
            Self::Speed => SPEEDS,
            Self::Acceleration => ACCELERATIONS,
            Self::Resolution => RESOLUTIONS,
            Self::Time => TIMES,
            Self::Duration => DURATIONS,
            Self::Years => YEARS,
            Self::Frequency => FREQUENCIES,
            Self::Part => PARTS,
        }
    }

    /// The kind with its article, as in "a speed is due here".
    pub fn article_name(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Speed => "a speed",
            Self::Acceleration => "an acceleration",
            Self::Resolution => "a resolution",
            Self::Time => "a time",
            Self::Duration => "a duration",
            Self::Years => "a number of years",
            Self::Frequency => "a frequency",
            Self::Part => "a percentage",
        }
    }

    /// A quantity of this kind as it may be written.
    pub fn example(self) -> &'static str {
        match self {
            Self::Length => "0.02 mm",
            Self::Speed => "8 m/min",
            Self::Acceleration => "500 mm/s^2",
            Self::Resolution => "80 steps/mm",
            Self::Time => "2 us",
            Self::Duration => "25 min",
            Self::Years => "5 years",
            Self::Frequency => "1 MHz",
            Self::Part => "50 %",
        }
    }

    pub(super) fn list_of_units(self) -> String {
        let names: Vec<_> = self.units().iter().map(|unit| unit.name).collect();
        names.join(", ")
    }
}
