//! `asordered due`: what must be done by when, overdue first. Decides no day; those are `claim/deadlines`'s.

use crate::book::Book;
use crate::book::claims::said;
use crate::check::check;
use crate::claim::deadlines::{self, Deadline};
use crate::claim::due::{ClaimDue, Due, OrderDue, due};
use crate::claim::remedy::Against;
use crate::claim::{self, standing};
use crate::cli::Status;
use crate::cli::check::{case, wrote};
use crate::cli::failure::Failure;
use crate::cli::output::{self, Output};
use crate::cli::shop::{papers, read_book};
use crate::cli::world::{World, now};
use crate::files;
use crate::report::{ics, json};
use serde_json::{Value, json};
use std::path::PathBuf;

/// Tell what must be done by when, overdue first
#[derive(Debug, clap::Args)]
pub struct DueBy {
    /// Write the days as calendar events to FILE (.ics)
    #[arg(long, value_name = "FILE")]
    pub ics: Option<PathBuf>,
}

/// Runs it.
///
/// # Errors
/// The book cannot be read; the calendar cannot be written.
pub fn run(args: &DueBy, world: &mut World) -> Result<Status, Failure> {
    let book = read_book(world)?;
    let all = all(&book, world)?;
    if let Some(path) = &args.ics {
        let option = "--ics";
        output::places(&[Output { option, path }], &[], None, world)?;
        files::write(path, ics::calendar(&all, now()).as_bytes())?;
        wrote(path);
    }
    let today = world.today;
    if world.json {
        let list: Vec<Value> = all
            .iter()
            .map(|due| {
                json!({
                    "day": due.day.to_string(),
                    "kind": due.kind.name(),
                    "order": due.order,
                    "claim": due.claim,
                    "days_over": due.days_over(today),
                    "text": due.text,
                    "todo": due.todo,
                    "uid": due.uid(),
                })
            })
            .collect();
        world.print(&json::printed(
            &json!({ "today": today.to_string(), "due": list }),
        ))?;
        return Ok(Status::Fine);
    }
    if all.is_empty() {
        world.print("nothing is due\n")?;
    }
    for one in &all {
        let line = format!("{}  {}", one.day, one.text);
        let line = match one.days_over(today) {
            Some(1) => world.ink.bad(&format!("{line} (1 day over)")),
            Some(days) => world.ink.bad(&format!("{line} ({days} days over)")),
            None if one.day == today => world.ink.look(&format!("{line} (today)")),
            None => line,
        };
        world.print(&format!(
            "{line}\n{}\n",
            world.ink.quiet(&format!("            {}", one.todo))
        ))?;
    }
    Ok(Status::Fine)
}

/// Returns what is due over all open orders. Orders that are done cost nothing: only open ones are looked at.
fn all(book: &Book, world: &World) -> Result<Vec<Due>, Failure> {
    let mut orders = Vec::new();
    for listed in book.orders(false)? {
        let mut of = OrderDue {
            order: listed.number.clone(),
            supplier: listed
                .supplier_name
                .clone()
                .unwrap_or_else(|| listed.supplier.clone()),
            goods: listed.promised.filter(|_| !listed.complete),
            unclaimed: None,
            claims: Vec::new(),
        };
        if listed.claimable {
            of.unclaimed = unclaimed(book, &listed.number, world)?;
        }
        for claim in book.claims_of(&listed.number)? {
            let promised = book
                .answers(&claim)?
                .into_iter()
                .rev()
                .find_map(|answer| answer.by.map(|by| (by, said(&answer))));
            let rules = match claim.sent {
                Some(sent) if claim.party == Against::Carrier.name() => {
                    deadlines::carrier_follow_up(sent).to_vec()
                }
                Some(_) | None => Vec::new(),
            };
            of.claims.push(ClaimDue {
                number: claim.number,
                state: claim.state,
                party: claim.party,
                notify_by: claim.notify_by,
                answer_by: claim.answer_by,
                promised,
                rules,
            });
        }
        orders.push(of);
    }
    Ok(due(&orders, world.today))
}

/// Returns the last day to tell somebody what no claim of an order asks for yet.
fn unclaimed(book: &Book, order: &str, world: &World) -> Result<Option<Deadline>, Failure> {
    let papers = papers(book, order, world)?;
    let case = case(&papers, None);
    let rest = standing::unclaimed(&check(&case)?, &book.claims_now(order)?);
    Ok(claim::draft(&case, &rest, world.today)
        .into_iter()
        .filter_map(|draft| draft.notify_by)
        .min())
}
