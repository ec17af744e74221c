//! `asordered claim settle`: by evidence. Goods are a receipt that is checked against the claim, money an amount that
//! is held against its value.

use crate::book::Book;
use crate::book::settle::{Arrived, told};
use crate::claim::cycle::State;
use crate::cli::Status;
use crate::cli::claim::answer::{amount, not_after};
use crate::cli::failure::Failure;
use crate::cli::shop::write_book;
use crate::cli::world::{World, ask, now};
use crate::model::money::Money;
use crate::report::json;
use chrono::NaiveDate;
use serde_json::{Value, json};

/// Note what makes a claim right
#[derive(Debug, clap::Args)]
#[command(
    group = clap::ArgGroup::new("what").required(true),
    after_help = "One of --receipt, --credit, --collected and --enough, as often as something comes. The claim is closed \
    once goods and money are right; what it does not have yet is told. The pickup of goods that were replaced may be \
    noted after that.\n\n\
    Exit status: 0 made right, 1 not yet or wrong again, 2 could not do it.\n\n\
    Examples:\n  asordered claim settle PO-2107-C1 --receipt RG-340\n  \
    asordered claim settle PO-2107-C1 --credit 425.00 --paper CM-118\n  \
    asordered claim settle PO-2107-C1 --collected --on 2026-04-02\n  \
    asordered claim settle PO-2107-C1 --enough \"no more is worth asking\""
)]
pub struct Settle {
    /// The claim's number
    #[arg(value_name = "CLAIM")]
    pub claim: String,
    /// The receipt of what they sent to make it right; it is recorded first
    #[arg(long, value_name = "RECEIPT", group = "what")]
    pub receipt: Option<String>,
    /// How much they credited: goods are credited with it too, where it covers them
    #[arg(long, value_name = "AMOUNT", group = "what")]
    pub credit: Option<String>,
    /// The goods held for them were collected, or disposed of as agreed
    #[arg(long, group = "what")]
    pub collected: bool,
    /// Take what came as enough and let the rest go, for a reason
    #[arg(long, value_name = "REASON", group = "what")]
    pub enough: Option<String>,
    /// The credit's number
    #[arg(long, value_name = "NUMBER", requires = "credit")]
    pub paper: Option<String>,
    /// The day; today where left out
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub on: Option<NaiveDate>,
    /// Do not ask about a credit larger than the claim
    #[arg(long)]
    pub yes: bool,
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
    let day = not_after(args.on, world)?;
    if let (Arrived::Credit { amount, .. }, false) = (&arrived, args.yes) {
        expected(&book, &args.claim, *amount)?;
    }
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
        world.print_fitted(&format!("claim {}: {words}\n", args.claim))?;
        for line in told(&outcome.judged).lines() {
            world.print_fitted(&format!("  {line}\n"))?;
        }
        if !state.is_closed() {
            world.print_fitted(&format!("  next: {}\n", state.next(&args.claim)))?;
        }
    }
    Ok(if state == State::Right {
        Status::Fine
    } else {
        Status::NotAsOrdered
    })
}

/// Asks where more would be credited than was claimed.
fn expected(book: &Book, number: &str, amount: Money) -> Result<(), Failure> {
    let claim = book.claim(number)?;
    if claim.state.is_closed() {
        return Ok(());
    }
    let before: Money = book
        .settlements(&claim)?
        .iter()
        .filter_map(|settled| settled.amount)
        .sum();
    let value = claim.value.unwrap_or(Money::ZERO);
    let all = before + amount;
    if all <= value {
        return Ok(());
    }
    let earlier = if before > Money::ZERO {
        format!(" after {before}")
    } else {
        String::new()
    };
    let told = format!(
        "{amount} credited{earlier} is more than claim `{number}` asks, {value} {}",
        claim.currency
    );
    if ask(&format!("{told}; note it? (yes or no) "))? {
        Ok(())
    } else {
        Err(Failure::error(told).hint("look at the amount again; `--yes` notes it all the same"))
    }
}
