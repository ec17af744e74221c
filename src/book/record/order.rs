//! Records an order.

use crate::book::document::{Document, DocumentKind, is_same, keep};
use crate::book::error::BookError;
use crate::book::papers::{OrderRow, order_row, papers};
use crate::book::record::rewrite::rewrite;
use crate::book::record::terms::keep_terms;
use crate::book::record::{Outcome, Recorded, Recording, Terms, needs_replace, note};
use crate::book::settle;
use crate::model::order::Order;
use rusqlite::params;

/// Records an order, in the place of the one before where `replace` says so.
pub(super) fn add(
    recording: &Recording<'_>,
    order: &Order,
    document: &Document,
    terms: &Terms,
    replace: bool,
) -> Result<Outcome, BookError> {
    let Recording {
        work,
        reader,
        stamp,
    } = *recording;
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
    let terms = keep_terms(recording, order, terms)?;
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
        marks: known.as_ref().map(|known| known.marks).unwrap_or_default(),
    };
    let papers = papers(work, reader, &row)?;
    rewrite(work, &row, &papers, true)?;
    outcome.reopened = settle::judge_again(work, reader, &row, &papers, None, stamp)?;
    note(
        recording,
        "order",
        &outcome,
        id,
        kept,
        known.map(|known| known.document),
    )?;
    Ok(outcome)
}
