//! Torque that motors have, and torque that is needed, against speed: a panel for each axis.

use super::Labels;
use super::canvas::{self, BOTTOM, Canvas, EM, Failure, Frame, LEFT, MARGIN, Stroke, WIDTH};
use super::clear::clear_spot;
use super::colour::{BLUE, GREY, INK, SOFT_INK, VERMILION};
use super::legend::{Legend, Swatch};
use super::text;
use crate::setting::digits;
use crate::size::{AxisSize, CurvePoint, Sizing};
use plotters::style::text_anchor::{HPos, VPos};

/// Height of a panel's chart.
const HEIGHT: f64 = 210.0;
/// Room above it for its name.
const NAME: f64 = 34.0;
/// Radius of the ring at both limits.
const RING: f64 = 6.0;
/// Words further from it than this hang on a line.
const FAR: f64 = 18.0;

const STEADY: Stroke = Stroke {
    colour: VERMILION,
    dashes: Some((2.0, 3.0)),
    width: 1.5,
};

pub(super) fn draw(sizing: &Sizing) -> Result<String, Failure> {
    let panels: Vec<&AxisSize> = sizing
        .axes
        .iter()
        .filter(|axis| !axis.curve.is_empty())
        .collect();
    let labels = Labels {
        program: "motors".into(),
        machine: sizing.machine.clone(),
    };
    let explanation = "Torque of each motor against the speed of its axis. Where the thick line lies above \
                       the solid orange one, the motor gives the acceleration limit with the safety factor; the \
                       ring is at both limits. Cutting, weight and friction are in what is needed, in the \
                       worse direction.";
    let heading = canvas::Heading::new("Torque", &labels, explanation);
    let legend = Legend::new(legend(sizing, &panels), WIDTH - 2.0 * MARGIN - LEFT);
    let top = heading.height() + legend.height() + 4.0;
    let panel_height = NAME + HEIGHT + BOTTOM;
    let height = top + panel_height * panels.len().max(1) as f64 + MARGIN;
    canvas::sheet(height, heading.title(), |canvas| {
        heading.draw(canvas)?;
        legend.draw(canvas, (MARGIN + LEFT, heading.height()))?;
        for (index, axis) in panels.iter().enumerate() {
            panel(
                canvas,
                axis,
                sizing.safety,
                top + panel_height * index as f64,
            )?;
        }
        Ok(())
    })
}

fn legend(sizing: &Sizing, panels: &[&AxisSize]) -> Vec<(Swatch, String)> {
    let safety = digits(sizing.safety);
    let mut items = vec![
        (
            Swatch::Line(BLUE),
            format!("there is, with a safety factor of {safety}"),
        ),
        (Swatch::Dashes(BLUE), "there is".into()),
        (
            Swatch::Line(VERMILION),
            "needed at the acceleration limit".into(),
        ),
        (Swatch::Stroke(STEADY), "needed at a constant speed".into()),
        (Swatch::Ring(INK), "both limits".into()),
    ];
    if panels.iter().any(|axis| !shown_ceilings(axis).is_empty()) {
        items.push((Swatch::Dashes(GREY), "no faster".into()));
    }
    items
}

/// The ceilings within the picture, but for the torque's, which is where lines cross.
fn shown_ceilings(axis: &AxisSize) -> Vec<(f64, &'static str)> {
    use crate::size::Bound::{Driver, EndOfCurve, Timer, Whip};
    let last = axis.curve.last().map_or(0.0, |point| point.speed_mm_s);
    axis.ceilings
        .iter()
        .filter(|ceiling| matches!(ceiling.bound, Whip | Driver | Timer | EndOfCurve))
        .filter(|ceiling| ceiling.speed_mm_s <= last)
        .map(|ceiling| (ceiling.speed_mm_s, ceiling.bound.words()))
        .collect()
}

