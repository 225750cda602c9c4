//! Captures for tests: the edges of one that `simulate` wrote, to be changed and written again.

use crate::workshop::{Said, Workshop, number};
use serde_json::Value;
use std::collections::HashMap;
use std::fmt::Write;
use std::fs::File;
use std::io::BufReader;
use vcd::{Command, Parser, ScopeItem};

/// The lines of `pulses.vcd`, in its order.
pub const LINES: [&str; 6] = [
    "x_step",
    "x_direction",
    "y_step",
    "y_direction",
    "z_step",
    "z_direction",
];
pub const X: usize = 0;
pub const X_DIRECTION: usize = 1;
pub const Y: usize = 2;

/// Picoseconds in a microsecond.
pub const US: i64 = 1_000_000;

/// Edges of lines.
#[derive(Clone)]
pub struct Trace {
    pub names: Vec<String>,
    pub initial: Vec<bool>,
    /// Time (ps), line, level after it; in order of time.
    pub edges: Vec<(i64, usize, bool)>,
}

impl Trace {
    /// The capture of `program` on the machine of the shop, which stays in `part.nc`.
    pub fn of(shop: &Workshop, program: &str) -> Self {
        shop.pass(program, &["--pulses", "vcd"]);
        Self::read(shop, "out/pulses.vcd")
    }

    pub fn read(shop: &Workshop, name: &str) -> Self {
        let mut parser = Parser::new(BufReader::new(File::open(shop.path(name)).unwrap()));
        let header = parser.parse_header().unwrap();
        assert_eq!(header.timescale, Some((1, vcd::TimescaleUnit::US)));
        let mut lines = HashMap::new();
        for item in &header.items {
            let ScopeItem::Scope(scope) = item else {
                continue;
            };
            for item in &scope.items {
                let ScopeItem::Var(var) = item else { continue };
                let at = LINES.iter().position(|line| *line == var.reference);
                lines.insert(var.code, at.unwrap());
            }
        }
        let (mut time, mut initial, mut edges) = (0, vec![None; LINES.len()], Vec::new());
        for command in parser {
            match command.unwrap() {
                Command::Timestamp(at) => time = i64::try_from(at).unwrap() * US,
                Command::ChangeScalar(code, value) => {
                    let (line, level) = (lines[&code], value == vcd::Value::V1);
                    match initial[line] {
                        None => initial[line] = Some(level),
                        Some(_) => edges.push((time, line, level)),
                    }
                }
                _ => {}
            }
        }
        Self {
            names: LINES.map(String::from).to_vec(),
            initial: initial.into_iter().map(Option::unwrap).collect(),
            edges,
        }
    }

    /// When the pulses of a step line begin, as places among the edges.
    pub fn rises(&self, line: usize) -> Vec<usize> {
        let rise = |at: &usize| self.edges[*at].1 == line && self.edges[*at].2;
        (0..self.edges.len()).filter(rise).collect()
    }

    /// The end of the pulse that begins at this edge.
    pub fn fall(&self, rise: usize) -> usize {
        let line = self.edges[rise].1;
        let after = rise + 1..self.edges.len();
        after
            .into_iter()
            .find(|at| self.edges[*at].1 == line)
            .unwrap()
    }

    /// A pulse more.
    pub fn add_pulse(&mut self, line: usize, from: i64, width: i64) {
        self.edges.push((from, line, true));
        self.edges.push((from + width, line, false));
        self.sort();
    }

    /// Takes the pulse out that begins at this edge.
    pub fn remove_pulse(&mut self, rise: usize) {
        let fall = self.fall(rise);
        self.edges.remove(fall);
        self.edges.remove(rise);
    }

    /// Moves the pulse that begins at this edge.
    pub fn move_pulse(&mut self, rise: usize, by: i64) {
        let fall = self.fall(rise);
        self.edges[rise].0 += by;
        self.edges[fall].0 += by;
        self.sort();
    }

    /// Another line that does what `line` does.
    pub fn copy_line(&mut self, line: usize, name: &str) -> usize {
        let new = self.names.len();
        self.names.push(name.into());
        self.initial.push(self.initial[line]);
        let copies = self.edges.iter().filter(|edge| edge.1 == line);
        let copies: Vec<_> = copies.map(|edge| (edge.0, new, edge.2)).collect();
        self.edges.extend(copies);
        self.sort();
        new
    }

