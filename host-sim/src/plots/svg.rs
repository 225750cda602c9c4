//! The last touches to an SVG: its head, and lines of one style gathered into one element.

use super::canvas::FINE;
use super::text::FAMILY;
use std::fmt::Write;

/// Gives the `drawing` its proper head: shown `size` large (the drawing itself is `FINE` times
/// that, since its coordinates are whole numbers), and named for those who do not see it.
pub(super) fn finish(drawing: &str, size: (f64, f64), name: &str) -> String {
    let body = drawing.split_once('\n').map_or("", |(_head, body)| body);
    let mut svg = String::with_capacity(body.len() + 512);
    let (width, height) = size;
    // Writing to a string cannot fail.
    let _ = writeln!(
        svg,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\" font-family=\"{FAMILY}\" \
         stroke-linejoin=\"round\" stroke-linecap=\"round\">",
        width * FINE,
        height * FINE,
        escape(name)
    );
    gather(body, &mut svg);
    svg
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// Copies `body`, one element a line, and makes neighbouring polylines of one style one path:
/// the style, several times as long as a short line, is then written once.
fn gather(body: &str, svg: &mut String) {
    const POLYLINE: &str = "<polyline ";
    const POINTS: &str = "points=\"";
    let mut open: Option<&str> = None;
    for line in body.lines() {
        let parts = line
            .strip_prefix(POLYLINE)
            .and_then(|rest| rest.split_once(POINTS));
        let Some((style, rest)) = parts else {
            if open.take().is_some() {
                svg.push_str("\"/>\n");
            }
            svg.push_str(line);
            svg.push('\n');
            continue;
        };
        if open != Some(style) {
            if open.is_some() {
                svg.push_str("\"/>\n");
            }
            svg.push_str("<path ");
            svg.push_str(style);
            svg.push_str("d=\"");
            open = Some(style);
        }
        svg.push('M');
        svg.push_str(rest.trim_end_matches("\"/>").trim_end());
    }
    if open.is_some() {
        svg.push_str("\"/>\n");
    }
}
