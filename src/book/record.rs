//! Records orders, receipts and invoices: each call is one transaction, and the same document again changes nothing.

mod invoice;
mod order;
mod receipt;
mod rewrite;
mod terms;
mod void;

pub(crate) use crate::book::record::rewrite::rederive;

use crate::book::document::Document;
use crate::book::error::BookError;
use crate::book::journal::{self, Entry};
use crate::book::reader::Reader;
use crate::book::{Book, stamp};
use crate::intake;
use crate::model::order::Order;
use crate::model::problem::Problem;
use chrono::{DateTime, Utc};
use rusqlite::Connection;

/// The files beside an order that its rows are worked out with; `None` where there is none in the shop's folder,
/// and what the book last knew stays.
#[derive(Debug, Clone, Default)]
pub struct Terms {
    /// The supplier's file.
    pub supplier: Option<Document>,
    /// shop.yaml.
    pub shop: Option<Document>,
}

/// A file that shows what was received.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Evidence {
    /// Its path in the shop's folder.
    pub path: String,
    /// Its SHA-256.
    pub sha256: String,
    /// Its size in bytes.
    pub size: u64,
}

/// What recording a document did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Recorded {
    /// It is new.
    Added,
    /// The same document was there; nothing changed.
    Unchanged,
    /// It stands in place of another, which stays in the journal.
    Replaced,
}

/// What recording did, with the numbers that the documents carry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outcome {
    /// The document's number.
    pub number: String,
    /// The order it belongs to, or is.
    pub order: String,
    /// What was done.
    pub recorded: Recorded,
    /// Claims that opened again, because their replacement turned out wrong.
    pub reopened: Vec<String>,
}

impl Book {
    /// Records orders, all or none.
    ///
    /// # Errors
    /// Problems of any of the files; a changed order under a known number without `replace`; the disk refuses.
    pub fn add_orders(
        &mut self,
        orders: &[(Document, Terms)],
        replace: bool,
        now: DateTime<Utc>,
    ) -> Result<Vec<Outcome>, BookError> {
        let mut read = Vec::with_capacity(orders.len());
        let mut problems = Vec::new();
        for (document, terms) in orders {
            match self.reader.read::<Order>(document) {
                Ok(order) => read.push((order, document, terms)),
                Err(BookError::Problems(more)) => problems.extend(more),
                Err(refused) => return Err(refused),
            }
        }
        if !problems.is_empty() {
            return Err(BookError::Problems(problems));
        }
        let stamp = stamp(now);
        let reader = self.reader.clone();
        let work = self.begin()?;
        let recording = Recording {
            work: &work,
            reader: &reader,
            stamp: &stamp,
        };
        let mut outcomes = Vec::with_capacity(read.len());
        for (order, document, terms) in read {
            outcomes.push(order::add(&recording, &order, document, terms, replace)?);
        }
        work.commit()?;
        Ok(outcomes)
    }

    /// Records a receipt, whole or not at all.
    ///
    /// # Errors
    /// Problems of the file, alone or with its order; it belongs to an order that the book does not have, or not to
    /// `order` where one is named; a changed receipt under a known number without `replace`; the disk refuses.
    pub fn add_receipt(
        &mut self,
        order: Option<&str>,
        document: &Document,
        terms: &Terms,
        evidence: &[Evidence],
        replace: bool,
        now: DateTime<Utc>,
    ) -> Result<Outcome, BookError> {
        let receipt = intake::receipt(&document.file, &document.text)?;
        if let Some(order) = order
            && order != receipt.order.value
        {
            return Err(BookError::Problems(vec![
                Problem::new(
                    &receipt.order.spot,
                    format!(
                        "receipt of order `{}`, expected `{order}`",
                        receipt.order.value
                    ),
                )
                .hint(format!("`asordered receive {} FILE`", receipt.order.value)),
            ]));
        }
        let stamp = stamp(now);
        let reader = self.reader.clone();
        let work = self.begin()?;
        let recording = Recording {
            work: &work,
            reader: &reader,
            stamp: &stamp,
        };
        let outcome = receipt::add(&recording, receipt, document, terms, evidence, replace)?;
        work.commit()?;
        Ok(outcome)
    }
}

/// What one transaction records with.
#[derive(Clone, Copy)]
struct Recording<'a> {
    work: &'a Connection,
    reader: &'a Reader,
    stamp: &'a str,
}

fn note(
    recording: &Recording<'_>,
    what: &str,
    outcome: &Outcome,
    order: i64,
    document: i64,
    replaced: Option<i64>,
) -> Result<(), BookError> {
    let (done, detail) = match outcome.recorded {
        Recorded::Added => ("added", String::new()),
        Recorded::Unchanged => ("unchanged", String::new()),
        Recorded::Replaced => ("replaced", "the one before stays in the book".to_owned()),
    };
    journal::add(
        recording.work,
        recording.stamp,
        &Entry {
            what: &format!("{what} {done}"),
            subject: &outcome.number,
            order: Some(order),
            claim: None,
            document: Some(document),
            replaced,
            detail: &detail,
        },
    )
}

fn needs_replace(what: &str, number: &str) -> BookError {
    BookError::refused(format!(
        "{what} `{number}` is in the book and reads otherwise"
    ))
    .hint("`--replace` puts the new one in its place; the old one stays in the journal")
    .hint("where it is another one, give it its own number")
}

fn another_order(what: &str, number: &str) -> BookError {
    BookError::refused(format!(
        "{what} `{number}` is in the book for another order"
    ))
    .hint("give this one its own number")
}