    /// Every time as another clock tells it.
    pub fn clock(&mut self, clock: impl Fn(i64) -> i64) {
        self.edges
            .iter_mut()
            .for_each(|edge| edge.0 = clock(edge.0));
    }

    pub fn sort(&mut self) {
        self.edges.sort_by_key(|edge| edge.0);
    }

    /// As a value change dump with times in `unit` (its name and ps).
    pub fn vcd(&self, (unit, ps): (&str, i64)) -> String {
        let code = |line: usize| char::from(b'!' + u8::try_from(line).unwrap());
        let mut text = format!("$timescale {unit} $end\n$scope module bench $end\n");
        for (line, name) in self.names.iter().enumerate() {
            writeln!(text, "$var wire 1 {} {name} $end", code(line)).unwrap();
        }
        text += "$upscope $end\n$enddefinitions $end\n$dumpvars\n";
        for (line, level) in self.initial.iter().enumerate() {
            writeln!(text, "{}{}", u8::from(*level), code(line)).unwrap();
        }
        text += "$end\n";
        for (time, line, level) in &self.edges {
            let time = (time + ps / 2).div_euclid(ps);
            writeln!(text, "#{time}\n{}{}", u8::from(*level), code(*line)).unwrap();
        }
        text
    }

    /// As a table, times in seconds with so many decimals.
    pub fn csv(&self, decimals: usize) -> String {
        let mut text = format!("Time [s],{}\n", self.names.join(","));
        let mut levels = self.initial.clone();
        let first = self.edges.first().map_or(0, |edge| edge.0) - 1000 * US;
        let mut row = |time: i64, levels: &[bool]| {
            write!(text, "{:.decimals$}", time as f64 / 1e12).unwrap();
            for level in levels {
                write!(text, ",{}", u8::from(*level)).unwrap();
            }
            text.push('\n');
        };
        row(first, &levels);
        for chunk in self.edges.chunk_by(|a, b| a.0 == b.0) {
            for (_, line, level) in chunk {
                levels[*line] = *level;
            }
            row(chunk[0].0, &levels);
        }
        text
    }
}

/// Runs `check` on a capture of `part.nc` in the shop.
pub fn checked(shop: &Workshop, capture: &str, more: &[&str]) -> Said {
    let start = [capture, "--program", "part.nc", "--machine", "machine.toml"];
    shop.run("check", &[&start, more].concat())
}

/// What it found, by name; the exit status must be that of the checks.
pub struct Found(pub Value);

impl Found {
    pub fn of(shop: &Workshop, capture: &str, more: &[&str]) -> Self {
        let said = checked(shop, capture, &[more, &["--json"]].concat());
        assert_eq!(said.err, "");
        let found = Self(serde_json::from_str(&said.out).unwrap());
        assert_eq!(said.status, i32::from(!found.failed().is_empty()));
        found
    }

    /// Names of the checks that failed, with their axes.
    pub fn failed(&self) -> Vec<String> {
        let checks = self.0["checks"].as_array().unwrap().iter();
        checks
            .filter(|check| check["pass"] == false)
            .map(|check| {
                let name = check["name"].as_str().unwrap();
                check["axis"]
                    .as_str()
                    .map_or(name.into(), |axis| format!("{name}, {axis}"))
            })
            .collect()
    }

    /// A check by name, of `axis` where there are several.
    pub fn check(&self, name: &str) -> &Value {
        let (name, axis) = name.split_once(", ").unwrap_or((name, ""));
        let checks = self.0["checks"].as_array().unwrap();
        let is =
            |check: &&Value| check["name"] == name && (axis.is_empty() || check["axis"] == axis);
        checks
            .iter()
            .find(is)
            .unwrap_or_else(|| panic!("no {name}"))
    }

    pub fn clock(&self, what: &str) -> f64 {
        number(&self.0, &format!("/clock/{what}"))
    }

    pub fn notes(&self) -> String {
        self.0["notes"].to_string()
    }
}
