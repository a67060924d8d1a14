//! argv in, exit status out.

use std::process::ExitCode;

fn main() -> ExitCode {
    // A workbook kind whose reader may die is read by this program as its own child.
    if let Some(code) = coilstick::table::child_main(std::env::args_os()) {
        return code;
    }
    coilstick::cli::run(std::env::args_os())
}
