//! The programs of the long job: a pocket, a relief and a coastline, again and again, each time elsewhere.

use super::shift;
use spokeshave_sim::input_error::InputError;
use spokeshave_sim::motion::{AXES, Action, Item, Move, MoveKind, Point, RestReason};
use spokeshave_sim::program::{Reader, Settings, open};
use std::fmt::Write;
use std::path::Path;

/// Circles with helices between, by arcs, from the middle out: numbers with five digits.
fn pocket() -> String {
    let mut text = String::from("G21 G90 G17\nG0 X0 Y0 Z1\nG1 Z-0.5 F600\nF3000\n");
    for ring in 1..=24 {
        let radius = 0.83717 * f64::from(ring);
        let depth = -0.5 - 0.01371 * f64::from(ring);
        writeln!(
            text,
            "G1 X{radius:.5} Y0\nG3 X{radius:.5} Y0 Z{depth:.5} I{:.5} J0",
            -radius
        )
        .expect("a string takes all");
    }
    text + "G0 Z1\n"
}

/// The items of the job, one after the other, until enough is done.
pub(super) struct Passes<F> {
    programs: Vec<Vec<Item>>,
    pass: u64,
    next: usize,
    at: Point,
    end: Option<Point>,
    enough: F,
}

impl<F: Fn() -> bool> Passes<F> {
    /// Ends at `end` after the first pass after which there is `enough`.
    pub fn new(end: Point, enough: F) -> Result<Self, InputError> {
        let settings = Settings {
            start: [0.0; AXES],
            work_zero_mm: [[0.0; AXES]; 6],
            travel_mm: None,
            block_delete: false,
        };
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("programs");
        let text = pocket();
        let pocket = Reader::new("pocket.nc", text.as_bytes(), settings.clone());
        let mut programs = vec![pocket.collect::<Result<_, _>>()?];
        for name in ["relief.nc", "coastline.nc"] {
            let reader = open(folder.join(name), settings.clone())?;
            programs.push(reader.collect::<Result<_, _>>()?);
        }
        Ok(Self {
            programs,
            pass: 0,
            next: 0,
            at: [0.0; AXES],
            end: Some(end),
            enough,
        })
    }

    /// A rapid from where the last move ended.
    fn rapid(&mut self, line: u32, to: Point) -> Item {
        let from = std::mem::replace(&mut self.at, to);
        let path = Move {
            kind: MoveKind::Rapid,
            from,
            to,
            feed: None,
            arc: None,
            exact_stop: false,
            in_cycle: false,
            spindle_rpm: None,
        };
        Item {
            line,
            action: Action::Move(path),
        }
    }
}

impl<F: Fn() -> bool> Iterator for Passes<F> {
    type Item = Result<Item, InputError>;

    fn next(&mut self) -> Option<Self::Item> {
        let count = self.programs.len() as u64;
        let by = shift(self.pass);
        if self.next == 0 {
            if (self.enough)() {
                let end = self.end.take()?;
                return Some(Ok(self.rapid(1, end)));
            }
            self.next = 1;
            return Some(Ok(self.rapid(1, by)));
        }
        let program = &self.programs[(self.pass % count) as usize];
        let Some(item) = program.get(self.next - 1) else {
            (self.pass, self.next) = (self.pass + 1, 0);
            return self.next();
        };
        self.next += 1;
        let mut item = item.clone();
        match &mut item.action {
            Action::Move(path) => {
                for (i, by) in by.iter().enumerate() {
                    path.from[i] += by;
                    path.to[i] += by;
                }
                if let Some(arc) = &mut path.arc {
                    arc.centre[0] += by[arc.plane.0];
                    arc.centre[1] += by[arc.plane.1];
                }
                self.at = path.to;
            }
            // The end of a program is a stop like others here.
            Action::Rest { why, .. } if *why == RestReason::End => *why = RestReason::Dwell,
            Action::Rest { .. } => {}
        }
        Some(Ok(item))
    }
}
