//! The reader of machine files and quantities.
