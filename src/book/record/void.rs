//! Takes a receipt out that was recorded by mistake. Its document and the journal stay.

use crate::book::error::BookError;
use crate::book::journal::{self, Entry};
use crate::book::papers::{no_order, order_row};
use crate::book::record::rederive;
use crate::book::{Book, rows, settle, stamp};
use chrono::{DateTime, Utc};
use rusqlite::{Connection, OptionalExtension, params};

impl Book {
    /// Takes a receipt of an order out, whole or not at all: it counts no longer, and its number is free again.
    ///
    /// # Errors
    /// The order has no such receipt; a claim is about it or was settled with it; the disk refuses.
    pub fn void_receipt(
        &mut self,
        order: &str,
        receipt: &str,
        reason: &str,
        now: DateTime<Utc>,
    ) -> Result<(), BookError> {
        let stamp = stamp(now);
        let reader = self.reader.clone();
        let work = self.begin()?;
        let row = order_row(&work, order)?.ok_or_else(|| no_order(&work, order))?;
        let known: Option<(i64, i64)> = work
            .query_row(
                "SELECT id, document FROM receipts WHERE number = ?1 AND order_id = ?2",
                params![receipt, row.id],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        let (id, document) = known.ok_or_else(|| {
            BookError::refused(format!("order `{order}` has no receipt `{receipt}`"))
                .hint(format!("`asordered order show {order}` tells them"))
        })?;
        if let Some(claim) = claimed(&work, id)? {
            return Err(BookError::refused(format!(
                "claim `{claim}` is about receipt `{receipt}`, so it stays"
            ))
            .hint(format!(
                "put it right: `asordered receive {order} FILE --replace` with the same number"
            )));
        }
        rows::clear(&work, id)?;
        work.execute("DELETE FROM evidence WHERE receipt_id = ?1", [id])?;
        work.execute("DELETE FROM receipts WHERE id = ?1", [id])?;
        rederive(&work, &reader, order)?;
        let papers = crate::book::papers::papers(&work, &reader, &row)?;
        settle::judge_again(&work, &reader, &row, &papers, None, &stamp)?;
        journal::add(
            &work,
            &stamp,
            &Entry {
                what: "receipt taken out",
                subject: receipt,
                order: Some(row.id),
                replaced: Some(document),
                detail: reason,
                ..Entry::default()
            },
        )?;
        work.commit()?;
        Ok(())
    }
}

/// Returns a claim that the receipt is evidence of, for or against.
fn claimed(work: &Connection, receipt: i64) -> Result<Option<String>, BookError> {
    Ok(work
        .query_row(
            "SELECT c.number FROM claims c WHERE c.id IN (SELECT claim_id FROM claim_receipts WHERE receipt_id = ?1 \
             UNION SELECT claim_id FROM settlements WHERE receipt_id = ?1) ORDER BY c.id LIMIT 1",
            [receipt],
            |row| row.get(0),
        )
        .optional()?)
}
