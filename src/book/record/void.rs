//! Takes a receipt out that was recorded by mistake. Its document and the journal stay.

use crate::book::claims::unreadable;
use crate::book::error::BookError;
use crate::book::journal::{self, Entry};
use crate::book::papers::{no_order, order_row};
use crate::book::record::rederive;
use crate::book::{Book, rows, settle, stamp};
use crate::claim::cycle::{State, Step};
use chrono::{DateTime, Utc};
use rusqlite::{Connection, OptionalExtension, params};

impl Book {
    /// Takes a receipt of an order out, whole or not at all: it counts no longer, and its number is free again. Returns
    /// the claims that opened again, because what made them right did so with it.
    ///
    /// # Errors
    /// The order has no such receipt; a claim that was not withdrawn is about it or was settled with it; the disk
    /// refuses.
    pub fn void_receipt(
        &mut self,
        order: &str,
        receipt: &str,
        reason: &str,
        now: DateTime<Utc>,
    ) -> Result<Vec<String>, BookError> {
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
        if let Some((claim, state)) = claimed(&work, id)? {
            let stays = BookError::refused(format!(
                "claim `{claim}` is about receipt `{receipt}`, so it stays"
            ));
            let stays = if state.allows(Step::Withdraw) {
                stays.hint(format!(
                    "take the claim back first: `asordered claim withdraw {claim} --reason REASON`"
                ))
            } else {
                stays
            };
            return Err(stays.hint(format!(
                "put it right: `asordered receive {order} FILE --replace` with the same number"
            )));
        }
        forget(&work, id, receipt)?;
        rows::clear(&work, id)?;
        work.execute("DELETE FROM evidence WHERE receipt_id = ?1", [id])?;
        work.execute("DELETE FROM receipts WHERE id = ?1", [id])?;
        rederive(&work, &reader, order)?;
        let papers = crate::book::papers::papers(&work, &reader, &row)?;
        let reopened = settle::judge_again(&work, &reader, &row, &papers, None, &stamp)?;
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
        Ok(reopened)
    }
}

/// Returns a claim that the receipt is evidence of, for or against, and its state; one taken back asks nothing of it.
fn claimed(work: &Connection, receipt: i64) -> Result<Option<(String, State)>, BookError> {
    Ok(work
        .query_row(
            "SELECT c.number, c.state FROM claims c WHERE c.id IN (SELECT claim_id FROM claim_receipts \
             WHERE receipt_id = ?1 UNION SELECT claim_id FROM settlements WHERE receipt_id = ?1) \
             AND c.state <> ?2 ORDER BY c.id LIMIT 1",
            params![receipt, State::Withdrawn.name()],
            |row| {
                let state: String = row.get(1)?;
                Ok((row.get(0)?, State::named(&state).ok_or_else(|| unreadable(1))?))
            },
        )
        .optional()?)
}

/// Parts the receipt from claims that were withdrawn: they keep the answer of their day, and their settlements its
/// number in words.
fn forget(work: &Connection, id: i64, receipt: &str) -> Result<(), BookError> {
    work.execute("DELETE FROM claim_receipts WHERE receipt_id = ?1", [id])?;
    work.execute(
        "UPDATE settlements SET receipt_id = NULL, paper = ?2 WHERE receipt_id = ?1",
        params![id, format!("receipt {receipt}, taken out since")],
    )?;
    Ok(())
}
