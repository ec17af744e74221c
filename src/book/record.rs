//! Records orders, receipts and invoices: each call is one transaction, and the same document again changes nothing.

use crate::book::derive::{Papers, derive};
use crate::book::document::{self, Document, DocumentKind, is_same, keep};
use crate::book::error::BookError;
use crate::book::journal::{self, Entry};
use crate::book::papers::{OrderRow, no_order, order_row, papers};
use crate::book::rows::{self, Owner, ReceiptRow};
use crate::book::{Book, settle, stamp};
use crate::intake;
use crate::model::order::Order;
use crate::model::problem::Problem;
use crate::model::receipt::Receipt;
use chrono::{DateTime, Utc};
use rusqlite::{Connection, OptionalExtension, params};

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
            match intake::order(&document.file, &document.text) {
                Ok(order) => read.push((order, document, terms)),
                Err(more) => problems.extend(more),
            }
        }
        if !problems.is_empty() {
            return Err(BookError::Problems(problems));
        }
        let stamp = stamp(now);
        let work = self.begin()?;
        let mut outcomes = Vec::with_capacity(read.len());
        for (order, document, terms) in read {
            outcomes.push(add_order(&work, order, document, terms, replace, &stamp)?);
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
        let work = self.begin()?;
        let outcome = add_receipt(&work, receipt, document, terms, evidence, replace, &stamp)?;
        work.commit()?;
        Ok(outcome)
    }

    /// Records an invoice, whole or not at all.
    ///
    /// # Errors
    /// Problems of the file, alone or with its order; an order that the book does not have; a changed invoice under
    /// a known number without `replace`; the disk refuses.
    pub fn add_invoice(
        &mut self,
        document: &Document,
        replace: bool,
        now: DateTime<Utc>,
    ) -> Result<Outcome, BookError> {
        let invoice = intake::invoice(&document.file, &document.text)?;
        let stamp = stamp(now);
        let work = self.begin()?;
        let number = invoice.number.value.as_str();
        let order = &invoice.order.value;
        let row = order_row(&work, order)?.ok_or_else(|| no_order(&work, order))?;
        let known: Option<(i64, i64, i64)> = work
            .prepare_cached("SELECT id, document, order_id FROM invoices WHERE supplier_id = ?1 AND number = ?2")?
            .query_row(params![row.supplier, number], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?))
            })
            .optional()?;
        let mut outcome = Outcome {
            number: number.to_owned(),
            order: order.clone(),
            recorded: Recorded::Added,
            reopened: Vec::new(),
        };
        let mut papers = papers(&work, &row)?;
        if let Some((_, old, of)) = known {
            if is_same(&work, old, &document.text)? {
                outcome.recorded = Recorded::Unchanged;
                return Ok(outcome);
            }
            if of != row.id {
                return Err(another_order("invoice", number));
            }
            if !replace {
                return Err(needs_replace("invoice", number));
            }
            outcome.recorded = Recorded::Replaced;
            papers.invoices.retain(|kept| kept.number.value != number);
        }
        let total = invoice.total.as_ref().map(|total| total.value.to_string());
        let date = invoice.date.to_string();
        papers.invoices.push(invoice);
        let from = papers.receipts.len();
        let derived = derive(&papers, from)?;
        let kept = keep(
            &work,
            DocumentKind::Invoice,
            &outcome.number,
            document,
            &stamp,
        )?;
        work.prepare_cached(
            "INSERT INTO invoices (supplier_id, number, order_id, date, total, document, recorded) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) \
             ON CONFLICT (supplier_id, number) DO UPDATE SET date = ?4, total = ?5, document = ?6",
        )?
        .execute(params![
            row.supplier,
            outcome.number,
            row.id,
            date,
            total,
            kept,
            stamp
        ])?;
        let owner = Owner {
            order: row.id,
            supplier: row.supplier,
        };
        rows::order(&work, owner, &derived)?;
        let lines = rows::lines(&work, owner, &papers.order, &derived.lines)?;
        rows::billed(&work, owner, &lines, &derived)?;
        note(
            &work,
            &stamp,
            "invoice",
            &outcome,
            row.id,
            kept,
            known.map(|(_, old, _)| old),
        )?;
        work.commit()?;
        Ok(outcome)
    }
}

