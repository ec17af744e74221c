//! `asordered tag`: hold tags of an order, to print. Holds nothing itself; the check says what is held and why.

use crate::check::check;
use crate::claim::standing::ClaimNow;
use crate::cli::Status;
use crate::cli::check::{case, wrote};
use crate::cli::failure::Failure;
use crate::cli::output::{self, Output};
use crate::cli::paper::Papers;
use crate::cli::shop::{papers, read_book};
use crate::cli::world::World;
use crate::files;
use crate::model::answer::{Answer, LineAnswer};
use crate::model::kind::{Effect, Kind};
use crate::model::quantity::Quantity;
use crate::report::json;
use crate::report::tag::{Tag, page};
use rust_decimal::Decimal;
use serde_json::{Value, json};
use std::path::PathBuf;

/// Print hold tags of an order
#[derive(Debug, clap::Args)]
pub struct Tags {
    /// The order's number
    #[arg(value_name = "PO")]
    pub order: String,
    /// Write the page to FILE instead of the output
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
}

/// Runs it.
///
/// # Errors
/// The book does not have the order; the page cannot be written.
pub fn run(args: &Tags, world: &mut World) -> Result<Status, Failure> {
    let book = read_book(world)?;
    let papers = papers(&book, &args.order, world)?;
    let answer = check(&case(&papers, None))?;
    let tags = tags(&papers, &answer, &book.claims_now(&args.order)?);
    if world.json {
        let list: Vec<Value> = tags
            .iter()
            .map(|tag| {
                json!({
                    "number": tag.number,
                    "amount": tag.amount,
                    "item": tag.item,
                    "why": tag.why,
                    "advice": tag.advice,
                    "since": tag.since,
                    "place": tag.place,
                    "release": tag.release,
                    "claim": tag.claim,
                })
            })
            .collect();
        world.print(&json::printed(
            &json!({ "order": args.order, "tags": list }),
        ))?;
        return Ok(Status::Fine);
    }
    if tags.is_empty() {
        return Err(Failure::error(format!(
            "nothing of order `{}` is held; no tags",
            args.order
        )));
    }
    let own = files::own(world.shop_folder(), "templates/tag.html.hbs")?;
    let own = if own.is_file() {
        Some(files::read_text(&own)?)
    } else {
        None
    };
    let page = page(&args.order, &tags, own.as_deref()).map_err(|error| {
        Failure::error(format!("the template of tags does not render: {error}"))
    })?;
    match &args.html {
        Some(path) => {
            let option = "--html";
            output::places(&[Output { option, path }], &[], None, world)?;
            files::write(path, page.as_bytes())?;
            wrote(path);
            Ok(Status::Fine)
        }
        None => world.print(&page).map(|()| Status::Fine),
    }
}

/// Returns a tag for every lot of which something may not be used.
fn tags(papers: &Papers, answer: &Answer, claims: &[ClaimNow]) -> Vec<Tag> {
    let release = papers
        .shop
        .as_ref()
        .and_then(|shop| shop.signs.as_ref())
        .map_or_else(
            || "the owner".to_owned(),
            |signs| match &signs.role {
                Some(role) => format!("{}, {role}", signs.name),
                None => signs.name.clone(),
            },
        );
    let supplier = papers.supplier.as_ref().map_or_else(
        || papers.order.supplier.clone(),
        |supplier| supplier.name.clone(),
    );
    let since = |number: &str| {
        papers
            .receipts
            .iter()
            .find(|receipt| receipt.number.value == number)
            .map(|receipt| receipt.date.to_string())
            .unwrap_or_default()
    };
    let claim = |line: Option<&str>, place: &str| {
        claims
            .iter()
            .find(|claim| {
                !claim.state.is_closed()
                    && claim.parts.iter().any(|part| {
                        part.wanted.place == place
                            || (line.is_some() && part.wanted.line.as_deref() == line)
                    })
            })
            .map(|claim| claim.number.clone())
    };
    let mut tags = Vec::new();
    for line in &answer.lines {
        // Goods beyond the order and leaves of broken sets are held with the whole lot: nobody has told them apart.
        let whole: Vec<&str> = line
            .findings
            .iter()
            .filter(|finding| matches!(finding.kind, Kind::Over | Kind::SetsMissing))
            .map(|finding| finding.kind.held_because())
            .collect();
        for lot in &line.lots {
            let mut why: Vec<&str> = line
                .findings
                .iter()
                .filter(|finding| {
                    lot.held_for.contains(&finding.text)
                        && matches!(finding.kind.effect(), Effect::Claimed | Effect::LookAgain)
                })
                .map(|finding| finding.kind.held_because())
                .collect();
            why.extend(&whole);
            why.dedup();
            if why.is_empty() {
                continue;
            }
            // What is beyond the order or makes no set is part of the lot: nobody has set it apart yet.
            let rest = (line.arrived - line.rejected() - line.usable).max(Decimal::ZERO);
            let held = if lot.rejected.is_zero() {
                rest.min(lot.amount)
            } else {
                lot.rejected
            };
            let held = if held.is_zero() { lot.amount } else { held };
            let of = Quantity::new(lot.amount, line.unit);
            let amount = if held == lot.amount {
                of.to_string()
            } else {
                format!("{} of {of}", held.normalize())
            };
            let place = format!("{}:{}", lot.receipt, lot.index);
            tags.push(Tag {
                number: format!("{}/{}", lot.receipt, lot.index),
                amount,
                item: item_and_spares(line),
                why: why.join("; "),
                advice: (!lot.advice.is_empty()).then(|| lot.advice.join("; ")),
                since: since(&lot.receipt),
                place: lot.place.clone(),
                supplier: supplier.clone(),
                release: release.clone(),
                claim: claim(Some(&line.line), &place),
            });
        }
    }
    for stray in &answer.not_ordered {
        let place = format!("{}:{}", stray.receipt, stray.index);
        tags.push(Tag {
            number: format!("{}/{}", stray.receipt, stray.index),
            amount: Quantity::new(stray.amount, stray.unit).to_string(),
            item: name(stray.item.as_deref(), stray.description.as_deref()),
            why: Kind::NotOrdered.held_because().to_owned(),
            advice: None,
            since: since(&stray.receipt),
            place: papers
                .receipts
                .iter()
                .find(|receipt| receipt.number.value == stray.receipt)
                .and_then(|receipt| receipt.place.clone()),
            supplier: supplier.clone(),
            release: release.clone(),
            claim: claim(None, &place),
        });
    }
    tags
}

/// Returns what the lot is, and which of its leaves make no set, where sets are missing.
fn item_and_spares(line: &LineAnswer) -> String {
    let mut out = name(line.item.as_deref(), line.description.as_deref());
    if let Some(sequence) = line
        .sequence
        .as_ref()
        .filter(|sequence| !sequence.missing.is_empty())
    {
        for run in &sequence.spare {
            out.push_str(&format!(
                "; in no set: flitch {}, {}",
                run.flitch,
                run.leaves.join(", ")
            ));
        }
    }
    out
}

fn name(item: Option<&str>, description: Option<&str>) -> String {
    match (item, description) {
        (Some(item), Some(description)) => format!("{item}, {description}"),
        (Some(one), None) | (None, Some(one)) => one.to_owned(),
        (None, None) => "goods without a code".to_owned(),
    }
}
