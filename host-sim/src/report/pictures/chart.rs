//! Axes in per cent of a box, so that the box can have any size.

use crate::plots::text::{number, round_step};
use maud::{Markup, html};
use std::ops::Range;

/// How far `value` lies along `of`, as an attribute.
pub fn percent(value: f64, of: &Range<f64>) -> String {
    let share = (value - of.start) / (of.end - of.start);
    format!("{}%", number(100.0 * share, 3))
}

/// Round values in `of`, some `count` of them.
fn ticks(of: &Range<f64>, count: f64) -> Vec<f64> {
    let step = round_step((of.end - of.start) / count);
    let (first, last) = ((of.start / step).ceil(), (of.end / step).floor());
    (0..=(last - first).max(0.0) as u32)
        .map(|index| (first + f64::from(index)) * step)
        .collect()
}

/// Lines across the box at round values of `xs`, with numbers below where `labels` says so.
pub fn across(xs: &Range<f64>, labels: bool) -> Markup {
    html! {
        @for x in ticks(xs, 7.0) {
            @let at = percent(x, xs);
            line x1=(at) x2=(at) y1="0" y2="100%" {}
            @if labels { text.across x=(at) y="100%" dy="1.3em" { (number(x, 4)) } }
        }
    }
}

/// Lines at round values of `ys`, which grow upwards, with numbers to the left.
pub fn up(ys: &Range<f64>, count: f64) -> Markup {
    let down = ys.end..ys.start;
    html! {
        @for y in ticks(ys, count) {
            @let at = percent(y, &down);
            line x1="0" x2="100%" y1=(at) y2=(at) {}
            text.up x="0" y=(at) dx="-0.5em" dy="0.35em" { (number(y, 4)) }
        }
    }
}
