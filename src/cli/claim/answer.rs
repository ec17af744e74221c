//! `asordered claim answer`: notes what the supplier promised, or that it said no.

use crate::book::claims::{AnswerKind, TheirAnswer, said};
use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::shop::write_book;
use crate::cli::world::{World, now};
use crate::intake::text::number;
use crate::model::money::Money;
use crate::report::json;
use chrono::NaiveDate;
use clap::ValueEnum;
use serde_json::json;

/// Note what the supplier answered
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  asordered claim answer PO-2107-C1 replacement --by 2026-04-02")]
pub struct Answer {
    /// The claim's number
    #[arg(value_name = "CLAIM")]
    pub claim: String,
    /// What they said
    #[arg(value_enum, value_name = "ANSWER")]
    pub said: Said,
    /// The day by which they promised it
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub by: Option<NaiveDate>,
    /// How much they promised to credit
    #[arg(long, value_name = "AMOUNT")]
    pub amount: Option<String>,
    /// In words
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
    /// The day they answered; today where left out
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub on: Option<NaiveDate>,
}

/// What they said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Said {
    /// Goods will come
    Replacement,
    /// Money will be credited
    Credit,
    /// Goods will be collected
    Collection,
    /// No
    Refused,
}

/// Runs it.
///
/// # Errors
/// The claim's state does not allow it; the book refuses.
pub fn run(args: &Answer, world: &mut World) -> Result<Status, Failure> {
    let answer = TheirAnswer {
        date: not_after(args.on, world)?,
        kind: match args.said {
            Said::Replacement => AnswerKind::Replacement,
            Said::Credit => AnswerKind::Credit,
            Said::Collection => AnswerKind::Collection,
            Said::Refused => AnswerKind::Refused,
        },
        by: args.by,
        amount: args.amount.as_deref().map(amount).transpose()?,
        note: args.note.clone(),
    };
    let mut book = write_book(world)?;
    let state = book.answer(&args.claim, &answer, now())?;
    if world.json {
        world.print(&json::printed(
            &json!({ "claim": args.claim, "state": state.name() }),
        ))?;
    } else {
        world.print_fitted(&format!(
            "claim {}: {}\n  next: {}\n",
            args.claim,
            said(&answer),
            state.next(&args.claim)
        ))?;
    }
    Ok(Status::Fine)
}

/// Returns the day something happened; today where none is named.
///
/// # Errors
/// It lies after today.
pub fn not_after(on: Option<NaiveDate>, world: &World) -> Result<NaiveDate, Failure> {
    match on {
        Some(day) if day > world.today => Err(Failure::error(format!(
            "{day} lies after today, {}",
            world.today
        ))
        .hint("note it on the day it happens")),
        Some(_) | None => Ok(on.unwrap_or(world.today)),
    }
}

/// Reads an amount of money.
///
/// # Errors
/// It is none.
pub fn amount(text: &str) -> Result<Money, Failure> {
    number(text).map(Money).map_err(|_| {
        Failure::error(format!(
            "found `{text}`, expected an amount of money as `425.00`"
        ))
    })
}
