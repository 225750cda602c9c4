//! What each G and M code means, its modal group (NIST IR 6556, table 4), and why the others are
//! refused.

use super::modal::{Cycle, Distance, FeedMode, Motion, Plane, Retract, Unit};

/// A G code that is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum GCode {
    Motion(Motion),
    Plane(Plane),
    Distance(Distance),
    FeedMode(FeedMode),
    Unit(Unit),
    Retract(Retract),
    /// Index of the work offset, 0 for G54.
    WorkOffset(usize),
    Path(PathControl),
    Once(Once),
    Harmless(Harmless),
}

/// Path control (group 13).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PathControl {
    /// G61.
    ExactPath,
    /// G61.1.
    ExactStop,
    /// G64.
    Continuous,
}

/// Codes that act on their own line alone (group 0).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Once {
    /// G4.
    Dwell,
    /// G53.
    MachineCoordinates,
    /// G92.
    SetShift,
    /// G92.1.
    ForgetShift,
    /// G92.2.
    SuspendShift,
    /// G92.3.
    RestoreShift,
}

/// An M code that is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum MCode {
    /// M0, M1.
    OperatorStop,
    /// M2, M30.
    End,
    /// M3, M4 (it turns), M5.
    Spindle {
        turns: bool,
    },
    /// M6.
    ToolChange,
    Harmless(Harmless),
}

/// Words that ask nothing of the axes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Harmless {
    CutterCompensationOff,
    ToolLengthOff,
    Mist,
    Flood,
    CoolantOff,
    OverridesOn,
    OverridesOff,
    SpindleSpeed,
    Tool,
    DeletedBlock,
}

impl Harmless {
    /// The word as programs write it, and why it may be left alone.
    pub fn describe(self) -> (&'static str, &'static str) {
        match self {
            Self::CutterCompensationOff => (
                "G40",
                "cutter compensation off: it is never on, since G41 and G42 are refused",
            ),
            Self::ToolLengthOff => (
                "G49",
                "tool length offset off: it is never on, since G43 is refused",
            ),
            Self::Mist => ("M7", "mist coolant: moves no axis"),
            Self::Flood => ("M8", "flood coolant: moves no axis"),
            Self::CoolantOff => ("M9", "coolant off: moves no axis"),
            Self::OverridesOn => ("M48", "override switches on: none is used here"),
            Self::OverridesOff => ("M49", "override switches off: none is used here"),
            Self::SpindleSpeed => ("S", "spindle speed: the spindle is not simulated"),
            Self::Tool => ("T", "tool number: tools are not simulated"),
            Self::DeletedBlock => ("/", "lines left out, as block delete asks"),
        }
    }

    /// Words of one group must not meet on a line.
    pub fn group(self) -> Group {
        match self {
            Self::CutterCompensationOff => Group::CutterCompensation,
            Self::ToolLengthOff => Group::ToolLength,
            Self::Mist => Group::Mist,
            Self::Flood => Group::Flood,
            Self::CoolantOff => Group::CoolantOff,
            Self::OverridesOn | Self::OverridesOff => Group::Overrides,
            Self::SpindleSpeed => Group::SpindleSpeed,
            Self::Tool => Group::Tool,
            Self::DeletedBlock => Group::BlockDelete,
        }
    }
}

/// Groups of harmless words. M7 and M8 may be on together, so each has its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Group {
    CutterCompensation,
    ToolLength,
    Mist,
    Flood,
    CoolantOff,
    Overrides,
    SpindleSpeed,
    Tool,
    BlockDelete,
}

/// Cause and remedy of a code that is not read.
pub(super) type Refusal = (String, String);

