//! A sizing on the terminal: a table of the axes, then what is too much, and what to mind.

use super::{AxisSize, Limits, Sizing, rounded_down};
use crate::layout::{prose, side_by_side};
use crate::setting::digits;

/// What stands at the end of every sizing.
const CAUTION: &str = "Calculated, not tested: find lost steps as docs/settings.md shows, hands off, before \
the machine cuts. A motor, a screw or a belt that starts by itself pinches; motors and drivers get hot; a long \
screw whips. What frame, belt and bearings bear is not calculated. Supplies with mains or high voltage are for a licensed electrician and local codes.";

/// The sizing as text.
pub fn text(sizing: &Sizing) -> String {
    let mut text = format!(
        "{}: torque with a safety factor of {}\n\n",
        sizing.machine,
        digits(sizing.safety)
    );
    text += &table(sizing);
    let without = &sizing.without_drive;
    if !without.is_empty() {
        let names: Vec<String> = without.iter().map(char::to_string).collect();
        text += &prose(
            &format!("Without a drive in the file: {}.", names.join(", ")),
            "",
        );
    }
    text += "\n";
    let rule = rule(sizing);
    if !rule.is_empty() {
        text += &prose(&rule, "");
    }
    for axis in &sizing.axes {
        for caution in &axis.cautions {
            text += &prose(&format!("Caution: {caution}"), "  ");
        }
    }
    text += &prose(CAUTION, "");
    text += "\n";
    for fault in sizing.axes.iter().flat_map(|axis| &axis.faults) {
        text += &prose(&format!("TOO MUCH: {fault}"), "  ");
    }
    text + &prose(&verdict(sizing), "")
}

fn verdict(sizing: &Sizing) -> String {
    if let Some(file) = &sizing.written {
        return format!("Written: {file}. Next: spokeshave simulate PROGRAM --machine {file}");
    }
    if sizing.pass() {
        return "The parts can give what the limits ask for.".into();
    }
    let faulty = |axis: &&AxisSize| !axis.faults.is_empty();
    // Where nothing can be chosen, there is nothing to lower limits to.
    let (others, none): (Vec<&AxisSize>, Vec<&AxisSize>) =
        (sizing.axes.iter().filter(faulty)).partition(|axis| axis.chosen.is_some());
    let mut said = Vec::new();
    if !others.is_empty() {
        said.push(
            "The limits ask for more than the parts can give: lower them, or --anew works out others."
                .to_owned(),
        );
    }
    if !none.is_empty() {
        said.push(format!(
            "No limits are low enough for the parts of {}: it takes other parts or less load.",
            names(&none)
        ));
    }
    if let Some(file) = &sizing.not_written {
        said.push(format!("Nothing was written to {file}."));
    }
    said.join(" ")
}

/// As in `x, y`.
fn names(axes: &[&AxisSize]) -> String {
    let names: Vec<String> = axes.iter().map(|axis| axis.axis.to_string()).collect();
    names.join(", ")
}

/// What the motors do that are strong enough; none where none is.
fn strong(sizing: &Sizing) -> Option<String> {
    let with_motor = sizing.axes.iter().filter(|axis| axis.motor.is_some());
    let is_strong = |axis: &&AxisSize| axis.limits.is_some() && axis.faults.is_empty();
    let strong: Vec<&AxisSize> = with_motor.clone().filter(is_strong).collect();
    let who = match strong.len() {
        0 => return None,
        all if all == with_motor.count() => "The motor gives".into(),
        1 => format!("The motor of {} gives", names(&strong)),
        _ => format!("The motors of {} give", names(&strong)),
    };
    Some(format!(
        "{who} the acceleration limit at all speeds up to the speed limit."
    ))
}

fn rule(sizing: &Sizing) -> String {
    if sizing.axes.iter().all(|axis| axis.motor.is_none()) {
        return "No axis has a motor in the file, so there is no torque to compare.".into();
    }
    let strokes: Vec<String> = sizing
        .axes
        .iter()
        .filter(|axis| axis.chosen.is_some())
        .map(|axis| format!("{} {} mm", axis.axis, digits(axis.stroke_mm)))
        .collect();
    let rule = strong(sizing);
    if strokes.is_empty() {
        return rule.unwrap_or_default();
    }
    let rule = rule.map_or(String::new(), |rule| rule + " ");
    format!(
        "{rule}\"Best for a move\", and limits that are chosen, are the pair that takes the least time from \
         rest to rest ({}; --stroke).",
        strokes.join(", ")
    )
}

