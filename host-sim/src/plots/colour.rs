//! Colours that readers with any kind of colour vision can tell apart.

use crate::recording::Cause;
use plotters::style::RGBColor;

/// Letters, axes, and lines that matter.
pub(super) const INK: RGBColor = RGBColor(0x1f, 0x1f, 0x1f);
/// Explanations.
pub(super) const SOFT_INK: RGBColor = RGBColor(0x55, 0x55, 0x55);
/// Grid lines.
pub(super) const GRID: RGBColor = RGBColor(0xe4, 0xe4, 0xe4);
/// Rapids.
pub(super) const GREY: RGBColor = RGBColor(0x9a, 0x9a, 0x9a);
/// Paper.
pub(super) const PAPER: RGBColor = RGBColor(0xff, 0xff, 0xff);

// The eight colours of M. Okabe and K. Ito, "Color Universal Design" (2008); values from memory.
pub(super) const ORANGE: RGBColor = RGBColor(0xe6, 0x9f, 0x00);
pub(super) const SKY: RGBColor = RGBColor(0x56, 0xb4, 0xe9);
pub(super) const GREEN: RGBColor = RGBColor(0x00, 0x9e, 0x73);
pub(super) const YELLOW: RGBColor = RGBColor(0xf0, 0xe4, 0x42);
pub(super) const BLUE: RGBColor = RGBColor(0x00, 0x72, 0xb2);
pub(super) const VERMILION: RGBColor = RGBColor(0xd5, 0x5e, 0x00);
pub(super) const PURPLE: RGBColor = RGBColor(0xcc, 0x79, 0xa7);
pub(super) const BLACK: RGBColor = RGBColor(0x00, 0x00, 0x00);

/// Darker than all of these but black, and warm as vermilion is.
pub(super) const BROWN: RGBColor = RGBColor(0x80, 0x33, 0x00);

/// Far from all others in hue; of P. Tol's "Colour Schemes" (2021), from memory.
pub(super) const INDIGO: RGBColor = RGBColor(0x33, 0x22, 0x88);
pub(super) const OLIVE: RGBColor = RGBColor(0x99, 0x99, 0x33);

/// Colour of a cause, in files and on pages; neighbours in the band differ in brightness too.
pub(crate) fn of_cause(cause: Cause) -> RGBColor {
    match cause {
        Cause::Feed => GREEN,
        Cause::AxisSpeed(0) => SKY,
        Cause::AxisSpeed(1) => BLUE,
        Cause::AxisSpeed(_) => PURPLE,
        Cause::Override => OLIVE,
        Cause::Corner => VERMILION,
        Cause::Bend => BROWN,
        Cause::Stop => BLACK,
        Cause::SlowerMove => ORANGE,
        Cause::QueueEnd => YELLOW,
        Cause::Hold => INDIGO,
        Cause::Rest => GREY,
    }
}

/// The same on dark paper: dark ones are lightened.
pub(crate) fn of_cause_on_dark(cause: Cause) -> RGBColor {
    match cause {
        Cause::AxisSpeed(1) => RGBColor(0x2f, 0x8f, 0xd0),
        Cause::Bend => RGBColor(0xb0, 0x62, 0x2a),
        Cause::Stop => RGBColor(0xe8, 0xe8, 0xe8),
        Cause::Hold => RGBColor(0x8c, 0x7c, 0xe6),
        Cause::Rest => RGBColor(0x6e, 0x71, 0x76),
        other => of_cause(other),
    }
}

/// Steps of the speed scale.
pub(super) const SPEED_STEPS: usize = 32;

/// Colour of the step `index` of the speed scale: dark is slow.
///
/// The map is viridis by S. van der Walt and N. Smith (2015), even to the eye and safe for
/// colour-blind readers; its last tenth, too pale on paper, is left out.
pub(super) fn speed(index: usize) -> RGBColor {
    let at = 0.9 * index.min(SPEED_STEPS - 1) as f64 / (SPEED_STEPS - 1) as f64;
    let colour = colorous::VIRIDIS.eval_continuous(at);
    RGBColor(colour.r, colour.g, colour.b)
}
