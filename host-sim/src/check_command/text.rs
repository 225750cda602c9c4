//! What a check of a capture finds, on the terminal.

use super::found::Found;
use crate::layout::{prose, table};
use crate::motion::AXIS_NAMES;
use crate::terminal::{NOT_CHECKED, check_table, failures, verdict};

/// What was found, as text.
pub fn text(found: &Found) -> String {
    [
        overview(found),
        axes(found),
        check_table(&found.checks),
        closing(found),
    ]
    .join("\n")
}

fn overview(found: &Found) -> String {
    let mut text = format!(
        "{} against {} on {}\n\n",
        found.capture, found.program, found.machine
    );
    let mut say = |label: &str, value: &str| {
        text += &prose(&format!("  {label:<10} {value}"), &" ".repeat(13));
    };
    let reach = found.reach_s.map_or(String::new(), |[from, to]| {
        format!(", changes from {from:.6} s to {to:.6} s")
    });
    say("capture", &format!("{}{reach}", found.format));
    for motor in &found.motors {
        let lines = format!("{}: {}, {}", motor.axis, motor.step, motor.direction);
        say("lines", &lines);
    }
    say("clock", &clock(found));
    for note in &found.notes {
        say("note", note);
    }
    text
}

/// The controller's clock in words.
fn clock(found: &Found) -> String {
    let Some(clock) = &found.clock else {
        return "too few steps to tell it from the plan".into();
    };
    let part = |ppm: f64| {
        if ppm.abs() < 10_000.0 {
            format!("{ppm:.1} ppm")
        } else {
            format!("{:.3} %", ppm / 1e4)
        }
    };
    let start = format!("the job begins at {:.6} s", clock.start_s);
    if !clock.follows {
        return format!(
            "{start}; the controller does not follow the plan of `simulate` closely enough to tell its \
             clock: half of the stretches differ by more than {}",
            part(clock.spread_ppm)
        );
    }
    let way = if clock.fast_ppm < 0.0 { "slow" } else { "fast" };
    let mut text = format!(
        "{start}, and the controller runs {} ± {} {way} against the analyser: an estimate from the \
         plan of `simulate`",
        part(clock.fast_ppm.abs()),
        part(clock.spread_ppm),
    );
    if found.motors.is_empty() {
        return text; // Ticks have the controller's own time.
    }
    let left = clock.fast_ppm - found.clock_error_ppm;
    if left.abs() > found.clock_tolerance_ppm + clock.spread_ppm {
        text += &format!(
            ". THAT IS MORE than the {} that the clocks may differ by: look at the setting of its timer, \
             and at the rate of the analyser. To see whether all else is right, say --clock-error \
             \"{}\"",
            part(found.clock_tolerance_ppm),
            part(clock.fast_ppm)
        );
    }
    text
}

fn axes(found: &Found) -> String {
    let heads = [
        "axis",
        "steps",
        "plan",
        "ends at mm",
        "peak mm/s",
        "limit",
        "peak mm/s²",
        "limit",
    ];
    let mut table = table(&heads, &[1, 2, 3, 4, 5, 6, 7]);
    for (i, peak) in found.peaks.each().into_iter().enumerate() {
        table.add_row([
            AXIS_NAMES[i].to_string(),
            found.steps.each()[i].to_string(),
            found.planned_steps.each()[i].to_string(),
            format!("{:.3}", found.end_mm.each()[i]),
            format!("{:.2}", peak.speed_mm_s),
            format!("{:.2}", peak.speed_limit_mm_s),
            format!("{:.1}", peak.acceleration_mm_s2),
            format!("{:.1}", peak.acceleration_limit_mm_s2),
        ]);
    }
    table.lines()
}

fn closing(found: &Found) -> String {
    let mut text = verdict(&found.checks).0 + "\n" + &failures(&found.checks);
    let mut time = if found.motors.is_empty() {
        "in the controller's own ticks".to_owned()
    } else if found.clock_error_ppm == 0.0 {
        format!(
            "in the time of the capture, {:.0} ppm longer for the clocks",
            found.clock_tolerance_ppm
        )
    } else {
        format!(
            "in the time of the capture, put right by {:.1} ppm and {:.0} ppm longer for the clocks",
            found.clock_error_ppm, found.clock_tolerance_ppm
        )
    };
    if found.lateness_us > 0.0 {
        time += &format!(", with edges up to {:.1} µs late", found.lateness_us);
    }
    text += &prose(
        &format!(
            "Compared: the steps of {} with the path of {} and the limits of {}, {time}. The plan has \
             no part in the verdict.",
            found.capture, found.program, found.machine
        ),
        "",
    );
    text + NOT_CHECKED + "\n"
}
