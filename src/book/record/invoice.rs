//! Records an invoice.

use crate::book::derive::derive;
use crate::book::document::{Document, DocumentKind, is_same, keep};
use crate::book::error::BookError;
use crate::book::papers::{no_order, order_row, papers};
use crate::book::record::{Outcome, Recorded, Recording, another_order, needs_replace, note};
use crate::book::rows;
use crate::book::{Book, stamp};
use crate::intake;
use chrono::{DateTime, Utc};
use rusqlite::{OptionalExtension, params};

impl Book {
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
        let reader = self.reader.clone();
        let work = self.begin()?;
        let recording = Recording {
            work: &work,
            reader: &reader,
            stamp: &stamp,
        };
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
        let mut papers = papers(&work, &reader, &row)?;
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
        rows::order(&work, &row, &derived)?;
        let lines = rows::standing(&work, &row, &derived.lines)?;
        rows::billed(&work, &row, &lines, &derived)?;
        note(
            &recording,
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
