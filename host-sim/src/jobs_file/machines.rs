//! The tables `[machine.…]`.

use super::{Considered, ranges, tables};
use crate::input_error::InputError;
use crate::machine_file;
use crate::toml_file::{Sum, Table};
use std::path::{Path, PathBuf};

/// Reads the machines in the order of the file, each once.
pub(super) fn read_all(
    top: &Table<'_>,
    folder: &Path,
    price: &Sum<'_>,
    an_hour: &Sum<'_>,
) -> Result<Vec<Considered>, InputError> {
    let mut machines: Vec<Considered> = Vec::new();
    let mut true_paths: Vec<PathBuf> = Vec::new();
    for (label, table) in tables(top, "machine", ranges::MOST_MACHINES)? {
        let value = table.required("file")?;
        let path = folder.join(value.one_line()?);
        let true_path = path.canonicalize().map_err(|error| {
            let cause = format!(
                "the machine file {} cannot be read: {error}",
                path.display()
            );
            value.error(cause, "name a file from the folder of the jobs file")
        })?;
        if let Some(at) = true_paths.iter().position(|other| *other == true_path) {
            let cause = format!(
                "{} is the machine file of `{}` already",
                path.display(),
                machines[at].label
            );
            return Err(value.error(cause, "name each machine once"));
        }
        true_paths.push(true_path);
        machines.push(Considered {
            label,
            file: machine_file::open_with_parts(&path)?,
            path,
            price: match table.optional("price") {
                Some(value) => value.money(price)?,
                None => {
                    let remedy = format!(
                        "add a line `price = \"900 {}\"` {}",
                        price.currency,
                        table.place()
                    );
                    return Err(
                        table.error(format!("`price` is missing {}", table.place()), remedy)
                    );
                }
            },
            running_cost: match table.optional("running_cost") {
                Some(value) => value.money(an_hour)?,
                None => 0.0,
            },
        });
    }
    Ok(machines)
}