fn panel(canvas: &Canvas, axis: &AxisSize, safety: f64, top: f64) -> Result<(), Failure> {
    let (Some(motor), Some(last)) = (&axis.motor, axis.curve.last()) else {
        return Ok(());
    };
    let most = axis
        .curve
        .iter()
        .map(|point| point.available_nm.max(point.needed_nm))
        .fold(0.0, f64::max);
    let rpm = axis.rpm_at(last.speed_mm_s);
    let frame = Frame {
        x: MARGIN + LEFT,
        y: top + NAME,
        width: WIDTH - 2.0 * MARGIN - LEFT,
        height: HEIGHT,
        xs: 0.0..last.speed_mm_s,
        ys: 0.0..1.08 * most.max(1e-6),
        x_title: format!("speed of {}, mm/s (motor: 0 to {rpm:.0} rpm)", axis.axis),
        y_title: "torque, N m".into(),
    };
    let many = if motor.count == 2 {
        ", each of two motors"
    } else {
        ""
    };
    let estimate = if motor.torque_is_estimate {
        ": the torque there is, is an ESTIMATE from the ratings"
    } else {
        ""
    };
    let name = format!(
        "{}: {} {}{many}{estimate}",
        axis.axis, axis.drive, axis.drive_size
    );
    let name = text::fit(&name, EM + 1.0, frame.width);
    canvas.words(
        &name,
        EM + 1.0,
        INK,
        (frame.x, top + 12.0),
        HPos::Left,
        VPos::Top,
    )?;
    canvas.axes(&frame)?;
    let line = |torque: &dyn Fn(&CurvePoint) -> f64| -> Vec<_> {
        let points = axis.curve.iter();
        points
            .map(|point| frame.spot(point.speed_mm_s, torque(point)))
            .collect()
    };
    let mut named = Vec::new();
    for (index, (speed, words)) in shown_ceilings(axis).into_iter().enumerate() {
        let ends = [frame.ys.start, frame.ys.end].map(|torque| frame.spot(speed, torque));
        canvas.dashes(&ends, GREY, 1.25)?;
        // One below the other, where two lie close together.
        let y = frame.y + 4.0 + 15.0 * index as f64;
        let (h, x) = if ends[0].0 > frame.x + 0.2 * frame.width {
            (HPos::Right, ends[0].0 - 4.0)
        } else {
            (HPos::Left, ends[0].0 + 4.0)
        };
        canvas.words(words, EM - 1.0, INK, (x, y), h, VPos::Top)?;
        let width = text::width(words, EM - 1.0);
        let left = if matches!(h, HPos::Right) {
            x - width
        } else {
            x
        };
        named.push([(left, y + 6.0), (left + width, y + 6.0)]);
        named.push(ends);
    }
    canvas.dashes(&line(&|point| point.available_nm), BLUE, 1.5)?;
    canvas.line(&line(&|point| point.available_nm / safety), BLUE, 2.5)?;
    canvas.stroke(&line(&|point| point.steady_nm), &STEADY)?;
    canvas.line(&line(&|point| point.needed_nm), VERMILION, 1.5)?;
    if let (Some(limits), Some(demand)) = (axis.limits, axis.demand) {
        let at = frame.spot(limits.speed_mm_s, demand.needed_nm);
        canvas.disc(at, RING, INK, Some(2.0))?;
        let words = format!(
            "{} mm/s, {} mm/s²",
            digits(limits.speed_mm_s),
            digits(limits.acceleration_mm_s2)
        );
        let mut lines = vec![
            line(&|point| point.available_nm),
            line(&|point| point.available_nm / safety),
            line(&|point| point.steady_nm),
            line(&|point| point.needed_nm),
        ];
        // Names of ceilings are lines too, that nothing may cover.
        lines.extend(named.into_iter().map(Vec::from));
        let size = (text::width(&words, EM) + 4.0, 16.0);
        let corner = clear_spot(&frame, at, size, &lines);
        let (low, high) = (corner.1, corner.1 + size.1);
        if high < at.1 - FAR || low > at.1 + FAR {
            let (near, edge) = if high < at.1 {
                (high, -RING)
            } else {
                (low, RING)
            };
            let x = at.0.clamp(corner.0, corner.0 + size.0);
            canvas.line(&[(at.0, at.1 + edge), (x, near)], SOFT_INK, 0.75)?;
        }
        let middle = (corner.0 + 2.0, corner.1 + size.1 / 2.0);
        canvas.words(&words, EM, INK, middle, HPos::Left, VPos::Center)?;
    }
    Ok(())
}