fn add_order(
    work: &Connection,
    order: Order,
    document: &Document,
    terms: &Terms,
    replace: bool,
    stamp: &str,
) -> Result<Outcome, BookError> {
    let known = order_row(work, &order.number)?;
    let mut outcome = Outcome {
        number: order.number.clone(),
        order: order.number.clone(),
        recorded: Recorded::Added,
        reopened: Vec::new(),
    };
    if let Some(known) = &known {
        if is_same(work, known.document, &document.text)? {
            outcome.recorded = Recorded::Unchanged;
            return Ok(outcome);
        }
        if !replace {
            return Err(needs_replace("order", &order.number));
        }
        outcome.recorded = Recorded::Replaced;
    }
    let terms = keep_terms(work, &order, terms, stamp)?;
    let supplier = terms.supplier;
    if let Some(known) = &known
        && known.supplier != supplier
    {
        return Err(BookError::refused(format!(
            "order `{}` is another supplier's in the book",
            order.number
        ))
        .hint("an order does not change its supplier; give the new order its own number"));
    }
    let kept = keep(work, DocumentKind::Order, &order.number, document, stamp)?;
    let id = match &known {
        None => {
            work.prepare_cached(
                "INSERT INTO orders (number, supplier_id, date, promised, currency, job, document, as_ordered, \
                   complete, claimable, recorded) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, 0, 0, 0, ?8)",
            )?
            .execute(params![
                order.number,
                supplier,
                order.date.to_string(),
                order.promised.map(|date| date.to_string()),
                order.currency,
                order.job,
                kept,
                stamp
            ])?;
            work.last_insert_rowid()
        }
        Some(known) => {
            work.prepare_cached(
                "UPDATE orders SET date = ?2, promised = ?3, currency = ?4, job = ?5, document = ?6 WHERE id = ?1",
            )?
            .execute(params![
                known.id,
                order.date.to_string(),
                order.promised.map(|date| date.to_string()),
                order.currency,
                order.job,
                kept
            ])?;
            known.id
        }
    };
    terms.note_on(work, id)?;
    let row = OrderRow {
        id,
        supplier,
        document: kept,
        supplier_document: terms.supplier_document,
        shop_document: terms.shop_document,
    };
    let papers = papers(work, &row)?;
    rewrite(work, &row, &papers, 0)?;
    outcome.reopened = settle::judge_again(work, &row, &papers, None, stamp)?;
    note(
        work,
        stamp,
        "order",
        &outcome,
        id,
        kept,
        known.map(|known| known.document),
    )?;
    Ok(outcome)
}

