//! What `simulate` writes once the run is over: summary, pictures and report.

use super::{SimulateError, cannot_write};
use crate::cli::CAUTION;
use crate::motion::AXIS_NAMES;
use crate::output::output_error::OutputError;
use crate::output::staging::Staging;
use crate::plots::{self, Labels, Picture};
use crate::recording::Recording;
use crate::report::{AxisRow, CheckRow, Figure, ReasonRow, ReportData, page};
use crate::summary::Summary;
use crate::terminal::{NOT_CHECKED, check_limit, check_name, check_worst, overview_rows, verdict};
use std::io::Write;

pub(super) fn write(
    summary: &Summary,
    recording: &Option<Recording>,
    png: bool,
    staging: &mut Staging,
) -> Result<(), SimulateError> {
    write_file(staging, "summary.json", summary.json().as_bytes())?;
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
        write_file(staging, &format!("{name}.svg"), svg.as_bytes())?;
        if png {
            let png = plots::png(picture, recording, &labels)?;
            write_file(staging, &format!("{name}.png"), &png)?;
        }
        figures.push(Figure {
            title: title(picture).into(),
            svg,
        });
    }
    let html = page(&report(summary, figures));
    write_file(staging, "report.html", html.as_bytes())?;
    Ok(())
}

fn write_file(staging: &mut Staging, name: &str, bytes: &[u8]) -> Result<(), OutputError> {
    let mut file = staging.file(name)?;
    file.write_all(bytes).map_err(cannot_write(name))
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
        verdict: verdict(&summary.checks),
        not_checked: NOT_CHECKED.join(" "),
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
    }
}
