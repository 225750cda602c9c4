//! The path from above, coloured by speed, with the corners that slow it most.

use super::canvas::{self, BOTTOM, Canvas, EM, Failure, Frame, Heading, LEFT, MARGIN, Spot, WIDTH};
use super::colour::{self, GREY, INK, SOFT_INK, SPEED_STEPS, VERMILION};
use super::legend::{Legend, Swatch};
use super::place::Placer;
use super::{Labels, marks, text};
use crate::recording::{Range, Recording};
use plotters::style::text_anchor::{HPos, VPos};

/// Room for the speed scale at the right.
const SCALE_ROOM: f64 = 96.0;
pub(super) fn draw(recording: &Recording, labels: &Labels) -> Result<String, Failure> {
    let layout = Layout::new(recording);
    let heading = Heading::new("Path from above", labels, &layout.explanation(recording));
    let width = WIDTH - 2.0 * MARGIN - LEFT - SCALE_ROOM;
    let frame = layout.frame(heading.height(), width);
    let found = recording.places();
    let corners = marks::worst(found.turns(), &frame);
    let legend = layout.legend(corners.len(), found.turn_count());
    let legend_y = frame.y + frame.height + BOTTOM + 6.0;

    canvas::sheet(
        legend_y + legend.height() + MARGIN,
        heading.title(),
        |canvas| {
            heading.draw(canvas)?;
            canvas.axes(&frame)?;
            let mut placer = Placer::within(&frame);
            path(canvas, &frame, recording, layout.fastest, &mut placer)?;
            marks::draw(canvas, &frame, recording, &corners, &mut placer)?;
            if layout.fastest > 0.0 {
                scale(canvas, &frame, layout.fastest)?;
            }
            legend.draw(canvas, (MARGIN, legend_y))
        },
    )
}

/// What the path spans.
pub(super) struct Layout {
    x: Range,
    y: Range,
    z: Range,
    /// Highest of the lowest speeds of stretches other than rapids, mm/s; 0 where there are none.
    fastest: f64,
    pub has_rapids: bool,
}

impl Layout {
    pub fn new(recording: &Recording) -> Self {
        let [mut x, mut y, mut z] = [Range::NONE; 3];
        let ends = recording.stretches().iter().map(|stretch| stretch.to);
        for point in recording.start().into_iter().chain(ends) {
            x.add(point[0]);
            y.add(point[1]);
            z.add(point[2]);
        }
        let cutting = recording
            .stretches()
            .iter()
            .filter(|stretch| !stretch.rapid);
        Self {
            x,
            y,
            z,
            fastest: cutting.map(|stretch| stretch.low_mm_s).fold(0.0, f64::max),
            has_rapids: recording.stretches().iter().any(|stretch| stretch.rapid),
        }
    }

    fn explanation(&self, recording: &Recording) -> String {
        if recording.start().is_none() {
            return "The program moves nothing.".to_owned();
        }
        let mut lines =
            "Seen from above, x to the right and y up, in equal scale. The darker, the slower: \
             each stretch has the colour of its lowest speed."
                .to_owned();
        lines.push_str(&self.height());
        lines
    }

    /// What the picture cannot show of z, in a sentence that follows another.
    pub fn height(&self) -> String {
        if self.z.high - self.z.low > 1e-6 {
            format!(
                " Height is not shown: z runs from {} to {} mm, and moves along z alone are dots.",
                text::number(self.z.low, 3),
                text::number(self.z.high, 3)
            )
        } else {
            String::new()
        }
    }

    /// A chart of equal scale around the path.
    pub fn frame(&self, y: f64, width: f64) -> Frame {
        let middle = |range: &Range| {
            if range.low <= range.high {
                (range.low + range.high) / 2.0
            } else {
                0.0
            }
        };
        // A tenth of air, and at least a millimetre to show.
        let size = |range: &Range| (1.1 * (range.high - range.low)).max(1.0);
        let height = (width * size(&self.y) / size(&self.x)).clamp(280.0, 760.0);
        let mm = (size(&self.x) / width).max(size(&self.y) / height); // in a unit of the sheet
        let span = |range: &Range, units: f64| {
            let half = mm * units / 2.0;
            middle(range) - half..middle(range) + half
        };
        Frame {
            x: MARGIN + LEFT,
            y,
            width,
            height,
            xs: span(&self.x, width),
            ys: span(&self.y, height),
            x_title: "x, mm".to_owned(),
            y_title: "y, mm".to_owned(),
        }
    }

