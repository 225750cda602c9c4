//! What the fuzz targets share.

pub mod job;
pub mod refused;