/// The G code with this number.
pub(super) fn g_code(number: f64) -> Result<GCode, Refusal> {
    let code = match tenths(number) {
        Some(0) => GCode::Motion(Motion::Rapid),
        Some(10) => GCode::Motion(Motion::Line),
        Some(20) => GCode::Motion(Motion::Arc { clockwise: true }),
        Some(30) => GCode::Motion(Motion::Arc { clockwise: false }),
        Some(40) => GCode::Once(Once::Dwell),
        Some(170) => GCode::Plane(Plane::Xy),
        Some(180) => GCode::Plane(Plane::Zx),
        Some(190) => GCode::Plane(Plane::Yz),
        Some(200) => GCode::Unit(Unit::Inch),
        Some(210) => GCode::Unit(Unit::Mm),
        Some(400) => GCode::Harmless(Harmless::CutterCompensationOff),
        Some(490) => GCode::Harmless(Harmless::ToolLengthOff),
        Some(530) => GCode::Once(Once::MachineCoordinates),
        Some(540) => GCode::WorkOffset(0),
        Some(550) => GCode::WorkOffset(1),
        Some(560) => GCode::WorkOffset(2),
        Some(570) => GCode::WorkOffset(3),
        Some(580) => GCode::WorkOffset(4),
        Some(590) => GCode::WorkOffset(5),
        Some(610) => GCode::Path(PathControl::ExactPath),
        Some(611) => GCode::Path(PathControl::ExactStop),
        Some(640) => GCode::Path(PathControl::Continuous),
        Some(800) => GCode::Motion(Motion::Cancelled),
        Some(810) => GCode::Motion(Motion::Cycle(Cycle::Drill)),
        Some(820) => GCode::Motion(Motion::Cycle(Cycle::DrillDwell)),
        Some(830) => GCode::Motion(Motion::Cycle(Cycle::Peck)),
        Some(900) => GCode::Distance(Distance::Absolute),
        Some(910) => GCode::Distance(Distance::Incremental),
        Some(920) => GCode::Once(Once::SetShift),
        Some(921) => GCode::Once(Once::ForgetShift),
        Some(922) => GCode::Once(Once::SuspendShift),
        Some(923) => GCode::Once(Once::RestoreShift),
        Some(930) => GCode::FeedMode(FeedMode::InverseTime),
        Some(940) => GCode::FeedMode(FeedMode::PerMinute),
        Some(980) => GCode::Retract(Retract::Initial),
        Some(990) => GCode::Retract(Retract::RPlane),
        other => return Err(refused_g(number, other)),
    };
    Ok(code)
}

fn refused_g(number: f64, tenths: Option<u32>) -> Refusal {
    let (why, remedy) = match tenths {
        Some(100) => (
            "sets a work offset from the program, which is not read",
            "write the work zero into the machine file",
        ),
        Some(280 | 281 | 300 | 301) => (
            "goes to a reference position that the machine file does not hold",
            "write the target out, as in G53 G0 Z0",
        ),
        Some(382) => (
            "probes: where it would stop depends on the workpiece",
            "take the probing out of the program that is simulated",
        ),
        Some(410 | 420) => (
            "asks for cutter radius compensation, which is not read",
            "let the CAM program put out the path of the tool centre",
        ),
        Some(430 | 431) => (
            "asks for a tool length offset, which is not read",
            "set the work zero for the tool, and take this word out",
        ),
        Some(591..=593) => (
            "is a work offset beyond the six of the machine file",
            "use G54 to G59",
        ),
        Some(840 | 850 | 860 | 870 | 880 | 890) => (
            "is a canned cycle that needs the spindle, which is not simulated",
            "use G81, G82 or G83, or write the moves out",
        ),
        _ => (
            "is not a code that is read here",
            "read are G0 to G4, G17 to G21, G40, G49, G53 to G59, G61, G61.1, G64, G80 to G83, \
             G90 to G94, G92.1 to G92.3, G98 and G99",
        ),
    };
    (format!("G{number} {why}"), remedy.into())
}

/// The M code with this number.
pub(super) fn m_code(number: f64) -> Result<MCode, Refusal> {
    let code = match tenths(number) {
        Some(0 | 10) => MCode::OperatorStop,
        Some(20 | 300) => MCode::End,
        Some(30 | 40) => MCode::Spindle { turns: true },
        Some(50) => MCode::Spindle { turns: false },
        Some(60) => MCode::ToolChange,
        Some(70) => MCode::Harmless(Harmless::Mist),
        Some(80) => MCode::Harmless(Harmless::Flood),
        Some(90) => MCode::Harmless(Harmless::CoolantOff),
        Some(480) => MCode::Harmless(Harmless::OverridesOn),
        Some(490) => MCode::Harmless(Harmless::OverridesOff),
        other => {
            let (why, remedy) = match other {
                Some(600) => (
                    "changes a pallet, which is not simulated",
                    "use M0 where the operator must act",
                ),
                Some(980 | 990) => (
                    "calls or ends a subprogram, which is not read",
                    "let the CAM program put out one program without subprograms",
                ),
                _ => (
                    "is not a code that is read here",
                    "read are M0 to M9, M30, M48 and M49",
                ),
            };
            return Err((format!("M{number} {why}"), remedy.into()));
        }
    };
    Ok(code)
}

/// The number of a code in tenths, where it is one: not negative, at most one decimal. NIST IR 6556
/// §3.3.2.1 lets a number that must be whole be off by 0.0001; here it must be what it says.
fn tenths(number: f64) -> Option<u32> {
    let tenths = number * 10.0;
    let whole = tenths.round();
    // 1e-9: ten times a decimal such as 61.1 is off by a rounding, not by more.
    ((0.0..=9999.0).contains(&whole) && (tenths - whole).abs() < 1e-9).then_some(whole as u32)
}
