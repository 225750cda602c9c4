//! What `simulate` writes once the run is over: summary, pictures and report.

use super::SimulateError;
use crate::cli::CAUTION;
use crate::motion::AXIS_NAMES;
use crate::output::staging::Staging;
use crate::plots::{self, Labels, Picture};
use crate::recording::Recording;
use crate::report::{AxisRow, CheckRow, Figure, ReasonRow, ReportData, page};
use crate::summary::Summary;
use crate::terminal::overview_rows;
use std::io::Write;

pub(super) fn write(
    summary: &Summary,
    recording: &Option<Recording>,
    png: bool,
    staging: &mut Staging,
) -> Result<(), SimulateError> {
    let json = serde_json::to_string_pretty(summary).map_err(std::io::Error::from)?;
    staging.file("summary.json")?.write_all(json.as_bytes())?;
    let Some(recording) = recording else {
        return Ok(());
    };
    let labels = Labels {
        program: summary.program.clone(),
        machine: summary.machine.clone(),
    };
    let mut figures = Vec::new();
    for picture in Picture::ALL {
        let name = picture.name();
        let svg = plots::svg(picture, recording, &labels)?;
        staging
            .file(&format!("{name}.svg"))?
            .write_all(svg.as_bytes())?;
        if png {
            let png = plots::png(picture, recording, &labels)?;
            staging.file(&format!("{name}.png"))?.write_all(&png)?;
        }
        figures.push(Figure {
            title: title(picture).into(),
            svg,
        });
    }
    let html = page(&report(summary, figures));
    staging.file("report.html")?.write_all(html.as_bytes())?;
    Ok(())
}

fn title(picture: Picture) -> &'static str {
    match picture {
        Picture::Path => "The path and its speed",
        Picture::Speed => "Speed against time, and what binds it",
        Picture::Axes => "Each axis against its limits",
    }
}

fn report(summary: &Summary, figures: Vec<Figure>) -> ReportData {
    let axes = summary.peaks.each();
    ReportData {
        program: summary.program.clone(),
        machine: summary.machine.clone(),
        summary: overview_rows(summary),
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
        checks: summary
            .checks
            .iter()
            .map(|check| CheckRow {
                name: match check.axis {
                    Some(axis) => format!("{}, {axis}", check.name),
                    None => check.name.into(),
                },
                limit: check.limit,
                worst: check.worst.unwrap_or(f64::NAN),
                unit: check.unit.into(),
                line: check.line,
                pass: check.pass,
            })
            .collect(),
        reasons: summary
            .reasons()
            .into_iter()
            .map(|(name, seconds, _)| ReasonRow {
                name: name.into(),
                seconds,
                share: seconds / summary.job_time_s,
            })
            .collect(),
        figures,
        cautions: vec![CAUTION.into()],
    }
}
