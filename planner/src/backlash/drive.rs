//! Which way an axis was driven.

/// Which way an axis was driven last, against its load.
///
/// ```
/// use spokeshave::Drive;
/// // A machine that was just switched on.
/// let drives = [Drive::Unknown; 3];
/// assert_eq!(drives[0], Drive::default());
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Drive {
    /// Nobody knows.
    #[default]
    Unknown,
    /// The way its position grows, and further than its play.
    Forward,
    /// The other way, and further than its play.
    Back,
}
