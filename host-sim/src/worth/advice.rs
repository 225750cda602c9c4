//! The one sentence: which setting matters most, and what more of it asks for.

use super::{Change, SettingWorth};
use crate::run::queue_bytes;
use crate::setting::Setting;
use crate::summary::duration;

/// The sentence.
pub(super) fn advice(settings: &[SettingWorth], job_time_s: f64, least_s: f64) -> String {
    let Some(best) = best(settings, least_s) else {
        return "No setting saves time here by a tenth of it: the job runs as fast as the program \
                and the machine allow, or several settings hold it at once."
            .into();
    };
    let all = format!("The most is gained by {}.", said(&best, job_time_s));
    if best.of.setting != Setting::Feed {
        return all;
    }
    // The feed belongs to bit and wood: what the machine itself could do stands beside it.
    let machine = settings.iter().filter(|of| of.setting != Setting::Feed);
    match self::best(machine, least_s) {
        Some(own) => format!(
            "{all} Of the machine's own settings, the most is gained by {}.",
            said(&own, job_time_s)
        ),
        None => format!("{all} Nothing is gained by a tenth of the machine's own settings."),
    }
}

/// A change, what it saves and its price.
fn said(best: &Best<'_>, job_time_s: f64) -> String {
    let of = best.of;
    let side = if best.is_more { "more" } else { "less" };
    let amount = match of.setting {
        Setting::LookAhead => format!("{} moves {side}", (best.change.value - of.value).abs()),
        _ => format!("10 % {side}"),
    };
    let to = match of.setting {
        Setting::AllAccelerations | Setting::AllSpeeds => " (each axis)".into(),
        Setting::Feed => " (F in the program)".into(),
        setting => format!(
            " ({} to {})",
            setting.show(of.value),
            setting.show(best.change.value)
        ),
    };
    format!(
        "{amount} of `{}`{to}: it saves {} of {}, {:.1} %; its price: {}",
        of.name,
        gain(best.gain_s),
        duration(job_time_s),
        100.0 * best.gain_s / job_time_s,
        if best.is_more {
            price(of)
        } else {
            "none to the machine, since less is asked of it".into()
        }
    )
}

/// A time saved: short ones to a millisecond, which is the least that counts.
fn gain(seconds: f64) -> String {
    if seconds < 1.0 {
        format!("{seconds:.3} s")
    } else {
        duration(seconds)
    }
}

/// A change that saves time.
struct Best<'a> {
    of: &'a SettingWorth,
    change: &'a Change,
    is_more: bool,
    gain_s: f64,
}

/// The change by a tenth that saves the most. A row of all axes stands back where one setting alone
/// saves at least half as much: one number is easier to change than three.
fn best<'a>(
    settings: impl IntoIterator<Item = &'a SettingWorth, IntoIter: Clone>,
    least_s: f64,
) -> Option<Best<'a>> {
    let settings = settings.into_iter();
    let most = |joint: bool| {
        settings
            .clone()
            .filter(|of| {
                joint == matches!(of.setting, Setting::AllAccelerations | Setting::AllSpeeds)
            })
            .flat_map(|of| [(of, &of.more, true), (of, &of.less, false)])
            .filter_map(|(of, change, is_more)| {
                let gain_s = -change.change_s?;
                (gain_s >= least_s).then_some(Best {
                    of,
                    change,
                    is_more,
                    gain_s,
                })
            })
            .max_by(|a, b| a.gain_s.total_cmp(&b.gain_s))
    };
    match (most(false), most(true)) {
        (Some(one), Some(all)) if one.gain_s < 0.5 * all.gain_s => Some(all),
        (Some(one), _) => Some(one),
        (None, all) => all,
    }
}

/// What a tenth more of a setting asks for. Common practice, no source.
fn price(of: &SettingWorth) -> String {
    match of.setting {
        Setting::Acceleration(_) | Setting::AllAccelerations => {
            "more acceleration asks more torque of the motors and more stiffness of the frame; \
             test for lost steps"
                .into()
        }
        Setting::Speed(_) | Setting::AllSpeeds => {
            "a higher speed limit asks for motors that keep their torque at that speed".into()
        }
        Setting::JunctionDeviation => format!(
            "corners may be rounded by {} and no longer by {}, and each turns the frame harder",
            of.setting.show(of.more.value),
            of.setting.show(of.value)
        ),
        Setting::LookAhead => {
            let bytes = queue_bytes(of.more.value as usize) - queue_bytes(of.value as usize);
            format!("{bytes} bytes more memory in the controller")
        }
        Setting::Feed => "a higher feed asks more of bit and spindle; mind the chip load".into(),
    }
}
