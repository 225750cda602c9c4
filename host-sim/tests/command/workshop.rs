//! What every test needs: a folder with a machine file and programs, and the command run on them.

use assert_cmd::Command;
use serde_json::Value;
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// Words with one blank between them, however they are set in lines.
pub fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Steps/mm of every axis of [`MACHINE`].
pub const STEPS_PER_MM: f64 = 80.0;

/// A machine with the same numbers on each axis, so that expected values are easily worked out.
pub const MACHINE: &str = r#"
name = "test bench"
junction_deviation = "0.02 mm"
look_ahead = 32
[controller]
timer = "1 MHz"
pulse_width = "2 us"
pulse_period = "5 us"
direction_setup = "5 us"
[axis.x]
resolution = "80 steps/mm"
speed_limit = "100 mm/s"
acceleration_limit = "500 mm/s^2"
travel = ["-100 mm", "200 mm"]
[axis.y]
resolution = "80 steps/mm"
speed_limit = "100 mm/s"
acceleration_limit = "500 mm/s^2"
travel = ["-100 mm", "200 mm"]
[axis.z]
resolution = "80 steps/mm"
speed_limit = "100 mm/s"
acceleration_limit = "500 mm/s^2"
travel = ["-100 mm", "100 mm"]
"#;

/// Lines, arcs, a rapid, a dwell, a stop, a spindle start, a drilling cycle: some of everything.
pub const SOME_OF_EVERYTHING: &str = "\
%
(some of everything)
G17 G21 G90 G94
G0 Z5
M3 S10000
G4 P0.25
G0 X10 Y10
G1 Z-1 F600
X30 Y10 F2400
Y30
G3 X20 Y40 I-10 J0
G1 X10.5 Y39.3
X10.2 Y38.8
X10 Y38
G61.1
Y20
G64
G2 X10 Y10 Z-2 R5
G0 Z5
G98 G81 X40 Y40 Z-2 R2 F300
G80
M5
G0 X0 Y0
M2
%
";

/// The top of the workspace.
pub fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the crate lies in the workspace")
        .to_owned()
}

/// The command itself.
pub fn spokeshave() -> Command {
    Command::new(env!("CARGO_BIN_EXE_spokeshave"))
}

/// What a run said and how it ended.
pub struct Said {
    pub status: i32,
    pub out: String,
    pub err: String,
}

/// A folder of its own, with `machine.toml` in it.
pub struct Workshop(TempDir);

impl Workshop {
    pub fn new() -> Self {
        let workshop = Self(tempfile::tempdir().unwrap());
        workshop.write("machine.toml", MACHINE);
        workshop
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Writes a file and gives its path.
    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        fs::write(&path, text).unwrap();
        path
    }

    /// Names of all that lies in the folder `name`, in order, hidden ones too.
    pub fn names(&self, name: &str) -> Vec<String> {
        let entries = fs::read_dir(self.path(name)).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    /// Runs `simulate` with these arguments in the folder.
    pub fn simulate<A: AsRef<OsStr>>(&self, arguments: &[A]) -> Said {
        self.run("simulate", arguments)
    }

    /// Runs a command with these arguments in the folder.
    pub fn run<A: AsRef<OsStr>>(&self, name: &str, arguments: &[A]) -> Said {
        let mut command = spokeshave();
        command.current_dir(self.0.path()).arg(name);
        let output = command.args(arguments).output().unwrap();
        Said {
            status: output.status.code().expect("the command was not killed"),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Runs `program` with output to `out` and more arguments; it must pass.
    pub fn pass(&self, program: &str, more: &[&str]) -> Said {
        self.write("part.nc", program);
        let start = ["part.nc", "--machine", "machine.toml", "--out", "out"];
        let said = self.simulate(&[&start, more].concat());
        assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
        said
    }

    /// Runs `program` without output; its summary.
    pub fn summary(&self, program: impl AsRef<[u8]>, more: &[&str]) -> Value {
        self.write("part.nc", program);
        let start = ["part.nc", "--machine", "machine.toml", "--json"];
        let said = self.simulate(&[&start, more].concat());
        assert_eq!((said.status, said.err.as_str()), (0, ""), "{}", said.out);
        serde_json::from_str(&said.out).unwrap()
    }

    pub fn text(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    pub fn json(&self, name: &str) -> Value {
        serde_json::from_str(&self.text(name)).unwrap()
    }

    /// The rows of a table, each by the heads of its columns.
    pub fn table(&self, name: &str) -> Table {
        Table::read(&self.path(name))
    }
}

/// A table of comma-separated values.
pub struct Table {
    pub heads: Vec<String>,
    pub rows: Vec<Vec<String>>,
}

impl Table {
    pub fn read(path: &Path) -> Self {
        let mut reader = csv::Reader::from_path(path).unwrap();
        let heads = reader.headers().unwrap().iter().map(String::from).collect();
        let rows = reader
            .records()
            .map(|row| row.unwrap().iter().map(String::from).collect())
            .collect();
        Self { heads, rows }
    }

    fn column(&self, head: &str) -> usize {
        let is = |name: &String| name == head;
        self.heads.iter().position(is).expect(head)
    }

    pub fn texts(&self, head: &str) -> Vec<&str> {
        let column = self.column(head);
        self.rows.iter().map(|row| row[column].as_str()).collect()
    }

    /// Numbers of a column; `None` where the field is empty.
    pub fn numbers(&self, head: &str) -> Vec<Option<f64>> {
        let number = |text: &str| (!text.is_empty()).then(|| text.parse().unwrap());
        self.texts(head).into_iter().map(number).collect()
    }

    /// Numbers of a column without empty fields.
    pub fn all(&self, head: &str) -> Vec<f64> {
        self.numbers(head).into_iter().map(Option::unwrap).collect()
    }
}

/// A number in a summary, by a path such as `/steps/x`.
pub fn number(summary: &Value, at: &str) -> f64 {
    let value = summary.pointer(at).unwrap_or_else(|| panic!("no {at}"));
    value.as_f64().unwrap_or_else(|| panic!("{at} is {value}"))
}

/// The words of a message as they were before it was broken into lines.
pub fn words(message: &str) -> String {
    let words = message.split_whitespace().filter(|word| *word != "│");
    words.collect::<Vec<_>>().join(" ")
}
