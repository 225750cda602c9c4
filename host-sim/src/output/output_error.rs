//! The error for output that cannot be written.

use miette::Diagnostic;
use std::io;
use std::path::Path;

/// A file or folder that cannot be written: what, why, and what to do.
#[derive(Debug, thiserror::Error, Diagnostic)]
#[error("{cause}")]
pub struct OutputError {
    cause: String,
    #[help]
    remedy: String,
    #[source]
    source: Option<io::Error>,
}

impl OutputError {
    /// The error `source` while `doing` something to `path`, as in "cannot create out/moves.csv".
    pub fn new(doing: &str, path: &Path, source: io::Error) -> Self {
        let remedy = match source.kind() {
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                "choose a folder that you may write to"
            }
            io::ErrorKind::StorageFull => "make room on the disk, or choose a folder on another",
            _ => "check the path, or choose another folder",
        };
        Self {
            cause: format!("cannot {doing} {}: {source}", path.display()),
            remedy: remedy.into(),
            source: Some(source),
        }
    }

    /// An error with no cause in the file system.
    pub fn refused(cause: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            cause: cause.into(),
            remedy: remedy.into(),
            source: None,
        }
    }

    /// What is wrong.
    pub fn cause(&self) -> &str {
        &self.cause
    }

    /// What to do about it.
    pub fn remedy(&self) -> &str {
        &self.remedy
    }
}
