//! Speed against time, with what was asked for, and what binds it at each time.

use super::Labels;
use super::canvas::{self, BOTTOM, Canvas, Failure, Frame, Heading, LEFT, MARGIN, WIDTH};
use super::colour::{self, BLUE, INK, SOFT_INK};
use super::envelope::{self, COLUMNS};
use super::event_marks::{EventMarks, MOST};
use super::legend::{Legend, Swatch};
use super::time::TimeAxis;
use crate::recording::{Cause, Column, Recording};
use crate::script::What;
use crate::summary::Event;

const EXPLANATION: &str = "Top: how fast the tool moves along its path, as planned; where the line \
    stays below the dashes, the job loses time. Bottom: what sets the speed at each moment; \
    where several share a moment, the heights are their shares of the time.";

const SPEED_HEIGHT: f64 = 300.0;
const CAUSE_HEIGHT: f64 = 90.0;
const GAP: f64 = 14.0;

pub(super) fn draw(recording: &Recording, labels: &Labels) -> Result<String, Failure> {
    let heading = Heading::new("Speed against time", labels, EXPLANATION);
    let time = TimeAxis::new(recording);
    let columns = calm_columns(recording);
    let whole = recording.whole();
    let width = WIDTH - 2.0 * MARGIN - LEFT;

    let events = EventMarks::new(recording, &time, MARGIN + LEFT, width);
    let count = recording.events().len();
    let event = (!events.is_empty()).then(|| {
        let words = if count > MOST {
            format!("the first {MOST} of {count} events of the script")
        } else {
            "event of the script".to_owned()
        };
        (Swatch::Thin(SOFT_INK), words)
    });
    let speeds = Legend::new(
        [
            (Swatch::Line(BLUE), "speed, mean".to_owned()),
            (Swatch::Block(BLUE, 0.35), "lowest to highest".to_owned()),
            (Swatch::Dashes(INK), asked_words(recording).to_owned()),
        ]
        .into_iter()
        .chain(event),
        width,
    );
    let share = |cause: Cause| whole.cause_s[cause.index()] / whole.time_s;
    let heading_of_causes =
        (whole.time_s > 0.0).then(|| (Swatch::Heading, "Speed set by:".to_owned()));
    let causes = Legend::new(
        heading_of_causes.into_iter().chain(
            Cause::ALL
                .into_iter()
                .filter(|&cause| share(cause) > 0.0)
                .map(|cause| {
                    let percent = 100.0 * share(cause);
                    let percent = if percent < 0.1 {
                        "< 0.1".to_owned()
                    } else {
                        format!("{percent:.1}")
                    };
                    (
                        Swatch::Block(colour::of_cause(cause), 1.0),
                        format!("{} {percent} %", cause.name()),
                    )
                }),
        ),
        WIDTH - 2.0 * MARGIN,
    );

    let legend_y = heading.height();
    let top = legend_y + speeds.height() + 6.0 + events.height();
    let highest = whole.speed_mm_s.largest().max(whole.asked_mm_s);
    let speed = Frame {
        x: MARGIN + LEFT,
        y: top,
        width,
        height: SPEED_HEIGHT,
        xs: time.span.clone(),
        ys: 0.0..if highest > 0.0 { 1.06 * highest } else { 1.0 },
        x_title: String::new(),
        y_title: "speed, mm/s".to_owned(),
    };
    let cause = Frame {
        x: MARGIN + LEFT,
        y: top + SPEED_HEIGHT + GAP,
        width,
        height: CAUSE_HEIGHT,
        xs: time.span.clone(),
        ys: 0.0..100.0,
        x_title: time.title.to_owned(),
        y_title: "time, %".to_owned(),
    };
    let causes_y = cause.y + CAUSE_HEIGHT + BOTTOM + 6.0;

    canvas::sheet(
        causes_y + causes.height() + MARGIN,
        heading.title(),
        |canvas| {
            heading.draw(canvas)?;
            speeds.draw(canvas, (speed.x, legend_y))?;
            canvas.axes(&speed)?;
            events.draw(canvas, &speed)?;
            envelope::band(canvas, &speed, &time, &columns, BLUE, |column| {
                column.bin.speed_mm_s
            })?;
            let mean = columns
                .iter()
                .filter(|column| column.bin.time_s > 0.0)
                .map(|c| speed.spot(envelope::middle(c) * time.scale, c.bin.mean_mm_s()));
            let mean = envelope::level_ends(mean.collect(), &speed);
            if !mean.is_empty() {
                canvas.line(&mean, BLUE, 1.5)?;
            }
            asked(canvas, &speed, &time, &recording.columns(COLUMNS))?;
            canvas.axes(&cause)?;
            cause_band(canvas, &cause, &time, &columns)?;
            causes.draw(canvas, (MARGIN, causes_y))
        },
    )
}

