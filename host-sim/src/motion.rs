//! What a part program asks the machine to do: the form between the program reader and the rest.
//!
//! All positions are machine coordinates in mm, all speeds mm/s, all times s. Axes come in the
//! order x, y, z.

/// Number of axes the host tool knows: x, y and z (two motors on one axis count as one).
pub const AXES: usize = 3;

/// Letters of the axes, in order.
pub const AXIS_NAMES: [char; AXES] = ['x', 'y', 'z'];

/// A position, or any triple of one number an axis.
pub type Point = [f64; AXES];

/// One thing that the program asks for, with the line (from 1) that asks for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Line of the part program, from 1.
    pub line: u32,
    /// What to do.
    pub action: Action,
}

/// What the machine does.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Move along a path.
    Move(Move),
    /// Come to rest, stay so for `seconds` (0 or more), go on.
    Rest {
        /// How long the machine rests, s. 0 where only the stop itself is asked for.
        seconds: f64,
        /// Why.
        why: RestReason,
    },
}

/// Why a program makes the machine rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RestReason {
    /// G4, or a dwell inside a canned cycle.
    Dwell,
    /// M0 or M1: the operator must act.
    OperatorStop,
    /// M3, M4 or M5: the spindle starts or stops while the axes rest.
    Spindle,
    /// M6: the tool changes while the axes rest.
    ToolChange,
    /// G61.1: each move ends at rest.
    ExactStop,
    /// M2 or M30: the end of the program.
    End,
}

/// A move from where the last one ended.
#[derive(Clone, Debug, PartialEq)]
pub struct Move {
    /// Rapid, line or arc.
    pub kind: MoveKind,
    /// Start, mm.
    pub from: Point,
    /// End, mm.
    pub to: Point,
    /// Programmed feed, mm/s, more than 0; `None` for a rapid.
    pub feed: Option<f64>,
    /// The arc, where `kind` is [`MoveKind::Arc`].
    pub arc: Option<Arc>,
    /// The machine comes to rest at the end (G61.1, exact stop).
    pub exact_stop: bool,
    /// It is part of a canned cycle.
    pub in_cycle: bool,
    /// Spindle speed, 1/min, more than 0; `None` while the program has the spindle stand still or
    /// does not say how fast it turns.
    pub spindle_rpm: Option<f64>,
}

/// Kinds of moves, as the files name them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MoveKind {
    /// G0.
    Rapid,
    /// G1.
    Line,
    /// G2 and G3.
    Arc,
    /// No move of the program: motors take up the backlash of axes that turn back.
    TakeUp,
}

impl MoveKind {
    /// The name used in files and tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Rapid => "rapid",
            Self::Line => "line",
            Self::Arc => "arc",
            Self::TakeUp => "take-up",
        }
    }
}

/// A circular or helical arc, already resolved to its centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// The two axes of its plane, first and second, so that a turn from the first to the second
    /// is counter-clockwise: (0, 1) for G17, (2, 0) for G18, (1, 2) for G19.
    pub plane: (usize, usize),
    /// Centre in the plane, mm.
    pub centre: [f64; 2],
    /// G2 (clockwise) or G3.
    pub clockwise: bool,
    /// Turns begun: 1 for up to a full circle (an arc that ends where it starts is a full circle).
    pub turns: u32,
}
