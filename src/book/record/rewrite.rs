//! Works the rows of an order out and writes them.

use crate::book::derive::{Papers, derive};
use crate::book::error::BookError;
use crate::book::papers::{OrderRow, order_row, papers};
use crate::book::reader::Reader;
use crate::book::rows::{self, Owner, ReceiptRow};
use rusqlite::{Connection, params};

/// Works all rows of an order out again: its claims say what came in place of what, and what is owed no longer.
pub(crate) fn rederive(work: &Connection, reader: &Reader, order: &str) -> Result<(), BookError> {
    let Some(row) = order_row(work, order)? else {
        return Ok(());
    };
    let papers = papers(work, reader, &row)?;
    rewrite(work, &row, &papers, 0, false, None)
}

/// Works out an order's rows and writes them; receipts before place `from` keep theirs. `order_changed` where the
/// order's own document is new; `new` is the receipt that has no rows yet, by number and id.
pub(super) fn rewrite(
    work: &Connection,
    row: &OrderRow,
    papers: &Papers,
    from: usize,
    order_changed: bool,
    new: Option<(&str, i64)>,
) -> Result<(), BookError> {
    let derived = derive(papers, from)?;
    let owner = Owner {
        order: row.id,
        supplier: row.supplier,
    };
    rows::order(work, owner, &derived)?;
    let lines = if order_changed {
        rows::lines(work, owner, &papers.order, &derived.lines)?
    } else {
        rows::standing(work, owner, &derived.lines)?
    };
    let mut ids = Vec::with_capacity(derived.verdicts.len());
    for receipt in &papers.receipts[from..] {
        let number = &receipt.number.value;
        if let Some((_, id)) = new.filter(|(new, _)| new == number) {
            ids.push(id);
            continue;
        }
        let id: i64 = work
            .prepare_cached("SELECT id FROM receipts WHERE number = ?1")?
            .query_row([number], |row| row.get(0))?;
        rows::clear(work, id)?;
        ids.push(id);
    }
    if !papers.invoices.is_empty() {
        rows::billed(work, owner, &lines, &derived)?;
    }
    if order_changed {
        rows::drop_lines(work, owner, &lines)?;
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
