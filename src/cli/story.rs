//! `asordered order show`: the story of an order, in order of time. Compares nothing anew beside the check.

use crate::book::Book;
use crate::book::claims::said;
use crate::book::listing::OrderListed;
use crate::claim::replaced;
use crate::claim::standing::{self, LineStanding};
use crate::cli::Status;
use crate::cli::check::case;
use crate::cli::claim::list::{asked, claim_json};
use crate::cli::failure::Failure;
use crate::cli::order::{listed_json, state};
use crate::cli::shop::{papers, read_book};
use crate::cli::world::World;
use crate::report::json;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde_json::{Value, json};

/// One thing that happened.
struct Event {
    day: NaiveDate,
    what: String,
    more: Vec<String>,
}

/// Runs it.
///
/// # Errors
/// The book does not have the order.
pub fn run(order: &str, world: &mut World) -> Result<Status, Failure> {
    let book = read_book(world)?;
    let listed = book.order_listed(order)?;
    let papers = papers(&book, order, world)?;
    let claims = book.claims_now(order)?;
    let answer = replaced::answer(&case(&papers, None), &claims)?;
    let lines = standing::standing(&answer, &claims);
    let mut events = events(&book, order, &listed)?;
    events.sort_by_key(|event| event.day);
    if world.json {
        let story: Vec<Value> = events
            .iter()
            .map(|event| json!({"date": event.day.to_string(), "what": event.what, "more": event.more}))
            .collect();
        let mut value = listed_json(&listed, world.today);
        value["story"] = json!(story);
        value["standing"] = json!(lines.iter().map(standing_json).collect::<Vec<_>>());
        value["claims"] = json!(
            book.claims_of(order)?
                .iter()
                .map(claim_json)
                .collect::<Vec<_>>()
        );
        world.print(&json::printed(&value))?;
        return Ok(Status::Fine);
    }
    let (now, late) = state(&listed, world.today);
    let now = if late { world.ink.bad(&now) } else { now };
    let supplier = listed.supplier_name.as_deref().unwrap_or(&listed.supplier);
    let job = listed
        .job
        .as_ref()
        .map(|job| format!(", for {job}"))
        .unwrap_or_default();
    world.print_fitted(&format!(
        "{} from {supplier}{job}: {now}\n\n",
        world.ink.strong(&listed.number)
    ))?;
    for event in &events {
        world.print_fitted(&format!("{}  {}\n", event.day, event.what))?;
        for more in &event.more {
            world.print_fitted(&format!("            {more}\n"))?;
        }
    }
    let left = left(&lines);
    if !left.is_empty() {
        world.print("\nnow:\n")?;
        for words in left {
            world.print_fitted(&format!("  {words}\n"))?;
        }
    }
    Ok(Status::Fine)
}

/// Returns what is owed and held, a line each; nothing where all is done.
pub fn left(lines: &[LineStanding]) -> Vec<String> {
    let amount = |amount: Decimal, line: &LineStanding| {
        crate::model::quantity::Quantity::new(amount, line.unit).to_string()
    };
    lines
        .iter()
        .filter_map(|line| {
            let mut words = Vec::new();
            if line.owed > Decimal::ZERO {
                words.push(format!("{} owed", amount(line.owed, line)));
            }
            if line.held > Decimal::ZERO {
                words.push(format!("{} held", amount(line.held, line)));
            }
            if words.is_empty() {
                return None;
            }
            let claims = if line.claims.is_empty() {
                String::new()
            } else {
                format!(" ({})", line.claims.join(", "))
            };
            let place = if line.line.contains(':') {
                format!("{}, not ordered", line.line)
            } else {
                format!("line {}", line.line)
            };
            Some(format!("{place}: {}{claims}", words.join(", ")))
        })
        .collect()
}

/// Returns where a line stands, as JSON.
pub fn standing_json(line: &LineStanding) -> Value {
    json!({
        "line": line.line,
        "unit": line.unit.name(),
        "owed": json::amount(line.owed),
        "held": json::amount(line.held),
        "claims": line.claims,
    })
}

fn events(book: &Book, order: &str, listed: &OrderListed) -> Result<Vec<Event>, Failure> {
    let mut events = vec![event(
        listed.date,
        format!("ordered, {} lines", listed.lines),
        listed
            .promised
            .map(|promised| format!("promised for {promised}"))
            .into_iter()
            .collect(),
    )];
    for receipt in book.receipts(order)? {
        let slip = receipt
            .packing_slip
            .as_ref()
            .map(|slip| format!(", packing slip {slip}"))
            .unwrap_or_default();
        let by = receipt
            .by
            .as_ref()
            .map(|by| format!(" by {by}"))
            .unwrap_or_default();
        let verdict = if receipt.differing == 0 {
            "as ordered".to_owned()
        } else {
            format!(
                "{} of {} lots not as ordered",
                receipt.differing, receipt.lots
            )
        };
        let mut more = receipt.findings;
        more.extend(receipt.evidence.iter().map(|evidence| {
            format!(
                "{} ({} bytes, sha256 {})",
                evidence.path,
                evidence.size,
                short(&evidence.sha256)
            )
        }));
        events.push(event(
            receipt.date,
            format!("received {}{by}{slip}: {verdict}", receipt.number),
            more,
        ));
    }
    for invoice in book.invoices(order)? {
        let total = invoice
            .total
            .map(|total| format!(", total {total}"))
            .unwrap_or_default();
        events.push(event(
            invoice.date,
            format!("billed {}{total}", invoice.number),
            Vec::new(),
        ));
    }
    for claim in book.claims_of(order)? {
        events.push(event(
            claim.drafted,
            format!("claim {} drafted: {}", claim.number, asked(&claim)),
            Vec::new(),
        ));
        if let Some(sent) = claim.sent {
            events.push(event(
                sent,
                format!("claim {} sent", claim.number),
                Vec::new(),
            ));
        }
        for answer in book.answers(&claim)? {
            events.push(event(
                answer.date,
                format!("claim {} answered: {}", claim.number, said(&answer)),
                Vec::new(),
            ));
        }
        for settled in book.settlements(&claim)? {
            let by = settled.what();
            events.push(event(
                settled.date,
                format!("claim {}: {by}", claim.number),
                settled.judged.lines().map(str::to_owned).collect(),
            ));
        }
        if let Some(closed) = claim.closed {
            events.push(event(
                closed,
                format!("claim {} {}", claim.number, claim.state.name()),
                Vec::new(),
            ));
        }
    }
    Ok(events)
}

fn event(day: NaiveDate, what: String, more: Vec<String>) -> Event {
    Event { day, what, more }
}

fn short(hash: &str) -> &str {
    hash.get(..12).unwrap_or(hash)
}
