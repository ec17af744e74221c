//! `asordered claim settle`: by evidence. Goods are a receipt that is checked against the claim, money an amount that
//! is held against its value.

use crate::book::settle::{Arrived, told};
use crate::claim::cycle::State;
use crate::cli::Status;
use crate::cli::claim::answer::amount;
use crate::cli::failure::Failure;
use crate::cli::shop::write_book;
use crate::cli::world::{World, now};
use crate::report::json;
use chrono::NaiveDate;
use serde_json::{Value, json};

/// Note what makes a claim right
#[derive(Debug, clap::Args)]
#[command(
    group = clap::ArgGroup::new("what").required(true),
    after_help = "Exit status: 0 made right, 1 not yet or wrong again, 2 could not do it.\n\n\
    Examples:\n  asordered claim settle PO-2107-C1 --receipt RG-340\n  \
    asordered claim settle PO-2107-C1 --credit 425.00 --paper CM-118"
)]
pub struct Settle {
    /// The claim's number
    #[arg(value_name = "CLAIM")]
    pub claim: String,
    /// The receipt of what they sent to make it right; it is recorded first
    #[arg(long, value_name = "RECEIPT", group = "what")]
    pub receipt: Option<String>,
    /// How much they credited
    #[arg(long, value_name = "AMOUNT", group = "what")]
    pub credit: Option<String>,
    /// The goods held were collected
    #[arg(long, group = "what")]
    pub collected: bool,
    /// Take what came as enough, for a reason
    #[arg(long, value_name = "REASON", group = "what")]
    pub enough: Option<String>,
    /// The credit's number
    #[arg(long, value_name = "NUMBER", requires = "credit")]
    pub paper: Option<String>,
    /// The day; today where left out
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub on: Option<NaiveDate>,
}

/// Runs it.
///
/// # Errors
/// The claim's state does not allow it; the receipt cannot settle it; the book refuses.
pub fn run(args: &Settle, world: &mut World) -> Result<Status, Failure> {
    let arrived = match (&args.receipt, &args.credit, &args.enough) {
        (Some(receipt), _, _) => Arrived::Replacement {
            receipt: receipt.clone(),
        },
        (None, Some(credit), _) => Arrived::Credit {
            amount: amount(credit)?,
            paper: args.paper.clone(),
        },
        (None, None, Some(reason)) => Arrived::Enough {
            reason: reason.clone(),
        },
        (None, None, None) => Arrived::Collection,
    };
    let mut book = write_book(world)?;
    let day = args.on.unwrap_or(world.today);
    let outcome = book.settle(&args.claim, &arrived, day, now())?;
    let state = outcome.state;
    if world.json {
        let parts: Vec<Value> = outcome
            .judged
            .parts
            .iter()
            .map(|part| json!({"place": part.place, "right": part.right, "text": part.text, "wrong": part.wrong}))
            .collect();
        world.print(&json::printed(
            &json!({ "claim": args.claim, "state": state.name(), "parts": parts }),
        ))?;
    } else {
        let words = match state {
            State::Right => world.ink.good(state.name()),
            State::WrongAgain => world.ink.bad(state.name()),
            State::Drafted
            | State::MayHaveGone
            | State::Sent
            | State::Promised
            | State::Refused
            | State::PartlyRight
            | State::Withdrawn => world.ink.look(state.name()),
        };
        world.print(&format!("claim {}: {words}\n", args.claim))?;
        for line in told(&outcome.judged).lines() {
            world.print(&format!("  {line}\n"))?;
        }
        if !state.is_closed() {
            world.print(&format!("  next: {}\n", state.next(&args.claim)))?;
        }
    }
    Ok(if state == State::Right {
        Status::Fine
    } else {
        Status::NotAsOrdered
    })
}
