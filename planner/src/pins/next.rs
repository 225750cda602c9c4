//! When the timer interrupt is needed next.

/// When to call [`Bank::turn`](super::Bank::turn) again.
///
/// ```
/// use spokeshave::pins::Next;
/// let arm = |next, now: u64| match next {
///     Next::At(tick) if tick <= now => Some(now + 1), // as soon as the timer can
///     Next::At(tick) => Some(tick),
///     Next::Idle | Next::Stopped => None,
/// };
/// assert_eq!(arm(Next::At(90), 100), Some(101));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[must_use = "the timer must be armed, or the next edge does not come"]
pub enum Next {
    /// At this tick; at once where it is past.
    At(u64),
    /// When there are pulse trains again: all steps are made, all step lines at rest.
    Idle,
    /// Never: the bank is not settled yet, or an error stopped it. No edge is made before
    /// [`Bank::settle`](super::Bank::settle).
    Stopped,
}
