//! Pictures as PNG, rendered from their SVG with an embedded font: the same on every machine.

use super::text::FAMILY;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};
use std::sync::Arc;

/// Pixels for each unit of the SVG, so that letters stay sharp on dense screens and in print.
const PIXELS: f32 = 2.0;

pub(super) fn from_svg(svg: &str) -> Result<Vec<u8>, String> {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_source(fontdb::Source::Binary(Arc::new(dejavu::sans::regular())));
    fonts.set_sans_serif_family("DejaVu Sans");
    let options = Options {
        fontdb: Arc::new(fonts),
        font_family: FAMILY.to_owned(),
        ..Options::default()
    };
    let tree = Tree::from_str(svg, &options).map_err(|error| error.to_string())?;
    let size = tree
        .size()
        .scale_by(PIXELS)
        .ok_or("it has no size")?
        .to_int_size();
    let mut pixels = Pixmap::new(size.width(), size.height()).ok_or("it has no size")?;
    let scale = Transform::from_scale(PIXELS, PIXELS);
    resvg::render(&tree, scale, &mut pixels.as_mut());
    pixels.encode_png().map_err(|error| error.to_string())
}
