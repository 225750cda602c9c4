//! The machine file with the limits that were worked out, and the files that `size` writes.

use super::axis::AxisSize;
use super::{Limits, Sizing};
use crate::input_error::InputError;
use crate::machine_file::{self, Draft};
use crate::motion::AXIS_NAMES;
use crate::output::output_error::OutputError;
use crate::output::staging::Staging;
use crate::setting::digits;
use crate::simulate::cannot_write;
use std::io::Write;
use std::path::{Path, PathBuf};
use toml_edit::{DocumentMut, Item, TableLike, value};

/// The text of the machine file at `path` with the limits of `sizing` where it has none (all of them
/// where `anew` is true); comments and order stay.
///
/// # Errors
/// An axis has neither limits nor a motor; or the result would be refused.
pub(super) fn with_limits(
    path: &Path,
    text: &str,
    draft: &Draft,
    sizing: &Sizing,
    anew: bool,
) -> Result<String, InputError> {
    let name = path.display().to_string();
    let refused = |cause: String, remedy: &str| InputError::whole(&name, cause, remedy);
    let mut document: DocumentMut = text.parse().map_err(|error| {
        refused(
            format!("the file cannot be edited: {error}"),
            "write it anew",
        )
    })?;
    for (axis, axis_name) in draft.axes.iter().zip(AXIS_NAMES) {
        let found = sizing.axes.iter().find(|axis| axis.axis == axis_name);
        let missing = axis.speed_limit_mm_s.is_none() || axis.acceleration_limit_mm_s2.is_none();
        let limits = found.and_then(|found| found.limits);
        let Some(limits) = limits else {
            if missing {
                return Err(refused(
                    format!("axis {axis_name} has no limits, and no motor to work them out from"),
                    "give the axis a drive, a load and a motor, or write its limits yourself",
                ));
            }
            continue;
        };
        let table = document
            .get_mut("axis")
            .and_then(Item::as_table_like_mut)
            .and_then(|axes| axes.get_mut(&axis_name.to_string()))
            .and_then(Item::as_table_like_mut)
            .ok_or_else(|| {
                refused(
                    format!("axis {axis_name} is not a table"),
                    "write it as one",
                )
            })?;
        if anew || axis.speed_limit_mm_s.is_none() {
            set(table, "speed_limit", limits.speed_mm_s, "mm/s");
        }
        if anew || axis.acceleration_limit_mm_s2.is_none() {
            set(
                table,
                "acceleration_limit",
                limits.acceleration_mm_s2,
                "mm/s^2",
            );
        }
    }
    let written = document.to_string();
    // The library ends lines in one way; the file keeps its own.
    let written = if text.contains("\r\n") && !written.contains("\r\n") {
        written.replace('\n', "\r\n")
    } else {
        written
    };
    machine_file::read(&name, &written)?;
    Ok(written)
}

/// Sets a limit; what stands behind an old one in its line stays there.
fn set(table: &mut dyn TableLike, key: &str, limit: f64, unit: &str) {
    let mut new = value(format!("{} {unit}", digits(limit)));
    let old = table.get(key).and_then(Item::as_value);
    if let (Some(old), Some(new)) = (old, new.as_value_mut()) {
        *new.decor_mut() = old.decor().clone();
    }
    table.insert(key, new);
}

/// Refuses to write over anything.
///
/// # Errors
/// `out` is the machine file itself, is there already, or names a folder.
pub(super) fn refuse_no_new_file(machine: &Path, out: &Path) -> Result<(), OutputError> {
    let shown = out.display();
    let (cause, remedy) = if out.is_dir() || shown.to_string().ends_with(std::path::is_separator) {
        let remedy = format!(
            "add the name of a file, as in {}",
            out.join("sized.toml").display()
        );
        (format!("{shown} is a folder, but must be a file"), remedy)
    } else if out.symlink_metadata().is_err() {
        return Ok(());
    } else if matches!((machine.canonicalize(), out.canonicalize()), (Ok(a), Ok(b)) if a == b) {
        let remedy = "name another file, look at it, and then put it in the place of the old one";
        (format!("{shown} is the machine file itself"), remedy.into())
    } else {
        let remedy = "name a new file, or delete or move away the old one first";
        (format!("{shown} is there already"), remedy.into())
    };
    Err(OutputError::refused(cause, remedy))
}

/// A file under way, and its like beside it.
pub(super) struct Output {
    staging: Staging,
    name: PathBuf,
}

impl Output {
    /// Begins the file `path`.
    ///
    /// # Errors
    /// It names no file, or nothing can be written there.
    pub(super) fn begin(path: &Path) -> Result<Self, OutputError> {
        let folder = match path.parent() {
            Some(folder) if folder != Path::new("") => folder,
            _ => Path::new("."),
        };
        let Some(name) = path.file_name() else {
            return Err(OutputError::refused(
                format!("{} names no file", path.display()),
                "write the name of a file",
            ));
        };
        Ok(Self {
            staging: Staging::begin(folder)?,
            name: name.into(),
        })
    }

    /// Writes all of it.
    pub(super) fn write(&mut self, bytes: &[u8]) -> Result<(), OutputError> {
        let name = self.name.clone();
        self.write_as(&name, bytes)
    }

    /// Writes a file of the same name with another extension.
    pub(super) fn write_beside(
        &mut self,
        extension: &str,
        bytes: &[u8],
    ) -> Result<(), OutputError> {
        let name = self.name.with_extension(extension);
        if name == self.name {
            return Err(OutputError::refused(
                format!("{} would be the SVG and the PNG", name.display()),
                "name the picture with the extension .svg",
            ));
        }
        self.write_as(&name, bytes)
    }

    fn write_as(&mut self, name: &Path, bytes: &[u8]) -> Result<(), OutputError> {
        let name = name.to_string_lossy();
        let mut file = self.staging.file(&name)?;
        file.write_all(bytes).map_err(cannot_write(&name))
    }

    /// Puts it in its place.
    pub(super) fn finish(self) -> Result<(), OutputError> {
        self.staging.finish()
    }
}

impl AxisSize {
    /// Its limits as text: speed and acceleration.
    pub(super) fn limits_as_text(limits: &Limits) -> (String, String) {
        (
            format!("{} mm/s", digits(limits.speed_mm_s)),
            format!("{} mm/s²", digits(limits.acceleration_mm_s2)),
        )
    }
}
