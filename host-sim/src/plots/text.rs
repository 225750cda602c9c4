//! Words in pictures: what can be shown, how wide it is, and how it is broken to fit.

use plotters::style::{FontStyle, IntoFont, register_font};
use std::sync::OnceLock;

/// The family that the SVG asks for; every viewer has one.
pub(super) const FAMILY: &str = "sans-serif";

/// Makes the embedded font (DejaVu Sans, an open licence) known for measuring. It is wider than
/// most fonts that a viewer may use for [`FAMILY`], so what fits here fits there.
fn font_is_known() -> bool {
    static KNOWN: OnceLock<bool> = OnceLock::new();
    *KNOWN.get_or_init(|| register_font(FAMILY, FontStyle::Normal, dejavu::sans::regular()).is_ok())
}

/// Width of one line of text at font size `em`, in the units of `em`.
pub(super) fn width(text: &str, em: f64) -> f64 {
    // The measuring counts whole units, and takes the height from ascender to descender as the
    // size: 2384/2048 of an em in this font (its `hhea` table: 1901 + 483 units of 2048 an em).
    const FINE: f64 = 16.0;
    let measured = font_is_known()
        .then(|| {
            (FAMILY, em * FINE * 2384.0 / 2048.0)
                .into_font()
                .box_size(text)
                .ok()
        })
        .flatten();
    match measured {
        Some((width, _)) => f64::from(width) / FINE,
        // Wider than nearly every letter, so what fits by this fits in truth.
        None => 0.7 * em * text.chars().count() as f64,
    }
}

/// `text` without characters that XML 1.0 (§2.2) and HTML do not allow; each becomes U+FFFD.
pub fn printable(text: &str) -> String {
    let shown = |c: char| {
        if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') {
            '\u{fffd}'
        } else {
            c
        }
    };
    text.chars().map(shown).collect()
}

/// `text` if it is at most `most` wide, or its start and its end with `…` between them.
pub(super) fn fit(text: &str, em: f64, most: f64) -> String {
    let letters: Vec<char> = text.chars().collect();
    let shortened = |kept: usize| -> String {
        let tail = kept / 2;
        let head = letters[..kept - tail].iter();
        head.chain(&['…'])
            .chain(&letters[letters.len() - tail..])
            .collect()
    };
    if width(text, em) <= most {
        return text.to_owned();
    }
    // No line of a picture holds 400 letters, so the search need not start above that.
    let fitting = |kept: &usize| width(&shortened(*kept), em) <= most;
    (0..letters.len().min(400))
        .rev()
        .find(fitting)
        .map_or_else(String::new, shortened)
}

/// `text` in lines of at most `most` wide, broken at spaces.
pub(super) fn wrap(text: &str, em: f64, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), em) <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// `value` with at most `digits` decimals and no trailing zeros.
pub(crate) fn number(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// `value` with about three significant digits.
pub(crate) fn short(value: f64) -> String {
    match value.abs() {
        size if size >= 100.0 => number(value, 0),
        size if size >= 10.0 => number(value, 1),
        size if size >= 1.0 => number(value, 2),
        _ => number(value, 3),
    }
}

/// The smallest of 1, 2 and 5 times a power of ten that is at least `least` (more than 0).
pub(crate) fn round_step(least: f64) -> f64 {
    let power = 10.0_f64.powf(least.log10().floor());
    let found = [1.0, 2.0, 5.0]
        .into_iter()
        .find(|digit| digit * power >= least);
    found.unwrap_or(10.0) * power
}
