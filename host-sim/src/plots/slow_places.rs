//! The path from above with the stretches that are cut too slowly, and the places that cost most
//! time, numbered and listed.

use super::canvas::{self, BOTTOM, Canvas, Failure, Frame, Heading, LEFT, MARGIN, Spot, WIDTH};
use super::colour::{GREY, INK, SKY, VERMILION};
use super::legend::{Legend, Swatch};
use super::marks::{self, MARK_GAP};
use super::path::Layout;
use super::place::Placer;
use super::slow_list::SlowList;
use super::{Labels, text};
use crate::places::Row;
use crate::recording::Recording;

/// What is marked and numbered.
#[derive(Clone, Copy, Debug)]
pub struct SlowPlaces<'a> {
    /// The places, the dearest first.
    pub rows: &'a [Row],
    /// The part of the programmed feed below which a stretch is marked, up to 1.
    pub below: f64,
}

/// Speeds closer than this part to the bound are the bound.
const SAME_SPEED: f64 = 1e-5;
/// Most numbers beside one mark.
const NUMBERS: usize = 4;

pub(super) fn draw(
    recording: &Recording,
    labels: &Labels,
    slow: &SlowPlaces,
) -> Result<String, Failure> {
    let layout = Layout::new(recording);
    let explanation = if recording.start().is_none() {
        "The program moves nothing.".to_owned()
    } else {
        format!(
            "Seen from above, x to the right and y up, in equal scale. Numbers are those of the list \
             below, 1 for the place that costs the most time.{}",
            layout.height()
        )
    };
    let heading = Heading::new("Where time is lost", labels, &explanation);
    let frame = layout.frame(heading.height(), WIDTH - 2.0 * MARGIN - LEFT);
    let marked = clusters(slow.rows, &frame);
    let legend = legend(layout.has_rapids, slow);
    let legend_y = frame.y + frame.height + BOTTOM + 6.0;
    let list = SlowList::new(slow.rows);
    let list_y = legend_y + legend.height() + 12.0;

    canvas::sheet(list_y + list.height() + MARGIN, heading.title(), |canvas| {
        heading.draw(canvas)?;
        canvas.axes(&frame)?;
        let mut placer = Placer::within(&frame);
        path(canvas, &frame, recording, slow.below, &mut placer)?;
        places(canvas, &frame, recording, &marked, &mut placer)?;
        legend.draw(canvas, (MARGIN, legend_y))?;
        list.draw(canvas, list_y)
    })
}

/// Places whose marks would cover each other, with all their numbers.
fn clusters(rows: &[Row], frame: &Frame) -> Vec<(Spot, Vec<usize>)> {
    let mut marked: Vec<(Spot, Vec<usize>)> = Vec::new();
    for row in rows {
        let spot = frame.spot(row.position_mm.x, row.position_mm.y);
        let near = |(other, _): &&mut (Spot, Vec<usize>)| {
            (other.0 - spot.0).hypot(other.1 - spot.1) < MARK_GAP
        };
        match marked.iter_mut().find(near) {
            Some((_, numbers)) => numbers.push(row.number),
            None => marked.push((spot, vec![row.number])),
        }
    }
    marked
}

fn legend(has_rapids: bool, slow: &SlowPlaces) -> Legend {
    let part = text::number(100.0 * slow.below, 3);
    let mut items = vec![
        (Swatch::Disc(INK), "start".to_owned()),
        (Swatch::Square(INK), "end".to_owned()),
        (Swatch::Line(SKY), "cutting".to_owned()),
        (
            Swatch::Block(VERMILION, 1.0),
            format!("cutting slower than {part} % of the programmed feed"),
        ),
    ];
    if has_rapids {
        items.push((Swatch::ShortDashes(GREY), "rapid".to_owned()));
    }
    if !slow.rows.is_empty() {
        items.push((Swatch::Ring(INK), "place that costs time".to_owned()));
    }
    Legend::new(items, WIDTH - 2.0 * MARGIN)
}

/// Draws the path: rapids, then cutting, then what is slow on top.
fn path(
    canvas: &Canvas,
    frame: &Frame,
    recording: &Recording,
    below: f64,
    placer: &mut Placer,
) -> Result<(), Failure> {
    #[derive(Clone, Copy, PartialEq)]
    enum Class {
        Rapid,
        Cutting,
        Slow,
    }
    let Some(start) = recording.start() else {
        return Ok(());
    };
    let bound = below * (1.0 - SAME_SPEED);
    let mut from = frame.spot(start[0], start[1]);
    let mut runs: Vec<(Class, Vec<Spot>)> = Vec::new();
    for stretch in recording.stretches() {
        let to = frame.spot(stretch.to[0], stretch.to[1]);
        placer.line(from, to);
        let class = match stretch.rapid {
            true => Class::Rapid,
            false if stretch.low_share < bound => Class::Slow,
            false => Class::Cutting,
        };
        match runs.last_mut() {
            Some((last, spots)) if *last == class => spots.push(to),
            _ => runs.push((class, vec![from, to])),
        }
        from = to;
    }
    for class in [Class::Rapid, Class::Cutting, Class::Slow] {
        for (_, spots) in runs.iter().filter(|(other, _)| *other == class) {
            match class {
                Class::Rapid => canvas.short_dashes(spots, GREY, 1.25)?,
                Class::Cutting => canvas.line(spots, SKY, 1.5)?,
                Class::Slow => canvas.line(spots, VERMILION, 3.0)?,
            }
        }
    }
    Ok(())
}

/// Marks start, end and the places, with their numbers.
fn places(
    canvas: &Canvas,
    frame: &Frame,
    recording: &Recording,
    marked: &[(Spot, Vec<usize>)],
    placer: &mut Placer,
) -> Result<(), Failure> {
    let (Some(start), Some(last)) = (recording.start(), recording.stretches().last()) else {
        return Ok(());
    };
    let (start, end) = (
        frame.spot(start[0], start[1]),
        frame.spot(last.to[0], last.to[1]),
    );
    placer.mark(start, 8.0);
    placer.mark(end, 8.0);
    for (spot, _) in marked {
        placer.mark(*spot, 5.0);
        canvas.disc(*spot, 4.5, INK, Some(1.5))?;
    }
    // The dearest first: where there is not room for all, the others go without.
    for (spot, numbers) in marked {
        let shown: Vec<String> = numbers.iter().take(NUMBERS).map(usize::to_string).collect();
        let more = if numbers.len() > NUMBERS { " …" } else { "" };
        marks::label(
            canvas,
            placer,
            *spot,
            &format!("{}{more}", shown.join(", ")),
        )?;
    }
    marks::ends(canvas, placer, start, end)
}
