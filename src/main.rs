//! argv in, exit status out.
fn main() {}
