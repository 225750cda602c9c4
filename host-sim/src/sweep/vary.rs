//! `NAME=FROM..TO:COUNT`: which setting a sweep varies, and over which values.

use crate::input_error::InputError;
use crate::setting::{Form, Setting, SettingError};
use serde::Serialize;
use std::ops::Range;

/// Values of one setting at most: more than a picture can show.
const MOST: usize = 200;

/// A setting and the values it takes, from the least to the most, evenly spaced.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Vary {
    /// Which.
    #[serde(skip)]
    pub setting: Setting,
    /// Its name.
    pub name: String,
    /// Unit of the values; empty for a factor.
    pub unit: &'static str,
    /// What it is in the machine file; 1 for a factor.
    pub now: f64,
    /// The values.
    pub values: Vec<f64>,
}

/// Reads all `texts`; `now` gives what a setting is in the machine file.
///
/// # Errors
/// Anything that is not written so, more than two, and two that change the same number.
pub(super) fn read_all(
    texts: &[String],
    now: impl Fn(Setting) -> f64,
) -> Result<Vec<Vary>, InputError> {
    let mut found: Vec<Vary> = Vec::new();
    for text in texts {
        let refuse = |cause: String, remedy: &str| Err(at(text, 0..text.len(), cause, remedy));
        if found.len() == 2 {
            let cause = "a third --vary: a picture has two axes".into();
            return refuse(
                cause,
                "vary one or two settings, and run again for the others",
            );
        }
        let vary = read(text, &now)?;
        if let Some(other) = found.iter().find(|other| meet(other.setting, vary.setting)) {
            let cause = format!("{} and {} change the same number", other.name, vary.name);
            return refuse(cause, "vary two settings that have nothing in common");
        }
        found.push(vary);
    }
    Ok(found)
}

/// Whether two settings change the same number of the machine.
fn meet(a: Setting, b: Setting) -> bool {
    use Setting::{Acceleration, AllAccelerations, AllSpeeds, Speed};
    a == b
        || matches!(
            (a, b),
            (AllAccelerations, Acceleration(_))
                | (Acceleration(_), AllAccelerations)
                | (AllSpeeds, Speed(_))
                | (Speed(_), AllSpeeds)
        )
}

fn at(text: &str, span: Range<usize>, cause: impl Into<String>, remedy: &str) -> InputError {
    InputError::at("--vary", 1, text, span, cause, remedy)
}

fn read(text: &str, now: &impl Fn(Setting) -> f64) -> Result<Vary, InputError> {
    let form = "write NAME=FROM..TO:COUNT, as in \
                \"axis.x.acceleration_limit=200 mm/s^2..1000 mm/s^2:17\"";
    let lacks = |what: &str| {
        at(
            text,
            0..text.len(),
            format!("there is no {what} in it"),
            form,
        )
    };
    let (name, range) = text.split_once('=').ok_or_else(|| lacks("`=`"))?;
    let wrong = |part: &str, error: SettingError| {
        // Both are parts of one text, so the difference of their places is an offset in it.
        let start = part.as_ptr() as usize - text.as_ptr() as usize;
        at(text, start..start + part.len(), error.cause, &error.remedy)
    };
    let setting = Setting::find(name.trim()).map_err(|error| wrong(name, error))?;
    let (ends, count) = range.rsplit_once(':').ok_or_else(|| lacks("`:COUNT`"))?;
    let (from, to) = ends.split_once("..").ok_or_else(|| lacks("`..`"))?;
    let [low, high] = {
        let parse = |part| setting.parse(part).map_err(|error| wrong(part, error));
        [parse(from)?, parse(to)?]
    };
    let refuse = |part, cause, remedy: &str| Err(wrong(part, SettingError::new(cause, remedy)));
    if low <= 0.0 {
        let cause = format!("`{}` must be more than 0", setting.name());
        return refuse(from, cause, "begin at a value that a machine can have");
    }
    if high <= low {
        let cause = format!(
            "{} is not more than {}",
            setting.show(high),
            setting.show(low)
        );
        return refuse(ends, cause, "write the lower end first");
    }
    let number: usize = match count.trim().parse() {
        Ok(number) if (2..=MOST).contains(&number) => number,
        _ => {
            let cause = format!("`{}` is not a count from 2 to {MOST}", count.trim());
            return refuse(
                count,
                cause,
                "write how many values to try, both ends with them",
            );
        }
    };
    let steps = number - 1;
    if setting.form() == Form::Moves && !((high - low) as usize).is_multiple_of(steps) {
        let cause = format!("{number} values from {low} to {high} are not whole moves");
        let remedy = format!(
            "write :{}, which makes them whole",
            whole((high - low) as usize, steps)
        );
        return refuse(count, cause, &remedy);
    }
    let value = |step: usize| match step {
        _ if step == steps => high,
        _ => low + (high - low) * step as f64 / steps as f64,
    };
    Ok(Vary {
        setting,
        name: setting.name(),
        unit: setting.unit(),
        now: now(setting),
        values: (0..number).map(value).collect(),
    })
}

/// The count, nearest to `steps` + 1, that cuts `span` into whole steps.
fn whole(span: usize, steps: usize) -> usize {
    let fits = |steps: &usize| span.is_multiple_of(*steps);
    let nearest = (1..MOST).filter(fits).min_by_key(|fit| fit.abs_diff(steps));
    1 + nearest.unwrap_or(1)
}
