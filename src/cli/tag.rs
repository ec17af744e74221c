//! `asordered tag`: hold tags of an order, to print. Holds nothing itself; the check says what is held and why.

use crate::claim::cycle::State;
use crate::claim::replaced;
use crate::claim::standing::{ClaimNow, fetched, standing};
use crate::cli::Status;
use crate::cli::check::{case, wrote};
use crate::cli::failure::{Failure, notice};
use crate::cli::output::{self, Output};
use crate::cli::paper::Papers;
use crate::cli::shop::{papers, read_book};
use crate::cli::world::World;
use crate::files;
use crate::model::answer::Answer;
use crate::model::kind::Kind;
use crate::model::quantity::Quantity;
use crate::report::json;
use crate::report::tag::held::held;
use crate::report::tag::{Tag, listed, page};
use rust_decimal::Decimal;
use serde_json::{Value, json};
use std::path::PathBuf;

/// List what of an order is held, and write its hold tags to print
#[derive(Debug, clap::Args)]
pub struct Tags {
    /// The order's number
    #[arg(value_name = "PO")]
    pub order: String,
    /// Write the tags to FILE, one a half-letter sheet (5.5 x 8.5 in)
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
    let claims = book.claims_now(&args.order)?;
    let answer = replaced::answer(&case(&papers, None), &claims)?;
    let tags = tags(&papers, &answer, &claims);
    if world.json {
        let list: Vec<Value> = tags
            .iter()
            .map(|tag| {
                json!({
                    "number": tag.number,
                    "amount": tag.amount,
                    "item": tag.item,
                    "leaves": tag.leaves,
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
        None => {
            world.print(&listed(&tags, world.width))?;
            notice("`--html FILE` writes the tags to print, one a sheet");
            Ok(Status::Fine)
        }
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
    // The claim about the very receipt comes first, then any that is open on the line.
    let claim = |line: Option<&str>, place: &str, receipt: &str| {
        let on_it: Vec<&ClaimNow> = claims
            .iter()
            .filter(|claim| claim.state != State::Withdrawn)
            .filter(|claim| {
                claim.parts.iter().any(|part| {
                    part.wanted.place == place
                        || (line.is_some() && part.wanted.line.as_deref() == line)
                })
            })
            .collect();
        let about = |claim: &&&ClaimNow| {
            let mut receipts = claim.receipts.iter().chain(&claim.came.receipts);
            receipts.any(|known| known == receipt)
        };
        on_it
            .iter()
            .find(about)
            .or_else(|| on_it.iter().find(|claim| !claim.state.is_closed()))
            .map(|claim| claim.number.clone())
    };
    let mut tags = Vec::new();
    let now = standing(answer, claims);
    for (line, now) in answer.lines.iter().zip(&now) {
        let here = line.arrived - line.usable;
        let gone = (here - now.held).max(Decimal::ZERO);
        let fetched: Vec<_> = fetched(line, claims).collect();
        for held in held(line, &papers.receipts, &fetched, gone) {
            let lot = &line.lots[held.lot];
            let of = Quantity::new(lot.amount, line.unit);
            let amount = if held.amount == lot.amount {
                of.to_string()
            } else {
                format!(
                    "{} of {}",
                    Quantity::new(held.amount, line.unit),
                    lot.amount.normalize()
                )
            };
            let place = format!("{}:{}", lot.receipt, lot.index);
            tags.push(Tag {
                number: format!("{}/{}", lot.receipt, lot.index),
                amount,
                item: name(line.item.as_deref(), line.description.as_deref()),
                leaves: held.leaves,
                why: held.why.join("; "),
                advice: (!lot.advice.is_empty()).then(|| lot.advice.join("; ")),
                since: since(&lot.receipt),
                place: lot.place.clone(),
                supplier: supplier.clone(),
                release: release.clone(),
                claim: claim(Some(&line.line), &place, &lot.receipt),
            });
        }
    }
    for stray in &answer.not_ordered {
        let place = format!("{}:{}", stray.receipt, stray.index);
        if now
            .iter()
            .any(|line| line.line == place && line.held.is_zero())
        {
            continue;
        }
        tags.push(Tag {
            number: format!("{}/{}", stray.receipt, stray.index),
            amount: Quantity::new(stray.amount, stray.unit).to_string(),
            item: name(stray.item.as_deref(), stray.description.as_deref()),
            leaves: Vec::new(),
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
            claim: claim(None, &place, &stray.receipt),
        });
    }
    tags
}

fn name(item: Option<&str>, description: Option<&str>) -> String {
    match (item, description) {
        (Some(item), Some(description)) => format!("{item}, {description}"),
        (Some(one), None) | (None, Some(one)) => one.to_owned(),
        (None, None) => "goods without a code".to_owned(),
    }
}
