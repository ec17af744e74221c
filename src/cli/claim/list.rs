//! `asordered claim list`: claims and how far they have come.

use crate::book::claims::Claim;
use crate::claim::remedy::Against;
use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::shop::read_book;
use crate::cli::world::World;
use crate::report::json;
use serde_json::{Value, json};

/// List open claims
#[derive(Debug, clap::Args)]
pub struct List {
    /// Closed claims too
    #[arg(long)]
    pub all: bool,
}

/// Runs it.
///
/// # Errors
/// The book cannot be read.
pub fn run(args: &List, world: &mut World) -> Result<Status, Failure> {
    let claims = read_book(world)?.claims(!args.all)?;
    if world.json {
        let list: Vec<Value> = claims.iter().map(claim_json).collect();
        world.print(&json::printed(&json!({ "claims": list })))?;
        return Ok(Status::Fine);
    }
    if claims.is_empty() {
        world.print(if args.all {
            "no claims\n"
        } else {
            "no open claims\n"
        })?;
    }
    for claim in &claims {
        world.print_fitted(&format!("{}\n", line(claim)))?;
    }
    Ok(Status::Fine)
}

/// Returns a claim in one line.
pub fn line(claim: &Claim) -> String {
    format!(
        "{}  {}: {}, of {}",
        claim.number,
        claim.state.name(),
        asked(claim),
        claim.drafted
    )
}

/// Returns how much a claim asks of whom.
pub fn asked(claim: &Claim) -> String {
    let value = claim.value.map_or_else(
        || "value not known".to_owned(),
        |value| format!("{value} {}", claim.currency),
    );
    let whom = if claim.party == Against::Carrier {
        claim
            .carrier()
            .map(|name| format!(" ({name})"))
            .unwrap_or_default()
    } else {
        format!(" ({})", claim.supplier)
    };
    format!("{value}, on the {}{whom}", claim.party.name())
}

/// Returns a claim as JSON.
pub fn claim_json(claim: &Claim) -> Value {
    json!({
        "claim": claim.number,
        "order": claim.order,
        "supplier": claim.supplier,
        "party": claim.party.name(),
        "carrier": claim.carrier(),
        "state": claim.state.name(),
        "drafted": claim.drafted.to_string(),
        "sent": claim.sent.map(|day| day.to_string()),
        "notify_by": claim.notify_by.map(|day| day.to_string()),
        "answer_by": claim.answer_by.map(|day| day.to_string()),
        "closed": claim.closed.map(|day| day.to_string()),
        "value": claim.value.map(|value| value.to_string()),
        "currency": claim.currency,
    })
}
