//! The pictures and the report of a run: well formed, complete, and bounded.

mod synthetic;