/// What the dashes are.
pub(crate) fn asked_words(recording: &Recording) -> &'static str {
    let overrides = |event: &Event| matches!(event.kind, What::Feed(_) | What::Rapid(_));
    if recording.events().iter().any(overrides) {
        "asked for: the programmed feed, in rapids what the axes allow, times the override"
    } else {
        "asked for: the programmed feed; in rapids, what the axes allow"
    }
}

/// The run in fine columns, or in a quarter as many where the speed swings so often that fine
/// columns would show as noise: where the lowest speed of a column is on average less than two
/// thirds of its highest (chosen by eye).
pub(crate) fn calm_columns(recording: &Recording) -> Vec<Column> {
    let fine = recording.columns(COLUMNS);
    let (mut swing, mut count) = (0.0, 0.0);
    for speed in fine
        .iter()
        .map(|column| column.bin.speed_mm_s)
        .filter(|speed| speed.high > 0.0)
    {
        swing += 1.0 - speed.low / speed.high;
        count += 1.0;
    }
    if swing > count / 3.0 {
        recording.columns(COLUMNS / 4)
    } else {
        fine
    }
}

/// The asked speed, level by level; nothing where the machine rests. The steps between levels are
/// left out: among hundreds of rapids they would hide all else.
fn asked(
    canvas: &Canvas,
    frame: &Frame,
    time: &TimeAxis,
    columns: &[Column],
) -> Result<(), Failure> {
    for level in columns.chunk_by(|a, b| a.bin.asked_mm_s == b.bin.asked_mm_s) {
        let asked = level[0].bin.asked_mm_s;
        if asked > 0.0 {
            let ends = [level[0].start_s, level[level.len() - 1].end_s];
            let line = ends.map(|end_s| frame.spot(end_s * time.scale, asked));
            canvas.dashes(&line, INK, 1.25)?;
        }
    }
    Ok(())
}

/// Shares of the causes in each column, stacked; the first cause of the legend at the bottom.
fn cause_band(
    canvas: &Canvas,
    frame: &Frame,
    time: &TimeAxis,
    columns: &[Column],
) -> Result<(), Failure> {
    // From the full height down, so that each covers what is above its own top and no seams show.
    for cause in Cause::ALL.into_iter().rev() {
        let up_to = |column: &Column| {
            let sum: f64 = column.bin.cause_s[..=cause.index()].iter().sum();
            if column.bin.time_s > 0.0 {
                100.0 * (sum / column.bin.time_s).min(1.0)
            } else {
                0.0
            }
        };
        if columns
            .iter()
            .all(|column| column.bin.cause_s[cause.index()] == 0.0)
        {
            continue;
        }
        let mut outline = vec![frame.spot(frame.xs.start, 0.0)];
        for level in columns.chunk_by(|a, b| up_to(a) == up_to(b)) {
            let share = up_to(&level[0]);
            outline.push(frame.spot(level[0].start_s * time.scale, share));
            outline.push(frame.spot(level[level.len() - 1].end_s * time.scale, share));
        }
        outline.push(frame.spot(frame.xs.end, 0.0));
        canvas.area(&outline, colour::of_cause(cause), 1.0)?;
    }
    Ok(())
}
