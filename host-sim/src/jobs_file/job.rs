//! The tables `[job.…]`.

use super::{Job, ranges, tables};
use crate::input_error::InputError;
use crate::toml_file::{Sum, Table, Value};
use std::path::{Path, PathBuf};

/// Reads the jobs in the order of the file.
pub(super) fn read_all(
    top: &Table<'_>,
    folder: &Path,
    price: &Sum<'_>,
) -> Result<Vec<Job>, InputError> {
    let all = tables(top, "job", ranges::MOST_JOBS)?.into_iter();
    all.map(|(name, table)| read(name, &table, folder, price))
        .collect()
}

fn read(
    name: String,
    table: &Table<'_>,
    folder: &Path,
    price: &Sum<'_>,
) -> Result<Job, InputError> {
    let work = |key| match table.optional(key) {
        Some(value) => value.within(&ranges::WORK),
        None => Ok(0.0),
    };
    Ok(Job {
        name,
        programs: programs(table, folder)?,
        parts_a_year: table
            .required("parts_a_year")?
            .whole(ranges::PARTS_A_YEAR)?,
        parts_per_set_up: match table.optional("parts_per_set_up") {
            Some(value) => value.whole(ranges::PARTS_PER_SET_UP)?,
            None => 1,
        },
        set_up_s: table.required("set_up")?.within(&ranges::WORK)?,
        by_hand_s: table.required("by_hand")?.within(&ranges::WORK)?,
        left_by_hand_s: work("left_by_hand")?,
        consumables: match table.optional("consumables") {
            Some(value) => value.money(price)?,
            None => 0.0,
        },
        material_mm: match table.optional("material") {
            Some(value) => Some(value.three(&ranges::MATERIAL)?),
            None => None,
        },
    })
}

/// The programs, which must be files: they are read more than once.
fn programs(table: &Table<'_>, folder: &Path) -> Result<Vec<PathBuf>, InputError> {
    let value = table.required("program")?;
    let named = value.one_or_more()?;
    if named.len() > ranges::MOST_PROGRAMS {
        let cause = format!("{} programs are too many for one job", named.len());
        let remedy = format!("name {} at most", ranges::MOST_PROGRAMS);
        return Err(value.error(cause, remedy));
    }
    let file = |(text, value): (String, Value<'_>)| {
        let path = folder.join(text);
        let cause = match path.metadata() {
            Ok(found) if found.is_file() => return Ok(path),
            Ok(_) => format!("the part program {} is not a file", path.display()),
            Err(error) => format!(
                "the part program {} cannot be opened: {error}",
                path.display()
            ),
        };
        Err(value.error(cause, "name a file from the folder of the jobs file"))
    };
    named.into_iter().map(file).collect()
}
