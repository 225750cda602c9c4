//! Why the machine moves as fast as it does, and no faster.

/// What holds the speed of a ramp.
///
/// ```
/// use spokeshave::Limit;
/// let names = ["x", "y", "z"];
/// let say = |limit| match limit {
///     Limit::Feed => "at the feed".into(),
///     Limit::AxisSpeed(axis) => format!("{} is at its speed limit", names[axis as usize]),
///     Limit::AxisAcceleration(axis) => format!("{} speeds up or slows", names[axis as usize]),
///     Limit::Rest => "at rest".into(),
/// };
/// assert_eq!(say(Limit::AxisSpeed(1)), "y is at its speed limit");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Limit {
    /// The feed, with its override, or the override of rapids: nothing else holds the move back.
    Feed,
    /// The speed limit of this axis (0 is the first).
    AxisSpeed(u8),
    /// The speed is changing as fast as this axis may accelerate (0 is the first); the
    /// [`LowPoint`] of the ramp says what for.
    AxisAcceleration(u8),
    /// The machine rests, as the program asks (a dwell).
    Rest,
}

/// The slow place that a speed change belongs to: braking leads to it, pulling away leads from it.
///
/// ```
/// use spokeshave::LowPoint;
/// // A longer queue helps against one of them only.
/// let wants_memory = |low| low == LowPoint::QueueEnd;
/// assert!(wants_memory(LowPoint::QueueEnd) && !wants_memory(LowPoint::Corner));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum LowPoint {
    /// A corner between two moves.
    Corner,
    /// A bend of several moves: the axes cannot turn faster along it.
    Bend,
    /// A stop that the program asks for: start and end of the job, exact stop, dwell.
    Stop,
    /// The end of the look-ahead queue: no more moves were known, so the plan ends at rest.
    QueueEnd,
    /// A feed hold, or an end that was asked for.
    Hold,
    /// A slower feed in a neighbouring move, or an override.
    Feed,
    /// A neighbouring move in which this axis (0 is the first) reaches its speed limit.
    AxisSpeed(u8),
}
