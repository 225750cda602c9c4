//! For images that must link without a panic path.

unsafe extern "C" {
    /// Not defined anywhere: where a panic can be reached, the image does not link.
    pub safe fn a_panic_path_is_left() -> !;
}
