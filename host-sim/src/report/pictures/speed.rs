//! Speed against time, and what sets it.

use super::chart::{across, percent, up};
use super::legend;
use super::marks::{Spot, marks};
use crate::places::Row;
use crate::plots::speed::{asked_words, calm_columns};
use crate::plots::text::short;
use crate::plots::time;
use crate::recording::{Cause, Column, Recording};
use maud::{Markup, html};
use std::fmt::Write;
use std::ops::Range;

/// Columns at most: about one a pixel.
const COLUMNS: usize = 1000;
/// Size of the drawing, which is stretched over its box.
const SIZE: [f64; 2] = [10_000.0, 1000.0];
/// The top of the chart over the highest speed of a cut, where rapids are faster (by eye).
const CLEAR: f64 = 1.4;

/// What sets the speed, and how much of the time.
fn causes(recording: &Recording) -> Vec<(String, String)> {
    let whole = recording.whole();
    let share = |cause: &Cause| 100.0 * whole.cause_s[cause.index()] / whole.time_s;
    let causes = Cause::ALL.into_iter().filter(|cause| share(cause) > 0.0);
    let words = |cause: &Cause| match share(cause) {
        percent if percent < 0.1 => "< 0.1 %".to_owned(),
        percent => format!("{percent:.1} %"),
    };
    causes
        .map(|cause| {
            let class = format!("c{}", cause.index());
            (class, format!("{} {}", cause.name(), words(&cause)))
        })
        .collect()
}

pub struct SpeedPicture {
    seconds: Range<f64>,
    speeds: Range<f64>,
    highest: f64,
}

impl SpeedPicture {
    /// Of a run in which cuts are no faster than `cutting`, mm/s, or little.
    pub fn new(recording: &Recording, cutting: f64) -> Self {
        let whole = recording.whole();
        let highest = whole.speed_mm_s.largest().max(whole.asked_mm_s);
        // Rapids would press all else to the ground; cuts are what slow places show in.
        let top = match CLEAR * cutting {
            clear if clear > 0.0 && clear < highest => clear,
            _ => 1.08 * highest,
        };
        let or_one = |size: f64| if size > 0.0 { size } else { 1.0 };
        Self {
            seconds: 0.0..or_one(recording.total_s()),
            speeds: 0.0..or_one(top),
            highest,
        }
    }

    /// How to read it.
    pub fn legend(&self, recording: &Recording) -> Markup {
        let lines = [
            ("mean", "mean"),
            ("span", "lowest to highest"),
            ("asked", asked_words(recording)),
        ];
        let lines = lines.map(|(class, words)| (class.to_owned(), words.to_owned()));
        html! {
            (legend("Speed along the path against time, as planned:", &lines))
            @if self.speeds.end < self.highest {
                p.note { "Rapids, up to " (short(self.highest)) " mm/s, leave the chart at its top." }
            }
            (legend("The strip below it: what sets the speed, and for how much of the time:", &causes(recording)))
        }
    }

    pub fn draw(&self, recording: &Recording, places: &[Row]) -> Markup {
        let (scale, title) = time::unit(recording.total_s());
        let times = 0.0..self.seconds.end * scale;
        let columns = calm_columns(recording);
        let view = format!("0 0 {} {}", SIZE[0], SIZE[1]);
        let spot = |place: &Row| Spot {
            x: percent(place.time_s, &self.seconds),
            y: percent(
                place.reached_mm_s.min(self.speeds.end),
                &(self.speeds.end..self.speeds.start),
            ),
            in_drawing: None,
        };
        html! {
            div.picture.speed id="speed" {
                svg.box xmlns="http://www.w3.org/2000/svg" role="group" aria-label="Speed against time, with the slow places" {
                    g.grid aria-hidden="true" { (across(&times, false)) (up(&self.speeds, 4.0)) }
                    svg.drawing viewBox=(view) preserveAspectRatio="none" width="100%" height="100%"
                        role="img" aria-label="Speed along the path against time" { (self.curves(&columns, &recording.columns(COLUMNS))) }
                    text.axis.first x="0" y="0" dy="-0.4em" { "speed, mm/s" }
                    (marks(places, "time", "on the speed plot", spot))
                }
            }
            div.picture.causes {
                svg.box xmlns="http://www.w3.org/2000/svg" role="img" aria-label="What sets the speed at each time" {
                    svg.drawing viewBox=(view) preserveAspectRatio="none" width="100%" height="100%" { (self.causes(&columns)) }
                    g.grid aria-hidden="true" { (across(&times, true)) }
                    text.axis x="100%" y="100%" dy="2.6em" { (title) }
                }
            }
        }
    }

