//! Inputs shared by the benchmarks.
