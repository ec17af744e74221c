//! Arguments in, exit code out.
#![allow(clippy::disallowed_methods, reason = "an edge")]

use std::process::ExitCode;

fn main() -> ExitCode {
    asordered::cli::run(std::env::args_os())
}
