//! Developer commands.
fn main() {}
