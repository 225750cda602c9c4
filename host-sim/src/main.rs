//! The `spokeshave` command.
fn main() {}
