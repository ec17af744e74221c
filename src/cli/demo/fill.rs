//! Fills the book of a demo shop with the invented year, through the book's own doors: nothing in it is made up
//! after the papers.

use crate::book::Book;
use crate::book::claims::{NewClaim, NewLetter};
use crate::book::document::Document;
use crate::book::error::BookError;
use crate::book::message::{Intent, SendResult};
use crate::book::record::Terms;
use crate::book::settle::Arrived;
use crate::check::check;
use crate::claim::asked;
use crate::claim::cycle::Step;
use crate::claim::draft::{ClaimDraft, draft};
use crate::claim::letter::{self, Beside, LetterKind, Templates};
use crate::claim::wishes::Wishes;
use crate::cli::demo::goods::Fault;
use crate::cli::demo::papers;
use crate::cli::demo::year::{Claim, Deal};
use crate::report::json;
use chrono::{DateTime, NaiveDate, NaiveTime, Utc};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Records the year. `told` hears after each order how many of how many are done.
///
/// # Errors
/// The book refuses, which a test rules out.
pub fn fill(
    book: &mut Book,
    deals: &[Deal],
    terms: &BTreeMap<String, Terms>,
    told: &mut dyn FnMut(usize),
) -> Result<(), BookError> {
    let none = Terms::default();
    let terms_of = |deal: &Deal| terms.get(deal.supplier.id).unwrap_or(&none);
    // A book that is not yet anybody's is filled faster without waiting for the disk after every step.
    book.connection()
        .pragma_update(None, "synchronous", "off")?;
    let orders: Vec<(Document, Terms)> = deals
        .iter()
        .map(|deal| {
            (
                paper("orders", &deal.order, papers::order(deal)),
                terms_of(deal).clone(),
            )
        })
        .collect();
    if let Some(first) = deals.iter().map(|deal| deal.ordered).min() {
        book.add_orders(&orders, false, moment(first))?;
    }
    let templates = Templates::embedded();
    for (place, deal) in deals.iter().enumerate() {
        let receipt = paper("receipts", &deal.receipt, papers::receipt(deal));
        let at = moment(deal.arrived);
        book.add_receipt(Some(&deal.order), &receipt, terms_of(deal), &[], false, at)?;
        if let Some(claim) = &deal.claim {
            follow(book, deal, claim, terms_of(deal), &templates)?;
        }
        told(place + 1);
    }
    book.connection()
        .pragma_update(None, "synchronous", "full")?;
    Ok(())
}

fn paper(folder: &str, number: &str, text: String) -> Document {
    Document {
        file: format!("{folder}/{number}.yaml"),
        text,
    }
}

/// Nine in the morning, UTC.
fn moment(day: NaiveDate) -> DateTime<Utc> {
    day.and_time(NaiveTime::from_hms_opt(9, 0, 0).expect("nine is an hour of the day"))
        .and_utc()
}

/// Drafts, sends and settles the claims of a delivery.
fn follow(
    book: &mut Book,
    deal: &Deal,
    claim: &Claim,
    terms: &Terms,
    templates: &Templates,
) -> Result<(), BookError> {
    let numbers = drafted(book, deal, claim, templates)?;
    for number in &numbers {
        let kept = book.claim(number)?;
        let letter = book.letter(&kept, None)?;
        let intent = Intent {
            letter: letter.id,
            message_id: &format!("{number}@shop.example"),
            recipients: &[],
            bytes: letter.text.as_bytes(),
            again: false,
        };
        let message = book.intend(number, Step::Send, &intent, moment(claim.sent))?;
        book.ended(
            message,
            SendResult::Written,
            "invented",
            claim.sent,
            kept.answer_by,
            moment(claim.sent),
        )?;
    }
    let Some((day, by_goods)) = claim.settled else {
        return Ok(());
    };
    let at = moment(day);
    let receipt = paper(
        "receipts",
        &format!("{}R", deal.receipt),
        papers::replacement(deal, day),
    );
    let over = deal
        .lines
        .iter()
        .any(|line| matches!(line.fault, Some((Fault::Over, _))));
    let goods = by_goods && receipt.text.contains("- line:");
    if goods {
        book.add_receipt(Some(&deal.order), &receipt, terms, &[], false, at)?;
    }
    for number in &numbers {
        let kept = book.claim(number)?;
        let arrived = match kept.value {
            _ if over => Arrived::Collection,
            _ if goods => Arrived::Replacement {
                receipt: format!("{}R", deal.receipt),
            },
            Some(amount) => Arrived::Credit {
                amount,
                paper: Some(format!("CR-{}", deal.order)),
            },
            None => Arrived::Collection,
        };
        let state = book.settle(number, &arrived, day, at)?.state;
        if !state.is_closed() {
            let reason = "made right but for the shop's own costs".to_owned();
            book.settle(number, &Arrived::Enough { reason }, day, at)?;
        } else if book.order_listed(&deal.order)?.pickup && arrived != Arrived::Collection {
            book.settle(number, &Arrived::Collection, day, at)?;
        }
    }
    Ok(())
}

fn drafted(
    book: &mut Book,
    deal: &Deal,
    claim: &Claim,
    templates: &Templates,
) -> Result<Vec<String>, BookError> {
    let papers = book.papers(&deal.order)?;
    let case = papers.case(None);
    let answer = check(&case)?;
    let wishes = Wishes {
        labour_hours: (claim.hours > 0).then(|| Decimal::from(claim.hours)),
        ..Wishes::default()
    };
    let drafts = draft(&case, &answer, claim.drafted, &wishes);
    let kept = json::answer(&answer, crate::claim::summary(&drafts).as_ref()).to_string();
    let new: Vec<NewClaim> = drafts.iter().map(|draft| new_claim(draft, &kept)).collect();
    let letter = |place: usize, number: &str| -> Result<NewLetter, BookError> {
        let beside = Beside {
            claim: Some(number.to_owned()),
            ..Beside::default()
        };
        let kind = LetterKind::Notice;
        let data = letter::data(&case, &answer, &drafts[place], kind, &beside, claim.drafted)
            .map_err(|missing| BookError::refused(missing.join("; ")))?;
        let written = letter::render(kind, &data, templates)?;
        Ok(NewLetter {
            kind: kind.name().to_owned(),
            subject: written.subject,
            text: written.text,
            html: Some(written.html),
            edited: false,
        })
    };
    let was = book.seen(&deal.order)?;
    book.draft_claims(
        &deal.order,
        &was,
        &new,
        &letter,
        claim.drafted,
        moment(claim.drafted),
    )
}

fn new_claim(draft: &ClaimDraft, answer: &str) -> NewClaim {
    NewClaim {
        party: draft.against,
        receipts: draft.receipts.clone(),
        currency: draft.currency.clone(),
        value: draft.value,
        notify_by: draft.notify_by.as_ref().map(|day| day.date),
        answer_by: draft.answer_by,
        answer: answer.to_owned(),
        asked: asked::to_json(draft).to_string(),
    }
}