/// A row of the table: its head, and what it says of an axis; a row that says nothing of any is left
/// out.
type Row = (&'static str, fn(&AxisSize) -> Option<String>);

const ROWS: [Row; 21] = [
    ("drive", |axis| Some(axis.drive.into())),
    ("  diameter × lead, pitch × teeth", |axis| {
        Some(axis.drive_size.clone())
    }),
    ("travel a turn, mm", |axis| {
        Some(digits(axis.travel_per_turn_mm))
    }),
    ("steps/mm", |axis| Some(digits(axis.steps_per_mm))),
    ("efficiency, and back", |axis| {
        let back = 100.0 * axis.efficiency_back;
        let back = if back <= 0.0 {
            "locks".into()
        } else {
            format!("{back:.0} %")
        };
        Some(format!("{:.0} %, {back}", 100.0 * axis.efficiency))
    }),
    ("moves, kg", |axis| {
        axis.moving_mass_kg.map(|mass| digits(rounded(mass)))
    }),
    ("motors", |axis| {
        let motor = axis.motor?;
        let kind = if motor.torque_is_estimate {
            "estimate"
        } else {
            "curve"
        };
        Some(format!("{}, {kind}", motor.count))
    }),
    ("inertia: rotor, load, g cm²", |axis| {
        let motor = axis.motor?;
        let g_cm2 = |inertia: f64| digits(rounded(1e7 * inertia));
        Some(format!(
            "{}, {}",
            g_cm2(motor.rotor_inertia_kg_m2),
            g_cm2(motor.load_inertia_kg_m2)
        ))
    }),
    ("push allowed, N", |axis| {
        axis.most_push_n.map(|most| format!("{most:.0}"))
    }),
    ("highest speed, mm/s", |axis| {
        let least = lowest(axis)?;
        // Rounded down, as where sentences say it.
        Some(digits(rounded_down(least.speed_mm_s)))
    }),
    ("  because of", |axis| {
        Some(lowest(axis)?.bound.words().into())
    }),
    ("speed limit", |axis| {
        axis.limits
            .map(|limits| AxisSize::limits_as_text(&limits).0)
    }),
    ("  from", |axis| {
        axis.limits.map(|limits| limits.speed_bound.words().into())
    }),
    ("acceleration limit", |axis| {
        axis.limits
            .map(|limits| AxisSize::limits_as_text(&limits).1)
    }),
    ("  from", |axis| {
        axis.limits
            .map(|limits| limits.acceleration_bound.words().into())
    }),
    ("  motor at both limits, rpm", |axis| {
        axis.demand.map(|of| format!("{:.0}", of.motor_rpm))
    }),
    ("torque needed, N m", |axis| {
        axis.demand.map(|of| format!("{:.3}", of.needed_nm))
    }),
    ("torque there is, N m", |axis| {
        let of = axis.demand?;
        let estimate = axis.motor.is_some_and(|motor| motor.torque_is_estimate);
        let about = if estimate { "about " } else { "" };
        Some(format!("{about}{:.3}", of.available_nm))
    }),
    ("  times the needed", |axis| {
        axis.demand
            .map(|of| digits(rounded(of.available_nm / of.needed_nm)))
    }),
    ("best for a move, mm/s", |axis| {
        chosen(axis).map(|limits| digits(limits.speed_mm_s))
    }),
    ("  and mm/s²", |axis| {
        chosen(axis).map(|limits| digits(limits.acceleration_mm_s2))
    }),
];

/// The pair for a move, where it is not what the limits are already.
fn chosen(axis: &AxisSize) -> Option<Limits> {
    axis.chosen.filter(|chosen| axis.limits != Some(*chosen))
}

fn lowest(axis: &AxisSize) -> Option<&super::Ceiling> {
    axis.ceilings
        .iter()
        .min_by(|a, b| a.speed_mm_s.total_cmp(&b.speed_mm_s))
}

/// Three digits that count.
fn rounded(value: f64) -> f64 {
    if value <= 0.0 || !value.is_finite() {
        return 0.0;
    }
    let scale = 10_f64.powi(2 - value.log10().floor() as i32);
    (value * scale).round() / scale
}

fn table(sizing: &Sizing) -> String {
    let head = [String::new()]
        .into_iter()
        .chain(sizing.axes.iter().map(|axis| axis.axis.to_string()));
    let mut rows = vec![head.collect::<Vec<_>>()];
    for (name, says) in ROWS {
        let cells: Vec<Option<String>> = sizing.axes.iter().map(says).collect();
        if cells.iter().any(Option::is_some) {
            let cells = cells
                .into_iter()
                .map(|cell| cell.unwrap_or_else(|| "–".into()));
            rows.push([name.to_owned()].into_iter().chain(cells).collect());
        }
    }
    side_by_side(&rows)
}