    fn legend(&self, marked: usize, corners: u64) -> Legend {
        let mut items = vec![
            (Swatch::Disc(INK), "start".to_owned()),
            (Swatch::Square(INK), "end".to_owned()),
        ];
        if self.has_rapids {
            items.push((Swatch::ShortDashes(GREY), "rapid".to_owned()));
        }
        if marked > 0 {
            let words = if marked as u64 == corners {
                "corner or bend that slows the path, with its line and lowest speed".to_owned()
            } else {
                format!(
                    "the {marked} most costly of {corners} corners and bends that slow the path; line and lowest speed where there is room"
                )
            };
            items.push((Swatch::Ring(VERMILION), words));
        }
        Legend::new(items, WIDTH - 2.0 * MARGIN)
    }
}

/// Draws the path: rapids first, then from fast to slow, so that the slow places lie on top.
fn path(
    canvas: &Canvas,
    frame: &Frame,
    recording: &Recording,
    fastest: f64,
    placer: &mut Placer,
) -> Result<(), Failure> {
    let Some(start) = recording.start() else {
        return Ok(());
    };
    let class = |low: f64| ((low / fastest * SPEED_STEPS as f64) as usize).min(SPEED_STEPS - 1);
    let mut from = frame.spot(start[0], start[1]);
    let mut runs: Vec<(Option<usize>, Vec<Spot>)> = Vec::new();
    for stretch in recording.stretches() {
        let to = frame.spot(stretch.to[0], stretch.to[1]);
        placer.line(from, to);
        let class = (!stretch.rapid).then(|| class(stretch.low_mm_s));
        match runs.last_mut() {
            Some((last, spots)) if *last == class => spots.push(to),
            _ => runs.push((class, vec![from, to])),
        }
        from = to;
    }
    for (_, spots) in runs.iter().filter(|(class, _)| class.is_none()) {
        canvas.short_dashes(spots, GREY, 1.25)?;
    }
    for step in (0..SPEED_STEPS).rev() {
        for (_, spots) in runs.iter().filter(|(class, _)| *class == Some(step)) {
            canvas.line(spots, colour::speed(step), 1.75)?;
        }
    }
    Ok(())
}

/// The colours of the speeds, with numbers.
fn scale(canvas: &Canvas, frame: &Frame, fastest: f64) -> Result<(), Failure> {
    const BAR: f64 = 18.0;
    let (left, height) = (
        frame.x + frame.width + 26.0,
        (frame.height - 30.0).min(360.0),
    );
    let top = frame.y + 30.0;
    let y = |share: f64| top + height * (1.0 - share);
    canvas.words(
        "speed, mm/s",
        EM,
        INK,
        (left - 4.0, frame.y + 8.0),
        HPos::Left,
        VPos::Center,
    )?;
    // Each down to the foot, from the fastest on, so that no seams show.
    for step in (0..SPEED_STEPS).rev() {
        let upper = y((step + 1) as f64 / SPEED_STEPS as f64);
        canvas.block(
            (left, upper),
            (left + BAR, top + height),
            colour::speed(step),
            1.0,
        )?;
    }
    let step = text::round_step(fastest / 5.0);
    for tick in 0..=(fastest / step * (1.0 + 1e-9)) as u32 {
        let value = f64::from(tick) * step;
        let at = y(value / fastest);
        canvas.line(&[(left + BAR, at), (left + BAR + 4.0, at)], SOFT_INK, 1.0)?;
        let spot = (left + BAR + 7.0, at);
        canvas.words(
            &text::number(value, 4),
            EM - 1.0,
            INK,
            spot,
            HPos::Left,
            VPos::Center,
        )?;
    }
    Ok(())
}
