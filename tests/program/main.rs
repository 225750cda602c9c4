//! The reader of part programs, against NIST IR 6556 and malformed input.

mod malformed_lines;
mod malformed_motion;
mod malformed_words;
mod modes;
mod nist;
mod random;
mod real_programs;
mod stops;
mod streaming;
mod support;
mod travel;
