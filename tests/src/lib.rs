//! Helpers shared by the test programs.
