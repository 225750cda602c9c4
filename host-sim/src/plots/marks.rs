//! Marks on the path: start, end, and the corners that slow it most.

use super::canvas::{Canvas, EM, Failure, Frame, Spot};
use super::colour::{INK, PAPER, SOFT_INK, VERMILION};
use super::place::Placer;
use super::text;
use crate::places::Place;
use crate::recording::Recording;
use plotters::style::text_anchor::{HPos, VPos};

/// Most marked corners, and most of them with words.
const MARKS: usize = 40;
const LABELS: usize = 12;
/// Marks closer than this would cover each other.
pub(super) const MARK_GAP: f64 = 9.0;

/// The most costly corners that do not cover each other.
pub(super) fn worst<'a>(
    corners: impl Iterator<Item = &'a Place>,
    frame: &Frame,
) -> Vec<(Spot, Place)> {
    let mut marked: Vec<(Spot, Place)> = Vec::new();
    for corner in corners {
        let spot = frame.spot(corner.at[0], corner.at[1]);
        let is_clear =
            |(other, _): &(Spot, Place)| (other.0 - spot.0).hypot(other.1 - spot.1) >= MARK_GAP;
        if marked.len() < MARKS && marked.iter().all(is_clear) {
            marked.push((spot, *corner));
        }
    }
    marked
}

/// Marks of the start, the end and the corners, and their labels.
pub(super) fn draw(
    canvas: &Canvas,
    frame: &Frame,
    recording: &Recording,
    corners: &[(Spot, Place)],
    placer: &mut Placer,
) -> Result<(), Failure> {
    for (spot, _) in corners {
        placer.mark(*spot, 5.0);
    }
    let (Some(start), Some(last)) = (recording.start(), recording.stretches().last()) else {
        return Ok(());
    };
    let (start, end) = (
        frame.spot(start[0], start[1]),
        frame.spot(last.to[0], last.to[1]),
    );
    placer.mark(start, 8.0);
    placer.mark(end, 8.0);
    for (spot, _) in corners {
        canvas.disc(*spot, 4.5, VERMILION, Some(1.5))?;
    }
    ends(canvas, placer, start, end)?;
    for (spot, corner) in corners.iter().take(LABELS) {
        let words = format!(
            "line {}: {} mm/s",
            corner.line,
            text::short(corner.lowest_mm_s)
        );
        label(canvas, placer, *spot, &words)?;
    }
    Ok(())
}

/// Marks of start and end, with their words.
pub(super) fn ends(
    canvas: &Canvas,
    placer: &mut Placer,
    start: Spot,
    end: Spot,
) -> Result<(), Failure> {
    canvas.disc(start, 6.5, PAPER, None)?;
    canvas.disc(start, 5.0, INK, None)?;
    let square = |half: f64, colour| {
        canvas.block(
            (end.0 - half, end.1 - half),
            (end.0 + half, end.1 + half),
            colour,
            1.0,
        )
    };
    if (start.0 - end.0).hypot(start.1 - end.1) < MARK_GAP {
        square(3.0, PAPER)?;
        square(2.5, INK)?;
        label(canvas, placer, start, "start and end")?;
    } else {
        square(5.5, PAPER)?;
        square(4.5, INK)?;
        label(canvas, placer, start, "start")?;
        label(canvas, placer, end, "end")?;
    }
    Ok(())
}

/// Words near `spot` where there is room, tied to it with a thin line; none where there is not.
pub(super) fn label(
    canvas: &Canvas,
    placer: &mut Placer,
    spot: Spot,
    words: &str,
) -> Result<(), Failure> {
    const PADDING: f64 = 3.0;
    let (width, height) = (text::width(words, EM - 1.0) + 2.0 * PADDING, EM + 3.0);
    let Some(room) = placer.room(spot, width, height) else {
        return Ok(());
    };
    let tie = room.closest(spot);
    canvas.line(&[spot, tie], SOFT_INK, 0.75)?;
    canvas.block(
        (room.left, room.top),
        (room.left + width, room.top + height),
        PAPER,
        0.85,
    )?;
    let middle = (room.left + width / 2.0, room.top + height / 2.0);
    canvas.words(words, EM - 1.0, INK, middle, HPos::Center, VPos::Center)
}
