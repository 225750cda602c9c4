//! What `simulate` writes once the run is over: summary, pictures and report.

use super::listener::Told;
use super::{SimulateError, cannot_write};
use crate::cli::CAUTION;
use crate::corners::{open_parts, slow};
use crate::machine::Machine;
use crate::motion::AXIS_NAMES;
use crate::output::output_error::OutputError;
use crate::output::staging::Staging;
use crate::places::rows;
use crate::plots::{self, Labels, Picture};
use crate::recording::Recording;
use crate::report::{
    AxisRow, CheckRow, EventRows, FAILS, Figure, PlacesData, ReasonRow, ReportData, page, pictures,
};
use crate::stall::{SpeedChange, Stall, StallMargin};
use crate::summary::Summary;
use crate::terminal::events::tables;
use crate::terminal::{
    check_limit, check_name, check_worst, figure, not_checked, overview_rows, verdict,
};
use crate::worth::Worth;
use std::io::Write;

/// Most places in the report's table; the others are summed by reason.
const MOST_PLACES: usize = 30;

pub(super) fn write(
    summary: &Summary,
    told: &Told,
    worth: Result<Worth, String>,
    machine: &Machine,
    png: bool,
    staging: &mut Staging,
) -> Result<(), SimulateError> {
    write_file(staging, "summary.json", summary.json().as_bytes())?;
    let recording = &told.recording;
    let labels = Labels {
        program: summary.program.clone(),
        machine: summary.machine.clone(),
    };
    let mut figures = Vec::new();
    for picture in Picture::ALL {
        let name = picture.name();
        let svg = plots::svg(picture, recording, &labels)?;
        write_file(staging, &format!("{name}.svg"), svg.as_bytes())?;
        if png {
            let png = plots::png(picture, recording, &labels)?;
            write_file(staging, &format!("{name}.png"), &png)?;
        }
        // The page has its own pictures of the others.
        if picture == Picture::Axes {
            figures.push(Figure {
                title: "Each axis against its limits".into(),
                svg,
            });
        }
    }
    if let (Some(stall), Some(torque)) = (&summary.stall, &told.torque) {
        let svg = plots::stall_svg(stall, torque, &labels)?;
        write_file(staging, "stall.svg", svg.as_bytes())?;
        if png {
            let png = plots::png_of(&svg, "stall")?;
            write_file(staging, "stall.png", &png)?;
        }
        figures.push(Figure {
            title: "Torque of the motors, needed and available".into(),
            svg,
        });
    }
    if let Some(svg) = plots::events_svg(recording, &labels)? {
        write_file(staging, "events.svg", svg.as_bytes())?;
        if png {
            let png = plots::png_of(&svg, "events")?;
            write_file(staging, "events.png", &png)?;
        }
        figures.push(Figure {
            title: "Events of the script".into(),
            svg,
        });
    }
    let mut data = report(summary, figures);
    data.job = told.job.parts().collect();
    data.job_notes = job_notes(told);
    data.events = (tables(summary).into_iter())
        .map(|table| EventRows {
            title: table.title.into(),
            head: table.head.map(String::from).into(),
            rows: table.rows.into_iter().map(Vec::from).collect(),
        })
        .collect();
    data.places = places(summary, recording, machine);
    match worth {
        Ok(worth) => data.worth = Some(worth),
        Err(why) => data.worth_left_out = Some(why),
    }
    let html = page(&data);
    write_file(staging, "report.html", html.as_bytes())?;
    Ok(())
}

fn write_file(staging: &mut Staging, name: &str, bytes: &[u8]) -> Result<(), OutputError> {
    let mut file = staging.file(name)?;
    file.write_all(bytes).map_err(cannot_write(name))
}

fn places(summary: &Summary, recording: &Recording, machine: &Machine) -> PlacesData {
    let found = recording.places();
    let rows = rows(&found, MOST_PLACES, machine, summary.job_time_s);
    PlacesData {
        others: found.beyond(rows.len()),
        rounding_s: found.rounding_s,
        lost_s: found.lost_s(),
        job_time_s: summary.job_time_s,
        pictures: pictures(recording, &rows),
        rows,
    }
}

fn job_notes(told: &Told) -> Vec<String> {
    let parts: Vec<_> = told.job.parts().collect();
    let mut notes: Vec<String> = open_parts(&parts).into_iter().collect();
    notes.extend(slow(&told.slow_cutting).lines().map(String::from));
    notes
}

/// The least stall margin of each axis, and its worst sudden change of speed.
fn stall_rows(summary: &Summary) -> Vec<(String, String)> {
    let Some(stall) = &summary.stall else {
        return Vec::new();
    };
    let margin = |found: &StallMargin| {
        let estimate = if found.estimate { ", an estimate" } else { "" };
        let (mark, asked) = if found.pass {
            ("", String::new())
        } else {
            (FAILS, format!(", less than {}", figure(stall.asked)))
        };
        let said = format!(
            "{mark}{}{estimate}{asked}: {} N·m needed, {} N·m available at {} rpm (line {}, {:.3} s)",
            figure(found.margin),
            figure(found.needed_nm),
            figure(found.available_nm),
            figure(found.motor_rpm.abs()),
            found.line,
            found.time_s
        );
        (format!("stall margin, {}", found.axis), said)
    };
    let change = |found: &SpeedChange| {
        let allowed = found.allowed_steps_s.map_or(
            "not judged: the motor's start_stop_rate is not known".into(),
            |allowed| format!("at most {}", figure(allowed)),
        );
        let mark = if found.pass { "" } else { FAILS };
        let said = format!(
            "{mark}{} full steps/s at once, {allowed} (line {}, {:.3} s)",
            figure(found.change_steps_s),
            found.line,
            found.time_s
        );
        (format!("corner speed change, {}", found.axis), said)
    };
    let margins = stall.margins.iter().map(margin);
    margins
        .chain(stall.speed_changes.iter().map(change))
        .collect()
}

fn report(summary: &Summary, figures: Vec<Figure>) -> ReportData {
    let axes = summary.peaks.each();
    ReportData {
        program: summary.program.clone(),
        machine: summary.machine.clone(),
        summary: overview_rows(summary)
            .into_iter()
            .chain(stall_rows(summary))
            .collect(),
        axes: (0..axes.len())
            .map(|i| AxisRow {
                name: AXIS_NAMES[i].into(),
                steps: *summary.steps.each()[i],
                end_mm: *summary.end_mm.each()[i],
                speed_mm_s: axes[i].speed_mm_s,
                speed_limit_mm_s: axes[i].speed_limit_mm_s,
                acceleration_mm_s2: axes[i].acceleration_mm_s2,
                acceleration_limit_mm_s2: axes[i].acceleration_limit_mm_s2,
            })
            .collect(),
        verdict: verdict(&summary.checks),
        not_checked: [
            summary.stall.as_ref().and_then(Stall::estimate),
            Some(not_checked(summary)),
        ]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" "),
        checks: summary
            .checks
            .iter()
            .map(|check| CheckRow {
                name: check_name(check),
                limit: check_limit(check),
                worst: check_worst(check),
                unit: check.shown(0.0).1.into(),
                line: check.line,
                time_s: check.time_s,
                place_mm: check.position_mm.map(|at| at.each().map(|mm| *mm)),
                what: check.what.clone(),
                verdict: check.verdict(),
            })
            .collect(),
        reasons: summary
            .reasons()
            .map(|(name, seconds)| ReasonRow {
                name: name.into(),
                seconds,
                share: seconds / summary.job_time_s,
            })
            .collect(),
        figures,
        cautions: vec![CAUTION.into()],
        ..ReportData::default()
    }
}
