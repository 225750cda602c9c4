//! The pictures that the page lives with: path and speed, with the places that cost time as marks
//! that lead to their rows in the table.
//!
//! They are drawn for a page and not for a file: words keep their size at any width, and colours
//! come from the style sheet, so that they follow light, dark and paper.

mod chart;
mod colours;
mod marks;
mod path;
mod speed;

use crate::places::Row;
use crate::recording::Recording;
pub(super) use colours::{DARK, LIGHT, steps};
use maud::{Markup, html};
pub(super) use path::STEPS;

/// Path and speed, as HTML.
#[derive(Clone, Debug, PartialEq)]
pub struct Pictures {
    /// How to read the colours and marks.
    pub(super) legends: String,
    pub(super) path: String,
    pub(super) speed: String,
}

/// The pictures of a run, with `places` marked; `None` where nothing moves.
pub fn pictures(recording: &Recording, places: &[Row]) -> Option<Pictures> {
    let path = path::PathPicture::new(recording)?;
    let speed = speed::SpeedPicture::new(recording, path.fastest());
    let legends = html! {
        div { (path.legend()) }
        div { (speed.legend(recording)) }
    };
    Some(Pictures {
        legends: legends.into_string(),
        path: path.draw(recording, places).into_string(),
        speed: speed.draw(recording, places).into_string(),
    })
}

/// A legend: a swatch of a class of the style sheet, and words.
fn legend(title: &str, items: &[(String, String)]) -> Markup {
    html! {
        p.legend-title { (title) }
        ul.legend {
            @for (class, words) in items {
                li { span class={ "swatch " (class) } aria-hidden="true" {} " " (words) }
            }
        }
    }
}
