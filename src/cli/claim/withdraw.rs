//! `asordered claim withdraw`: takes a claim back. It stays in the book with the reason.

use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::shop::write_book;
use crate::cli::world::{World, now};
use crate::report::json;
use serde_json::json;

/// Take a claim back
#[derive(Debug, clap::Args)]
pub struct Withdraw {
    /// The claim's number
    #[arg(value_name = "CLAIM")]
    pub claim: String,
    /// Why
    #[arg(long, value_name = "TEXT")]
    pub reason: String,
}

/// Runs it.
///
/// # Errors
/// The claim is closed; no reason is given; the book refuses.
pub fn run(args: &Withdraw, world: &mut World) -> Result<Status, Failure> {
    let reason = args.reason.trim();
    if reason.is_empty() {
        return Err(Failure::error("no reason given, expected `--reason TEXT`"));
    }
    let mut book = write_book(world)?;
    book.withdraw(&args.claim, reason, world.today, now())?;
    if world.json {
        world.print(&json::printed(
            &json!({ "claim": args.claim, "state": "withdrawn" }),
        ))?;
    } else {
        world.print(&format!("claim {} is withdrawn: {reason}\n", args.claim))?;
    }
    Ok(Status::Fine)
}
