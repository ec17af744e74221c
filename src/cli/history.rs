//! `asordered history`: what was recorded, when. Changes nothing; the journal is only added to.

use crate::book::journal::Told;
use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::shop::read_book;
use crate::cli::world::World;
use crate::report::json;
use serde_json::{Value, json};

/// Tell what was recorded, when
#[derive(Debug, clap::Args)]
pub struct History {
    /// The number of an order or a claim; everything where left out
    #[arg(value_name = "PO or CLAIM")]
    pub number: Option<String>,
}

/// Runs it.
///
/// # Errors
/// The number is neither an order's nor a claim's.
pub fn run(args: &History, world: &mut World) -> Result<Status, Failure> {
    let told = read_book(world)?.history(args.number.as_deref())?;
    if world.json {
        let list: Vec<Value> = told.iter().map(entry).collect();
        world.print(&json::printed(&json!({ "history": list })))?;
        return Ok(Status::Fine);
    }
    for Told {
        at,
        what,
        subject,
        detail,
        sha256,
        ..
    } in &told
    {
        let hash = sha256
            .as_ref()
            .and_then(|hash| hash.get(..12))
            .map(|hash| format!("  sha256 {hash}"))
            .unwrap_or_default();
        let detail = if detail.is_empty() {
            String::new()
        } else {
            format!("  {}", detail.replace('\n', "; "))
        };
        world.print(&format!(
            "{}  {subject}  {what}{}{}\n",
            world.ink.quiet(at),
            detail,
            world.ink.quiet(&hash)
        ))?;
    }
    Ok(Status::Fine)
}

fn entry(told: &Told) -> Value {
    json!({
        "at": told.at,
        "what": told.what,
        "subject": told.subject,
        "detail": told.detail,
        "sha256": told.sha256,
        "replaced": told.replaced,
    })
}
