//! No half-written output: files are written to a temporary folder and moved to theirs when all
//! are done.

use super::output_error::OutputError;
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// Files under way to a folder. Dropped before [`Staging::finish`], it leaves no trace; a program that
/// is killed drops nothing, and leaves the temporary folder.
///
/// ```
/// # let place = tempfile::tempdir().unwrap();
/// # let folder = place.path().join("out");
/// use spokeshave_sim::output::staging::Staging;
/// use std::io::Write;
/// let mut staging = Staging::begin(&folder)?;
/// writeln!(staging.file("moves.csv")?, "line,kind").unwrap();
/// assert!(!folder.exists());
/// staging.finish()?;
/// assert!(folder.join("moves.csv").exists());
/// # Ok::<(), spokeshave_sim::output::output_error::OutputError>(())
/// ```
pub struct Staging {
    /// Holds the folders `new`, the files written, and `old`, the files that they replace.
    temporary: TempDir,
    folder: PathBuf,
    exists: bool,
    names: Vec<String>,
}

impl Staging {
    /// Begins output to `folder`, which need not exist yet.
    ///
    /// The temporary folder lies beside `folder`, or, where nothing can be moved from there (no
    /// permission, another file system), inside it.
    ///
    /// # Errors
    ///
    /// `folder` is a file, or nothing can be written there.
    pub fn begin(folder: &Path) -> Result<Self, OutputError> {
        let error = |error| OutputError::new("write to", folder, error);
        let exists = folder.exists();
        if exists && !folder.is_dir() {
            return Err(OutputError::refused(
                format!("{} is a file, but must be a folder", folder.display()),
                "name another folder for the output, or move the file away",
            ));
        }
        // A link is followed, so that what it points to is filled and not replaced.
        let folder = if exists {
            folder.canonicalize()
        } else {
            std::path::absolute(folder)
        }
        .map_err(error)?;
        let temporary = temporary_folder(&folder, exists).map_err(error)?;
        // Made as any folder is, with the usual permissions: it may become the folder itself.
        fs::create_dir(temporary.path().join("new")).map_err(error)?;
        fs::create_dir(temporary.path().join("old")).map_err(error)?;
        Ok(Self {
            temporary,
            folder,
            exists,
            names: Vec::new(),
        })
    }

    /// A new file, which will have `name` in the folder.
    ///
    /// # Errors
    ///
    /// It cannot be created; or the folder holds a folder of that name.
    pub fn file(&mut self, name: &str) -> Result<File, OutputError> {
        let target = self.folder.join(name);
        if target.is_dir() {
            return Err(OutputError::refused(
                format!("{} is a folder, but a file goes there", target.display()),
                "name another folder for the output, or move that one away",
            ));
        }
        let path = self.temporary.path().join("new").join(name);
        let file =
            File::create_new(path).map_err(|error| OutputError::new("create", &target, error))?;
        self.names.push(name.to_owned());
        Ok(file)
    }

    /// Moves all files to the folder. Files of the same names there are replaced, all others stay.
    ///
    /// # Errors
    ///
    /// A file cannot be moved. Then the folder is left, or put back, as it was.
    pub fn finish(self) -> Result<(), OutputError> {
        let error = |error| OutputError::new("write to", &self.folder, error);
        let new = self.temporary.path().join("new");
        let old = self.temporary.path().join("old");
        if self.exists {
            return match replace_all(&new, &old, &self.folder, &self.names) {
                Ok(()) => Ok(()),
                Err(Failure::PutBack(why)) => Err(error(why)),
                Err(Failure::Scattered(why)) => {
                    let kept = self.temporary.keep();
                    Err(OutputError::refused(
                        format!(
                            "cannot write to {}: {why}, and its older files could not be put back",
                            self.folder.display()
                        ),
                        format!("they are in {}: move them back by hand", kept.display()),
                    ))
                }
            };
        }
        if let Some(parent) = self.folder.parent() {
            fs::create_dir_all(parent).map_err(error)?;
        }
        fs::rename(&new, &self.folder).map_err(error)
    }
}

/// A temporary folder from which files can be moved into `folder`, or renamed to it.
fn temporary_folder(folder: &Path, exists: bool) -> io::Result<TempDir> {
    let beside = folder.ancestors().skip(1).find(|path| path.is_dir());
    let inside = exists.then_some(folder);
    let mut last_error = io::ErrorKind::NotFound.into();
    for place in beside.into_iter().chain(inside) {
        let made = tempfile::Builder::new()
            .prefix(".spokeshave-")
            .tempdir_in(place)
            .and_then(|temporary| {
                if exists {
                    try_move(temporary.path(), folder)?;
                }
                Ok(temporary)
            });
        match made {
            Ok(temporary) => return Ok(temporary),
            Err(error) => last_error = error,
        }
    }
    Err(last_error)
}

/// Whether a folder can be moved from `temporary` to `folder`, found out by doing it: better now
/// than at the end of a long run.
fn try_move(temporary: &Path, folder: &Path) -> io::Result<()> {
    let trial = tempfile::Builder::new()
        .prefix(".spokeshave-")
        .tempdir_in(temporary)?;
    let moved = folder.join(trial.path().file_name().unwrap_or_default());
    fs::rename(trial.path(), &moved)?;
    fs::remove_dir(moved)
}

/// Why files could not be moved.
#[derive(Debug)]
enum Failure {
    /// Everything is where it was.
    PutBack(io::Error),
    /// Some of the older files are still in `old`.
    Scattered(io::Error),
}

/// Moves the files `names` from `new` to `folder`, and those of the same names there to `old`; on
/// an error moves everything back.
fn replace_all(new: &Path, old: &Path, folder: &Path, names: &[String]) -> Result<(), Failure> {
    let mut done: Vec<(PathBuf, PathBuf)> = Vec::new();
    let mut go = |from: PathBuf, to: PathBuf| -> io::Result<()> {
        fs::rename(&from, &to)?;
        done.push((from, to));
        Ok(())
    };
    let moved = names.iter().try_for_each(|name| {
        // A link counts, wherever it points: it is the name that is taken.
        if folder.join(name).symlink_metadata().is_ok() {
            go(folder.join(name), old.join(name))?;
        }
        go(new.join(name), folder.join(name))
    });
    moved.map_err(|why| {
        let back = done.iter().rev().map(|(from, to)| fs::rename(to, from));
        // All of them are tried, whatever becomes of one.
        if back.fold(true, |all, one| all & one.is_ok()) {
            Failure::PutBack(why)
        } else {
            Failure::Scattered(why)
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_cannot_be_moved_puts_everything_back() {
        let place = tempfile::tempdir().unwrap();
        let [new, old, folder] = ["new", "old", "folder"].map(|name| place.path().join(name));
        for folder in [&new, &old, &folder] {
            fs::create_dir(folder).unwrap();
        }
        fs::write(folder.join("a"), "older a").unwrap();
        fs::write(folder.join("c"), "older c").unwrap();
        fs::write(new.join("a"), "newer a").unwrap();
        fs::write(new.join("b"), "newer b").unwrap();
        // There is no new c, so its move fails, after the older c is gone.
        let names = ["a", "b", "c"].map(String::from);
        let failure = replace_all(&new, &old, &folder, &names).unwrap_err();
        assert!(matches!(failure, Failure::PutBack(why) if why.kind() == io::ErrorKind::NotFound));
        assert_eq!(fs::read_to_string(folder.join("a")).unwrap(), "older a");
        assert_eq!(fs::read_to_string(folder.join("c")).unwrap(), "older c");
        assert!(!folder.join("b").exists());
    }
}