fn add_receipt(
    work: &Connection,
    receipt: Receipt,
    document: &Document,
    terms: &Terms,
    evidence: &[Evidence],
    replace: bool,
    stamp: &str,
) -> Result<Outcome, BookError> {
    let number = receipt.number.value.clone();
    let order = receipt.order.value.clone();
    let mut row = order_row(work, &order)?.ok_or_else(|| no_order(work, &order))?;
    let known: Option<(i64, i64, i64)> = work
        .prepare_cached("SELECT id, document, order_id FROM receipts WHERE number = ?1")?
        .query_row([&number], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
        .optional()?;
    let mut outcome = Outcome {
        number,
        order,
        recorded: Recorded::Added,
        reopened: Vec::new(),
    };
    if let Some((_, old, of)) = known {
        if of != row.id {
            return Err(another_order("receipt", &outcome.number));
        }
        if is_same(work, old, &document.text)? {
            outcome.recorded = Recorded::Unchanged;
            return Ok(outcome);
        }
        if !replace {
            return Err(needs_replace("receipt", &outcome.number));
        }
        outcome.recorded = Recorded::Replaced;
    }
    let mut papers = papers(work, &row)?;
    let terms = keep_terms(work, &papers.order, terms, stamp)?;
    let new_terms = terms.supplier_document != row.supplier_document
        || terms.shop_document != row.shop_document;
    if new_terms {
        terms.note_on(work, row.id)?;
        row.supplier_document = terms.supplier_document;
        row.shop_document = terms.shop_document;
        papers.supplier = read_kept(work, row.supplier_document, intake::supplier)?;
        papers.shop = read_kept(work, row.shop_document, intake::shop)?;
    }
    let mut from = papers.receipts.len();
    if known.is_some() {
        let old = papers
            .receipts
            .iter()
            .position(|kept| kept.number.value == outcome.number);
        if let Some(old) = old {
            papers.receipts.remove(old);
            from = old;
        }
    }
    let at = papers.receipts.partition_point(|kept| {
        (kept.date, &kept.number.value) < (receipt.date, &receipt.number.value)
    });
    let kept = keep(
        work,
        DocumentKind::Receipt,
        &outcome.number,
        document,
        stamp,
    )?;
    let id = write_receipt(work, &row, &receipt, kept, stamp)?;
    papers.receipts.insert(at, receipt);
    rewrite(
        work,
        &row,
        &papers,
        if new_terms { 0 } else { from.min(at) },
    )?;
    write_evidence(work, id, evidence, stamp)?;
    outcome.reopened = settle::judge_again(work, &row, &papers, Some(id), stamp)?;
    note(
        work,
        stamp,
        "receipt",
        &outcome,
        row.id,
        kept,
        known.map(|(_, old, _)| old),
    )?;
    Ok(outcome)
}

fn write_receipt(
    work: &Connection,
    order: &OrderRow,
    receipt: &Receipt,
    document: i64,
    stamp: &str,
) -> Result<i64, BookError> {
    Ok(work
        .prepare_cached(
            "INSERT INTO receipts (number, order_id, supplier_id, month, date, by, packing_slip, carrier, place, \
               as_ordered, document, recorded) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, 0, ?10, ?11) \
             ON CONFLICT (number) DO UPDATE SET month = ?4, date = ?5, by = ?6, packing_slip = ?7, carrier = ?8, \
               place = ?9, document = ?10 \
             RETURNING id",
        )?
        .query_row(
            params![
                receipt.number.value,
                order.id,
                order.supplier,
                crate::book::derive::month(receipt.date),
                receipt.date.to_string(),
                receipt.by,
                receipt.packing_slip,
                receipt.carrier.as_ref().map(|carrier| carrier.name.as_str()),
                receipt.place,
                document,
                stamp
            ],
            |row| row.get(0),
        )?)
}

fn write_evidence(
    work: &Connection,
    receipt: i64,
    evidence: &[Evidence],
    stamp: &str,
) -> Result<(), BookError> {
    work.prepare_cached("DELETE FROM evidence WHERE receipt_id = ?1")?
        .execute([receipt])?;
    for one in evidence {
        work.prepare_cached(
            "INSERT INTO evidence (receipt_id, path, sha256, size, recorded) VALUES (?1, ?2, ?3, ?4, ?5)",
        )?
        .execute(params![
            receipt,
            one.path,
            one.sha256,
            i64::try_from(one.size).unwrap_or(i64::MAX),
            stamp
        ])?;
    }
    Ok(())
}

/// Works out an order's rows and writes them; receipts before `from` keep theirs.
fn rewrite(
    work: &Connection,
    row: &OrderRow,
    papers: &Papers,
    from: usize,
) -> Result<(), BookError> {
    let derived = derive(papers, from)?;
    let owner = Owner {
        order: row.id,
        supplier: row.supplier,
    };
    rows::order(work, owner, &derived)?;
    let lines = rows::lines(work, owner, &papers.order, &derived.lines)?;
    let mut ids = Vec::with_capacity(derived.verdicts.len());
    for receipt in &papers.receipts[from..] {
        let id: i64 = work
            .prepare_cached("SELECT id FROM receipts WHERE number = ?1")?
            .query_row([&receipt.number.value], |row| row.get(0))?;
        rows::clear(work, id)?;
        ids.push(id);
    }
    if from == 0 {
        rows::billed(work, owner, &lines, &derived)?;
        rows::drop_lines(work, owner, &lines)?;
    } else if !papers.invoices.is_empty() {
        rows::billed(work, owner, &lines, &derived)?;
    }
    for ((receipt, verdict), id) in papers.receipts[from..]
        .iter()
        .zip(&derived.verdicts)
        .zip(ids)
    {
        work.prepare_cached("UPDATE receipts SET on_time = ?2, as_ordered = ?3 WHERE id = ?1")?
            .execute(params![id, verdict.on_time, verdict.as_ordered])?;
        rows::receipt(
            work,
            owner,
            &lines,
            &ReceiptRow {
                id,
                receipt,
                verdict,
            },
        )?;
    }
    Ok(())
}

/// The terms as the book keeps them.
struct KeptTerms {
    supplier: i64,
    supplier_document: Option<i64>,
    shop_document: Option<i64>,
}

impl KeptTerms {
    /// Notes on an order that its rows are worked out with these.
    fn note_on(&self, work: &Connection, order: i64) -> Result<(), BookError> {
        work.prepare_cached(
            "UPDATE orders SET supplier_document = ?2, shop_document = ?3 WHERE id = ?1",
        )?
        .execute(params![order, self.supplier_document, self.shop_document])?;
        Ok(())
    }
}

/// Keeps the supplier's and the shop's file where they changed, and returns what the book now knows.
fn keep_terms(
    work: &Connection,
    order: &Order,
    terms: &Terms,
    stamp: &str,
) -> Result<KeptTerms, BookError> {
    let known: Option<(i64, Option<i64>)> = work
        .prepare_cached("SELECT id, document FROM suppliers WHERE code = ?1")?
        .query_row([&order.supplier], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    let mut document = known.and_then(|(_, document)| document);
    let mut name = None;
    if let Some(file) = &terms.supplier {
        let record = intake::supplier(&file.file, &file.text)?;
        if record.id != order.supplier {
            return Err(BookError::Problems(vec![Problem::new(
                &record.spot,
                format!(
                    "supplier `{}`, expected `{}` as the order says",
                    record.id, order.supplier
                ),
            )]));
        }
        let same = match document {
            Some(document) => is_same(work, document, &file.text)?,
            None => false,
        };
        if !same {
            document = Some(keep(work, DocumentKind::Supplier, &record.id, file, stamp)?);
            name = Some(record.name);
        }
    }
    let supplier = match known {
        Some((id, _)) => {
            if let Some(name) = &name {
                work.execute(
                    "UPDATE suppliers SET name = ?2, document = ?3 WHERE id = ?1",
                    params![id, name, document],
                )?;
            }
            id
        }
        None => {
            work.execute(
                "INSERT INTO suppliers (code, name, document) VALUES (?1, ?2, ?3)",
                params![order.supplier, name, document],
            )?;
            work.last_insert_rowid()
        }
    };
    Ok(KeptTerms {
        supplier,
        supplier_document: document,
        shop_document: keep_shop(work, terms.shop.as_ref(), stamp)?,
    })
}

fn keep_shop(
    work: &Connection,
    file: Option<&Document>,
    stamp: &str,
) -> Result<Option<i64>, BookError> {
    let known: Option<i64> = work
        .prepare_cached("SELECT document FROM shop WHERE id = 1")?
        .query_row([], |row| row.get(0))
        .optional()?;
    let Some(file) = file else {
        return Ok(known);
    };
    if let Some(known) = known
        && is_same(work, known, &file.text)?
    {
        return Ok(Some(known));
    }
    intake::shop(&file.file, &file.text)?;
    let kept = keep(work, DocumentKind::Shop, "shop", file, stamp)?;
    work.execute(
        "INSERT INTO shop (id, document) VALUES (1, ?1) ON CONFLICT (id) DO UPDATE SET document = ?1",
        [kept],
    )?;
    Ok(Some(kept))
}

fn read_kept<T>(
    work: &Connection,
    id: Option<i64>,
    read: fn(&str, &str) -> Result<T, Vec<Problem>>,
) -> Result<Option<T>, BookError> {
    let Some(id) = id else {
        return Ok(None);
    };
    let Document { file, text } = document::get(work, id)?;
    Ok(Some(read(&file, &text)?))
}

fn note(
    work: &Connection,
    stamp: &str,
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
        work,
        stamp,
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
