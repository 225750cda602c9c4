//! The tables of moves, in flash.

macro_rules! table {
    ($name:literal) => {
        (
            $name,
            include_bytes!(concat!(env!("JOBS"), "/", $name, ".moves")),
        )
    };
}

/// Names and tables of all jobs.
pub const JOBS: [(&str, &[u8]); 4] = [
    table!("lettering"),
    table!("coastline"),
    table!("tray"),
    table!("leaf"),
];
