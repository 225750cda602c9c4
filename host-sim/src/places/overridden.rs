//! What overrides cost, and gain: all that is slower or faster because of one is one place, however the moves
//! between come and go.

use super::keep::Keeper;
use super::place::Place;
use crate::motion::MoveKind;
use crate::trace::{Override, Reason, Slice};

/// The stretches under way: of feeds, and of rapids.
#[derive(Clone, Debug, Default)]
pub(super) struct Overrides {
    feed: Option<Place>,
    rapid: Option<Place>,
}

impl Overrides {
    /// Takes in the next slice.
    pub fn slice(&mut self, slice: &Slice, kept: &mut Keeper) {
        let Some(by) = slice.overridden else {
            // As programmed again: what comes later is another.
            if slice.pace == 1.0 && !slice.is_standstill() {
                let over = match slice.kind {
                    Some(MoveKind::Rapid | MoveKind::TakeUp) => self.rapid.take(),
                    _ => self.feed.take(),
                };
                over.into_iter().for_each(|place| kept.add(place));
            }
            return;
        };
        let open = match by {
            Override::Feed(_) => &mut self.feed,
            Override::Rapid(_) => &mut self.rapid,
        };
        match open {
            Some(place) if place.reason == Reason::Override(by) => absorb(place, slice),
            _ => {
                let last = open.replace(first(slice, by));
                last.into_iter().for_each(|place| kept.add(place));
            }
        }
    }

    /// Those under way.
    pub fn places(&self) -> impl Iterator<Item = Place> {
        self.feed.into_iter().chain(self.rapid)
    }
}

fn first(slice: &Slice, by: Override) -> Place {
    Place {
        line: slice.line,
        lines: [slice.line; 2],
        // A slice at rest has no override.
        kind: slice.kind.unwrap_or(MoveKind::Line),
        at: slice.from,
        time_s: slice.start_s,
        lowest_mm_s: slice.entry_mm_s.min(slice.exit_mm_s),
        asked_mm_s: slice.asked_mm_s,
        lost_s: slice.lost_s(),
        stood_s: 0.0,
        reason: Reason::Override(by),
        axis: None,
        turn: None,
        stop: None,
        full_speed_beside: false,
    }
}

/// The lowest speed is that of the move that asks for most, where it has come down to.
fn absorb(place: &mut Place, slice: &Slice) {
    let lowest = slice.entry_mm_s.min(slice.exit_mm_s);
    if slice.asked_mm_s > place.asked_mm_s {
        (place.lowest_mm_s, place.asked_mm_s) = (lowest, slice.asked_mm_s);
    } else if slice.asked_mm_s == place.asked_mm_s {
        place.lowest_mm_s = place.lowest_mm_s.min(lowest);
    }
    place.lines[0] = place.lines[0].min(slice.line);
    place.lines[1] = place.lines[1].max(slice.line);
    place.lost_s += slice.lost_s();
}
