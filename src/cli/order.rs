//! `asordered order`: the order book. Compares nothing.

use crate::book::listing::OrderListed;
use crate::book::record::{Outcome, Recorded};
use crate::cli::Status;
use crate::cli::failure::{Failure, notice};
use crate::cli::shop::{document, not_later, read_book, terms, write_book};
use crate::cli::story;
use crate::cli::world::{World, now};
use crate::intake;
use crate::report::json;
use chrono::NaiveDate;
use serde_json::{Value, json};
use std::path::PathBuf;

/// Keep the order book
#[derive(Debug, clap::Args)]
pub struct Orders {
    /// What to do.
    #[command(subcommand)]
    pub what: What,
}

/// What to do with orders.
#[derive(Debug, clap::Subcommand)]
pub enum What {
    /// Record orders, all or none; the same order again changes nothing
    Add {
        /// Files of orders
        #[arg(value_name = "FILE", required = true)]
        files: Vec<PathBuf>,
        /// Put changed orders in the place of those in the book; the old ones stay in the journal
        #[arg(long)]
        replace: bool,
    },
    /// List open orders, the earliest promised first
    List {
        /// Closed orders too
        #[arg(long)]
        all: bool,
    },
    /// Tell the story of an order, in order of time
    Show {
        /// The order's number
        #[arg(value_name = "PO")]
        order: String,
    },
}

/// Runs it.
///
/// # Errors
/// Problems of the files; the book refuses.
pub fn run(args: &Orders, world: &mut World) -> Result<Status, Failure> {
    match &args.what {
        What::Add { files, replace } => add(files, *replace, world),
        What::List { all } => list(*all, world),
        What::Show { order } => story::run(order, world),
    }
}

fn add(files: &[PathBuf], replace: bool, world: &mut World) -> Result<Status, Failure> {
    let mut documents = Vec::with_capacity(files.len());
    let mut problems = Vec::new();
    for file in files {
        let document = document(file)?;
        match intake::order(&document.file, &document.text) {
            Ok(order) => {
                if let Err(Failure::Problems(more)) =
                    not_later(&document, "ordered", order.date, world)
                {
                    problems.extend(more);
                    continue;
                }
                let terms = terms(world, &order.supplier)?;
                if terms.supplier.is_none() {
                    notice(&format!(
                        "note: no file suppliers/{}.yaml; its notice periods, grade names and codes are not known",
                        order.supplier
                    ));
                }
                documents.push((document, terms));
            }
            Err(more) => problems.extend(more),
        }
    }
    if !problems.is_empty() {
        return Err(Failure::Problems(problems));
    }
    let outcomes = write_book(world)?.add_orders(&documents, replace, now())?;
    if world.json {
        let list: Vec<Value> = outcomes.iter().map(outcome_json).collect();
        world.print(&json::printed(&json!({ "orders": list })))?;
    } else {
        for outcome in &outcomes {
            world.print_fitted(&format!("{}\n", said("order", outcome)))?;
        }
    }
    Ok(Status::Fine)
}

/// Returns what recording did, in words.
pub fn said(what: &str, outcome: &Outcome) -> String {
    let number = &outcome.number;
    match outcome.recorded {
        Recorded::Added => format!("recorded {what} {number}"),
        Recorded::Unchanged => format!("{what} {number} is in the book already, word for word"),
        Recorded::Replaced => {
            format!(
                "recorded {what} {number} in place of the one before, which stays in the journal"
            )
        }
    }
}

/// Returns what recording did, as JSON.
pub fn outcome_json(outcome: &Outcome) -> Value {
    json!({
        "number": outcome.number,
        "order": outcome.order,
        "recorded": match outcome.recorded {
            Recorded::Added => "added",
            Recorded::Unchanged => "unchanged",
            Recorded::Replaced => "replaced",
        },
        "reopened": outcome.reopened,
    })
}

fn list(all: bool, world: &mut World) -> Result<Status, Failure> {
    let orders = read_book(world)?.orders(all)?;
    let today = world.today;
    if world.json {
        let list: Vec<Value> = orders
            .iter()
            .map(|order| listed_json(order, today))
            .collect();
        world.print(&json::printed(
            &json!({ "today": today.to_string(), "orders": list }),
        ))?;
        return Ok(Status::Fine);
    }
    if orders.is_empty() {
        world.print(if all {
            "no orders\n"
        } else {
            "no open orders\n"
        })?;
        return Ok(Status::Fine);
    }
    let wide = orders
        .iter()
        .map(|order| order.number.chars().count())
        .max()
        .unwrap_or(0);
    let supplier = orders
        .iter()
        .map(|order| order.supplier.chars().count())
        .max()
        .unwrap_or(0);
    for order in &orders {
        let promised = order
            .promised
            .map_or_else(|| "no date".to_owned(), |promised| promised.to_string());
        let (words, late) = state(order, today);
        let words = if late {
            world.ink.bad(&words)
        } else if order.claimable || order.open_claims > 0 {
            world.ink.look(&words)
        } else {
            world.ink.quiet(&words)
        };
        world.print_fitted(&format!(
            "{:<wide$}  {:<supplier$}  promised {promised:<10}  {words}\n",
            order.number, order.supplier
        ))?;
    }
    Ok(Status::Fine)
}

/// Returns how an order stands, in a few words, and whether it is late.
pub fn state(order: &OrderListed, today: NaiveDate) -> (String, bool) {
    let mut words = Vec::new();
    let late = order.days_late(today);
    if let Some(days) = late {
        let day = if days == 1 { "day" } else { "days" };
        words.push(format!("{days} {day} late"));
    }
    if order.receipts == 0 {
        words.push("nothing has come".to_owned());
    } else if order.waiting > 0 {
        words.push(format!("{} of {} lines owed", order.waiting, order.lines));
    }
    if order.open_claims > 0 {
        let claims = if order.open_claims == 1 {
            "claim"
        } else {
            "claims"
        };
        words.push(format!("{} {claims} open", order.open_claims));
    }
    if order.claimable {
        words.push(
            if order.claims == 0 {
                "not as ordered, nothing claimed yet"
            } else {
                "something is not claimed yet"
            }
            .to_owned(),
        );
    }
    if order.pickup {
        words.push("goods to be collected".to_owned());
    }
    if words.is_empty() {
        words.push(
            if order.as_ordered {
                "as ordered"
            } else {
                "complete"
            }
            .to_owned(),
        );
    }
    (words.join(", "), late.is_some())
}

/// Returns an order of a list as JSON.
pub fn listed_json(order: &OrderListed, today: NaiveDate) -> Value {
    json!({
        "order": order.number,
        "supplier": order.supplier,
        "supplier_name": order.supplier_name,
        "date": order.date.to_string(),
        "promised": order.promised.map(|day| day.to_string()),
        "job": order.job,
        "receipts": order.receipts,
        "lines": order.lines,
        "lines_owed": order.waiting,
        "complete": order.complete,
        "as_ordered": order.as_ordered,
        "days_late": order.days_late(today),
        "open_claims": order.open_claims,
        "pickup": order.pickup,
        "to_claim": order.claimable,
    })
}
