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
    /// Speed of a shaft, read in rpm.
    Rotation,
    /// Read in steps/s.
    StepRate,
    /// Read in N·m.
    Torque,
    /// Read in kg.
    Mass,
    /// Read in N.
    Force,
    /// Mass moment of inertia, read in kg·m².
    Inertia,
    /// Read in A.
    Current,
    /// Read in H.
    Inductance,
    /// Read in ohm.
    Resistance,
    /// Read in V.
    Voltage,
    /// Read in degrees.
    Angle,
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
const ROTATIONS: &[Unit] = &[decimal("rpm", 0), scaled("turns/s", 0, 60.0, 1.0)];
const STEP_RATES: &[Unit] = &[decimal("steps/s", 0)];
// A pound is 0.453 592 37 kg exactly (international yard and pound agreement, 1959), an ounce a
// sixteenth of it. As forces they act under standard gravity: 1 lbf = 4.448 221 615 260 5 N and
// 1 kgf = 9.806 65 N exactly. Times an inch: 1 lbf in = 0.112 984 829 027 616 7 N·m exactly.
const TORQUES: &[Unit] = &[
    decimal("N m", 0),
    decimal("Nm", 0),
    decimal("N cm", -2),
    decimal("Ncm", -2),
    decimal("mN m", -3),
    decimal("mNm", -3),
    scaled("oz in", -16, 1_129_848_290_276_167.0, 16.0),
    scaled("ozf in", -16, 1_129_848_290_276_167.0, 16.0),
    scaled("lbf in", -16, 1_129_848_290_276_167.0, 1.0),
    scaled("kgf cm", -7, 980_665.0, 1.0),
];
const MASSES: &[Unit] = &[
    decimal("kg", 0),
    decimal("g", -3),
    scaled("lb", -8, 45_359_237.0, 1.0),
];
const FORCES: &[Unit] = &[
    decimal("N", 0),
    decimal("kN", 3),
    scaled("lbf", -13, 44_482_216_152_605.0, 1.0),
    scaled("kgf", -5, 980_665.0, 1.0),
];
// A square inch is 645.16 mm², so 1 lb in² = 2.926 396 534 292e-4 kg·m² exactly.
const INERTIAS: &[Unit] = &[
    decimal("kg m^2", 0),
    decimal("kg m²", 0),
    decimal("kg cm^2", -4),
    decimal("kg cm²", -4),
    decimal("g cm^2", -7),
    decimal("g cm²", -7),
    scaled("oz in^2", -16, 2_926_396_534_292.0, 16.0),
    scaled("oz in²", -16, 2_926_396_534_292.0, 16.0),
    scaled("lb in^2", -16, 2_926_396_534_292.0, 1.0),
    scaled("lb in²", -16, 2_926_396_534_292.0, 1.0),
];
const CURRENTS: &[Unit] = &[decimal("A", 0), decimal("mA", -3)];
const INDUCTANCES: &[Unit] = &[decimal("H", 0), decimal("mH", -3), decimal("µH", -6)];
const RESISTANCES: &[Unit] = &[decimal("ohm", 0), decimal("Ω", 0), decimal("mohm", -3)];
const VOLTAGES: &[Unit] = &[decimal("V", 0)];
const ANGLES: &[Unit] = &[
    decimal("degrees", 0),
    decimal("degree", 0),
    decimal("deg", 0),
    decimal("°", 0),
];

impl Kind {
    pub(super) const ALL: [Self; 20] = [
        Self::Length,
        Self::Speed,
        Self::Acceleration,
        Self::Resolution,
        Self::Time,
        Self::Duration,
        Self::Years,
        Self::Frequency,
        Self::Part,
        Self::Rotation,
        Self::StepRate,
        Self::Torque,
        Self::Mass,
        Self::Force,
        Self::Inertia,
        Self::Current,
        Self::Inductance,
        Self::Resistance,
        Self::Voltage,
        Self::Angle,
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
            Self::Rotation => ROTATIONS,
            Self::StepRate => STEP_RATES,
            Self::Torque => TORQUES,
            Self::Mass => MASSES,
            Self::Force => FORCES,
            Self::Inertia => INERTIAS,
            Self::Current => CURRENTS,
            Self::Inductance => INDUCTANCES,
            Self::Resistance => RESISTANCES,
            Self::Voltage => VOLTAGES,
            Self::Angle => ANGLES,
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
            Self::Rotation => "a rotational speed",
            Self::StepRate => "a step rate",
            Self::Torque => "a torque",
            Self::Mass => "a mass",
            Self::Force => "a force",
            Self::Inertia => "a moment of inertia",
            Self::Current => "a current",
            Self::Inductance => "an inductance",
            Self::Resistance => "a resistance",
            Self::Voltage => "a voltage",
            Self::Angle => "an angle",
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
            Self::Rotation => "600 rpm",
            Self::StepRate => "1000 steps/s",
            Self::Torque => "0.6 N m",
            Self::Mass => "5 kg",
            Self::Force => "20 N",
            Self::Inertia => "54 g cm^2",
            Self::Current => "2 A",
            Self::Inductance => "3 mH",
            Self::Resistance => "1.5 ohm",
            Self::Voltage => "36 V",
            Self::Angle => "30 degrees",
        }
    }

    pub(super) fn list_of_units(self) -> String {
        let names: Vec<_> = self.units().iter().map(|unit| unit.name).collect();
        names.join(", ")
    }
}
