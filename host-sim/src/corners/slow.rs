//! What is said of cutting that is slower than asked for.

use super::text::share;
use crate::slow_cutting::{Amount, Rubbing, SlowCutting};
use crate::summary::duration;
use crate::terminal::figure;

/// The slow part of the cutting, and where the bit rubs: a sentence or more a line.
pub(crate) fn slow(slow: &SlowCutting) -> String {
    if slow.cutting.time_s == 0.0 {
        return "Nothing is cut: no move is at a feed.\n".into();
    }
    let mut text = format!(
        "Slower than {:.0} % of the programmed feed: {} of cutting.\n",
        100.0 * slow.part,
        of(&slow.below, &slow.cutting)
    );
    if let Some(rubbing) = &slow.rubbing {
        text += &rubs(rubbing);
    }
    text
}

/// A part of the path with its shares, as `12.0 mm (3.1 %) and 2.00 s (5.0 %)`.
fn of(part: &Amount, whole: &Amount) -> String {
    format!(
        "{:.1} mm ({}) and {} ({})",
        part.length_mm,
        share(part.length_mm, whole.length_mm),
        duration(part.time_s),
        share(part.time_s, whole.time_s)
    )
}

fn rubs(rubbing: &Rubbing) -> String {
    let mut text = String::new();
    if let Some([low, high]) = rubbing.feed_mm_s {
        let feed = if high > low {
            format!("{} to {} mm/s", figure(low), figure(high))
        } else {
            format!("{} mm/s", figure(low))
        };
        let flutes = match rubbing.bit.flutes {
            1 => "1 flute".to_owned(),
            more => format!("{more} flutes"),
        };
        text += &format!(
            "The chip load asks for {feed} (spindle speed × {} × {} mm): {} of sideways \
             cutting is slower",
            flutes,
            rubbing.bit.chip_load_mm,
            of(&rubbing.below, &rubbing.judged)
        );
        text += &match rubbing.programmed_below.length_mm {
            0.0 => ".\n".to_owned(),
            length_mm => format!(
                ", {length_mm:.1} mm of it because the program itself asks for a lower feed.\n"
            ),
        };
        if rubbing.below.time_s > 0.0 {
            text += "Caution: a bit that moves slower than its chip load rubs instead of cutting, \
                     and burns wood and edge. Turn the spindle slower, take a bit with fewer flutes, \
                     raise F where it is too low, or make the path gentler.\n";
        }
    }
    if rubbing.unknown.length_mm > 0.0 {
        text += &format!(
            "Not held against the chip load: {:.1} mm of sideways cutting for which the program \
             gives no spindle speed (S with M3 or M4).\n",
            rubbing.unknown.length_mm
        );
    }
    if text.is_empty() {
        text += "Nothing is cut sideways, so the chip load has nothing to judge.\n";
    }
    text
}
