//! `asordered due`: what must be done by when, overdue first. Decides no day; those are `claim/deadlines`'s.

use crate::book::Book;
use crate::book::answers::{AnswerKind, TheirAnswer};
use crate::book::claims::said;
use crate::claim::cycle::State;
use crate::claim::deadlines::{self, Deadline};
use crate::claim::due::{ClaimDue, Due, OrderDue, due};
use crate::claim::remedy::Against;
use crate::claim::replaced;
use crate::claim::standing::Pickup;
use crate::claim::{self, standing};
use crate::cli::Status;
use crate::cli::check::{case, wrote};
use crate::cli::failure::Failure;
use crate::cli::output::{self, Output};
use crate::cli::shop::{papers, read_book};
use crate::cli::world::{World, now};
use crate::files;
use crate::report::{ics, json};
use chrono::NaiveDate;
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
            Some(1) => world.ink.bad(&format!("{line} (1 day overdue)")),
            Some(days) => world.ink.bad(&format!("{line} ({days} days overdue)")),
            None if one.day == today => world.ink.look(&format!("{line} (today)")),
            None => line,
        };
        world.print_fitted(&format!(
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
        let pickups = if listed.pickup {
            pickups(book, &listed.number)?
        } else {
            Vec::new()
        };
        for claim in book.claims_of(&listed.number)? {
            let answers = book.answers(&claim)?;
            let fetched = book.came(&claim)?.collected.is_some();
            let promised = promised(&answers, fetched).map(|(by, answer)| (by, said(answer)));
            let open = if claim.state == State::PartlyRight {
                book.judged(&claim.number)?
                    .parts
                    .into_iter()
                    .filter(|part| !part.right)
                    .map(|part| part.text)
                    .collect()
            } else {
                Vec::new()
            };
            let mine: Vec<String> = pickups
                .iter()
                .filter(|pickup| pickup.claim == claim.number)
                .map(|pickup| format!("{} of {}", pickup.amount, place(&pickup.place)))
                .collect();
            let rules = match claim.sent {
                Some(sent) if claim.party == Against::Carrier => {
                    deadlines::carrier_follow_up(sent).to_vec()
                }
                Some(_) | None => Vec::new(),
            };
            let whom = if claim.party == Against::Carrier {
                claim.carrier().unwrap_or_else(|| "the carrier".to_owned())
            } else {
                of.supplier.clone()
            };
            of.claims.push(ClaimDue {
                number: claim.number,
                state: claim.state,
                whom,
                notify_by: claim.notify_by,
                answer_by: claim.answer_by,
                promised,
                refused: answers.last().map(|answer| answer.date),
                open,
                pickup: claim.closed.filter(|_| !mine.is_empty()).map(|closed| {
                    (
                        closed.max(claim.answer_by.unwrap_or(closed)),
                        mine.join(", "),
                    )
                }),
                rules,
            });
        }
        orders.push(of);
    }
    Ok(due(&orders, world.today))
}

/// Returns the promise that stands first: a later answer of a kind takes the place of an earlier one, and a refusal
/// that of all. A collection is no longer awaited once the goods were `fetched`.
fn promised(answers: &[TheirAnswer], fetched: bool) -> Option<(NaiveDate, &TheirAnswer)> {
    let mut standing: Vec<&TheirAnswer> = Vec::new();
    for answer in answers {
        standing.retain(|before| answer.kind != AnswerKind::Refused && before.kind != answer.kind);
        standing.push(answer);
    }
    standing
        .into_iter()
        .filter(|answer| !(fetched && answer.kind == AnswerKind::Collection))
        .filter_map(|answer| answer.by.map(|by| (by, answer)))
        .min_by_key(|(by, _)| *by)
}

fn pickups(book: &Book, order: &str) -> Result<Vec<Pickup>, Failure> {
    let papers = book.papers(order)?;
    let answer = replaced::answer(&papers.case(None), &papers.claims)?;
    Ok(standing::pickups(&answer, &papers.claims))
}

/// Returns a place in words: `line 2`, or the receipt and its line.
fn place(place: &str) -> String {
    if place.contains(':') {
        place.to_owned()
    } else {
        format!("line {place}")
    }
}

/// Returns the last day to tell somebody what no claim of an order asks for yet.
fn unclaimed(book: &Book, order: &str, world: &World) -> Result<Option<Deadline>, Failure> {
    let papers = papers(book, order, world)?;
    let case = case(&papers, None);
    let claims = book.claims_now(order)?;
    let answer = replaced::answer(&case, &claims)?;
    let rest = standing::unclaimed(&answer, &claims);
    Ok(claim::draft(&case, &rest, world.today)
        .into_iter()
        .filter_map(|draft| draft.notify_by)
        .min())
}
