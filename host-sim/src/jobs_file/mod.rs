//! Reads jobs files: what somebody would do with a machine, how long it takes by hand, and the machines
//! that are considered. TOML, in which every quantity is a string with its unit; money carries the
//! word for the currency that the file chose.
//!
//! ```toml
//! currency = "euro"                 # a word of your own; nothing is converted
//! years_of_use = "5 years"          # how long the price is spread over
//! value_of_time = "12 euro/h"       # optional: what an hour of your own is worth to you
//!
//! [machine.belt]                    # a name of your own, once for each machine
//! file = "belt-router.toml"         # from the folder of this file
//! price = "900 euro"
//! running_cost = "0.50 euro/h"      # optional, 0 if not given: of an hour that the machine runs
//!
//! [job."screw tray"]                # a name of your own, once for each job
//! program = "tray.nc"               # or a list: one program after the other makes one part
//! parts_a_year = 40
//! parts_per_set_up = 4              # optional, 1 if not given
//! set_up = "25 min"                 # once for each set-up
//! by_hand = "1.5 h"                 # the same part without the machine
//! left_by_hand = "10 min"           # optional, 0 if not given: work by hand on each part all the same
//! consumables = "0.40 euro"         # optional, 0 if not given: a part, more than by hand
//! material = ["130 mm", "90 mm", "12 mm"]   # optional: along x, y and z
//! ```

mod job;
mod keys;
mod machines;
mod ranges;

use crate::input_error::InputError;
use crate::machine::Machine;
use crate::machine_file::WithParts;
use crate::motion::Point;
use crate::toml_file::{self, Source, Sum, Table};
use keys::SCHEMA;
use std::path::{Path, PathBuf};

/// A jobs file, with the machine files that it names.
#[derive(Clone, Debug, PartialEq)]
pub struct Jobs {
    /// The word for the currency.
    pub currency: String,
    /// How long a machine is in use: 0.1 to 50 years.
    pub years_of_use: f64,
    /// What an hour of one's own is worth, in the currency, 0 or more.
    pub value_of_time: Option<f64>,
    /// The machines, in the order of the file: 1 to 8.
    pub machines: Vec<Considered>,
    /// The jobs, in the order of the file: 1 to 100.
    pub jobs: Vec<Job>,
}

/// A machine that is considered.
#[derive(Clone, Debug, PartialEq)]
pub struct Considered {
    /// What it is called in the jobs file.
    pub label: String,
    /// The path of its machine file, from where the command runs.
    pub path: PathBuf,
    /// What that says.
    pub file: WithParts,
    /// Its price, 0 or more.
    pub price: f64,
    /// What an hour costs in which it runs, 0 or more.
    pub running_cost: f64,
}

impl Considered {
    /// The machine.
    pub fn machine(&self) -> &Machine {
        &self.file.machine
    }
}

/// A job that would really be done.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// What it is called.
    pub name: String,
    /// Its part programs, from where the command runs, one after the other: one part.
    pub programs: Vec<PathBuf>,
    /// How many: 1 to 1 000 000.
    pub parts_a_year: u32,
    /// How many are made in one set-up: 1 to 10 000.
    pub parts_per_set_up: u32,
    /// A set-up, s: 0 to 3.6e6.
    pub set_up_s: f64,
    /// One part by hand, s: 0 to 3.6e6.
    pub by_hand_s: f64,
    /// What is still done by hand for one part, s: 0 to 3.6e6.
    pub left_by_hand_s: f64,
    /// What a part costs in bits and such, more than by hand, 0 or more.
    pub consumables: f64,
    /// Size of the material along x, y and z, mm.
    pub material_mm: Option<Point>,
}

/// Reads the jobs file at `path`, and the machine files that it names.
///
/// # Errors
/// The file cannot be read, is not UTF-8, is longer than 1 MiB, or is refused by [`read`].
pub fn open(path: &Path) -> Result<Jobs, InputError> {
    let name = path.display().to_string();
    let bytes = toml_file::bytes(path, &SCHEMA)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    read(&name, toml_file::text(&name, &bytes, &SCHEMA)?, folder)
}

/// Reads `text`, the contents of the jobs file `name` in `folder`. The name is used in errors only.
///
/// # Errors
/// Anything that the file gets wrong, with its line and column: syntax first, then keys that are
/// unknown, then what is missing, of the wrong type, outside its range or there twice, in the order of
/// the example above; programs that are not there, with the line that names them; and what a machine
/// file is refused for, with the line of that file.
pub fn read(name: &str, text: &str, folder: &Path) -> Result<Jobs, InputError> {
    let source = Source::new(name, text, &SCHEMA);
    let document = source.parse()?;
    let top = Table::top(&source, document.get_ref());
    top.refuse_unknown()?;

    let currency = currency(&top)?;
    let years_of_use = top.required("years_of_use")?.within(&ranges::YEARS)?;
    let an_hour = Sum {
        currency: &currency,
        an_hour: true,
        most: ranges::MOST_AN_HOUR,
    };
    let value_of_time = match top.optional("value_of_time") {
        Some(value) => Some(value.money(&an_hour)?),
        None => None,
    };
    let price = Sum {
        an_hour: false,
        most: ranges::MOST_PRICE,
        ..an_hour
    };
    let machines = machines::read_all(&top, folder, &price, &an_hour)?;
    let jobs = job::read_all(&top, folder, &price)?;
    Ok(Jobs {
        machines,
        jobs,
        years_of_use,
        value_of_time,
        currency,
    })
}

/// The word for the currency, which follows numbers and may have `/h` after it.
fn currency(top: &Table<'_>) -> Result<String, InputError> {
    let value = top.required("currency")?;
    let word = value.one_line()?;
    let length = word.chars().count();
    let odd = |c: char| c.is_whitespace() || c.is_numeric() || "/.,+-".contains(c);
    let cause = if length > ranges::LONGEST_CURRENCY {
        format!("`currency` has {length} letters, too many for tables")
    } else if let Some(odd) = word.chars().find(|c| odd(*c)) {
        format!(
            "`currency` has `{odd}` in it, which could be taken for a part of a number or a unit"
        )
    } else {
        return Ok(word);
    };
    let remedy = format!(
        "write one word of up to {} letters, as in \"euro\"",
        ranges::LONGEST_CURRENCY
    );
    Err(value.error(cause, remedy))
}

/// The tables in the table `key`, such as those of all jobs: one at least, `most` at most.
fn tables<'a>(
    top: &Table<'a>,
    key: &str,
    most: usize,
) -> Result<Vec<(String, Table<'a>)>, InputError> {
    let all = top.required(key)?.table()?;
    let named = all.named()?;
    if named.is_empty() {
        let remedy = (SCHEMA.add)(key, "");
        return Err(all.error(format!("no {key} is named"), remedy));
    }
    if let Some((_, table)) = named.get(most) {
        let cause = format!(
            "{} {key}s are more than can be shown side by side",
            named.len()
        );
        return Err(table.error(
            cause,
            format!("name {most} at most, those that matter most"),
        ));
    }
    Ok(named)
}
