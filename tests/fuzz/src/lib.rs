//! What the fuzz targets share.

pub mod job;
mod machine;
pub mod refused;
