//! Records a receipt.

use crate::book::derive::{derive, month};
use crate::book::document::{Document, DocumentKind, is_same, keep};
use crate::book::error::BookError;
use crate::book::papers::{OrderRow, maybe, no_order, order_row, papers};
use crate::book::record::rewrite::{Extent, write};
use crate::book::record::terms::keep_terms;
use crate::book::record::{
    Evidence, Outcome, Recorded, Recording, Terms, another_order, needs_replace, note,
};
use crate::book::settle;
use crate::check::verdict::Verdict;
use crate::model::receipt::Receipt;
use rusqlite::{Connection, OptionalExtension, params};

/// Records a receipt, in the place of the one before where `replace` says so.
pub(super) fn add(
    recording: &Recording<'_>,
    receipt: Receipt,
    document: &Document,
    terms: &Terms,
    evidence: &[Evidence],
    replace: bool,
) -> Result<Outcome, BookError> {
    let Recording {
        work,
        reader,
        stamp,
    } = *recording;
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
    let mut papers = papers(work, reader, &row)?;
    let terms = keep_terms(recording, &papers.order, terms)?;
    let new_terms = terms.supplier_document != row.supplier_document
        || terms.shop_document != row.shop_document;
    if new_terms {
        terms.note_on(work, row.id)?;
        row.supplier_document = terms.supplier_document;
        row.shop_document = terms.shop_document;
        papers.supplier = maybe(work, reader, row.supplier_document)?;
        papers.shop = maybe(work, reader, row.shop_document)?;
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
    papers.receipts.insert(at, receipt);
    let from = if new_terms { 0 } else { from.min(at) };
    let derived = derive(&papers, from)?;
    let kept = keep(
        work,
        DocumentKind::Receipt,
        &outcome.number,
        document,
        stamp,
    )?;
    let judged = Judged {
        receipt: &papers.receipts[at],
        verdict: &derived.verdicts[at - from],
    };
    let id = write_receipt(work, &row, judged, kept, stamp)?;
    let extent = Extent {
        from,
        new: known.is_none().then_some((at, id)),
        ..Extent::default()
    };
    write(work, &row, &papers, &derived, &extent)?;
    // Nothing hangs on a receipt that is new: no evidence, and no claim that it settled.
    if known.is_some() {
        work.prepare_cached("DELETE FROM evidence WHERE receipt_id = ?1")?
            .execute([id])?;
    }
    if known.is_some() || new_terms {
        let which = (!new_terms).then_some(id);
        outcome.reopened = settle::judge_again(work, reader, &row, &papers, which, stamp)?;
    }
    write_evidence(work, id, evidence, stamp)?;
    note(
        recording,
        "receipt",
        &outcome,
        row.id,
        kept,
        known.map(|(_, old, _)| old),
    )?;
    Ok(outcome)
}

/// A receipt and its verdict.
struct Judged<'a> {
    receipt: &'a Receipt,
    verdict: &'a Verdict,
}

fn write_receipt(
    work: &Connection,
    order: &OrderRow,
    Judged { receipt, verdict }: Judged<'_>,
    document: i64,
    stamp: &str,
) -> Result<i64, BookError> {
    Ok(work
        .prepare_cached(
            "INSERT INTO receipts (number, order_id, supplier_id, month, date, by, packing_slip, carrier, place, \
               on_time, as_ordered, document, recorded) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13) \
             ON CONFLICT (number) DO UPDATE SET month = ?4, date = ?5, by = ?6, packing_slip = ?7, carrier = ?8, \
               place = ?9, on_time = ?10, as_ordered = ?11, document = ?12 \
             RETURNING id",
        )?
        .query_row(
            params![
                receipt.number.value,
                order.id,
                order.supplier,
                month(receipt.date),
                receipt.date.to_string(),
                receipt.by,
                receipt.packing_slip,
                receipt.carrier.as_ref().map(|carrier| carrier.name.as_str()),
                receipt.place,
                verdict.on_time,
                verdict.as_ordered,
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