    fn x(&self, seconds: f64) -> i64 {
        (SIZE[0] * seconds / self.seconds.end).round() as i64
    }

    fn y(&self, speed: f64) -> i64 {
        (SIZE[1] * (1.0 - speed / self.speeds.end)).round() as i64
    }

    /// The band from lowest to highest, the mean, and what is asked for.
    fn curves(&self, columns: &[Column], fine: &[Column]) -> Markup {
        let seen: Vec<&Column> = columns.iter().filter(|c| c.bin.time_s > 0.0).collect();
        // Level to the ends of the first and last column.
        let line = |speed: fn(&Column) -> f64| -> Vec<[i64; 2]> {
            let middle = |c: &&Column| [self.x((c.start_s + c.end_s) / 2.0), self.y(speed(c))];
            let mut spots: Vec<[i64; 2]> = seen.iter().map(middle).collect();
            if let (Some(first), Some(last)) = (seen.first(), seen.last()) {
                spots.insert(0, [self.x(first.start_s), self.y(speed(first))]);
                spots.push([self.x(last.end_s), self.y(speed(last))]);
            }
            spots
        };
        let upper = line(|c| c.bin.speed_mm_s.high);
        let lower = line(|c| c.bin.speed_mm_s.low);
        let band: Vec<[i64; 2]> = upper.into_iter().chain(lower.into_iter().rev()).collect();
        let mut asked = String::new();
        for level in fine.chunk_by(|a, b| a.bin.asked_mm_s == b.bin.asked_mm_s) {
            if level[0].bin.asked_mm_s > 0.0 {
                let (from, to) = (level[0].start_s, level[level.len() - 1].end_s);
                let y = self.y(level[0].bin.asked_mm_s);
                // Writing to a string cannot fail.
                let _ = write!(asked, "M{} {y}H{}", self.x(from), self.x(to));
            }
        }
        html! {
            path.span d=(outline(&band)) {}
            path.mean d=(outline(&line(|c| c.bin.mean_mm_s()))) {}
            path.asked d=(asked) {}
        }
    }

    /// Shares of the causes, stacked; the first of the legend at the bottom. From the full height
    /// down, so that each covers what is above its own top and no seams show.
    fn causes(&self, columns: &[Column]) -> Markup {
        let up_to = |column: &Column, cause: Cause| {
            let sum: f64 = column.bin.cause_s[..=cause.index()].iter().sum();
            if column.bin.time_s > 0.0 {
                (sum / column.bin.time_s).min(1.0)
            } else {
                0.0
            }
        };
        let area = |cause: Cause| {
            let mut spots = vec![[0, SIZE[1] as i64]];
            for level in columns.chunk_by(|a, b| up_to(a, cause) == up_to(b, cause)) {
                let y = (SIZE[1] * (1.0 - up_to(&level[0], cause))).round() as i64;
                spots.push([self.x(level[0].start_s), y]);
                spots.push([self.x(level[level.len() - 1].end_s), y]);
            }
            spots.push([SIZE[0] as i64, SIZE[1] as i64]);
            outline(&spots)
        };
        let has = |cause: &Cause| columns.iter().any(|c| c.bin.cause_s[cause.index()] > 0.0);
        html! {
            @for cause in Cause::ALL.into_iter().rev().filter(has) {
                path class={ "c" (cause.index()) } d=(area(cause)) {}
            }
        }
    }
}

/// A path through `spots`.
fn outline(spots: &[[i64; 2]]) -> String {
    let mut text = String::new();
    for (index, [x, y]) in spots.iter().enumerate() {
        // Writing to a string cannot fail.
        let _ = write!(text, "{}{x} {y}", if index == 0 { "M" } else { "L" });
    }
    text
}
