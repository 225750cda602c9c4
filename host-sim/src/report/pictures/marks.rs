//! Marks of the places: links from a picture to the table.

use crate::places::Row;
use crate::plots::printable;
use maud::{Markup, html};

/// Where a mark stands: in the box, as attributes, and in the drawing, if that can be zoomed.
pub struct Spot {
    pub x: String,
    pub y: String,
    pub in_drawing: Option<[i64; 2]>,
}

/// A mark for each place, and the ring that shows which one is meant. Its links have ids that
/// begin with `id`.
pub fn marks(places: &[Row], id: &str, picture: &str, spot: impl Fn(&Row) -> Spot) -> Markup {
    html! {
        g.marks {
            @for place in places {
                @let spot = spot(place);
                @let number = place.number;
                a.mark id=(format!("{id}-{number}")) href=(format!("#place-{number}"))
                    data-place=(number)
                    aria-label=(format!("Place {number} {picture}: line {}, {:.3} s lost", place.line, place.lost_s)) {
                    (at(&spot, "", html! {
                        title { (number) ": line " (place.line) ", " (format!("{:.3}", place.lost_s)) " s lost: " (printable(&place.why)) }
                        line.tie {}
                        g.pin { circle r="8" {} text y="0.35em" { (number) } }
                    }))
                }
            }
        }
        svg.halo x="0" y="0" aria-hidden="true" { line.tie {} g.pin { circle r="15" {} circle r="11" {} text y="0.35em" {} } }
    }
}

/// Something of fixed size at a spot.
pub fn at(spot: &Spot, class: &str, content: Markup) -> Markup {
    html! {
        @if let Some([x, y]) = spot.in_drawing {
            svg class={ "at " (class) } x=(spot.x) y=(spot.y) data-x=(x) data-y=(y) { (content) }
        } @else {
            svg class={ "at " (class) } x=(spot.x) y=(spot.y) { (content) }
        }
    }
}
