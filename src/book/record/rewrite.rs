//! Works the rows of an order out and writes them.

use crate::book::derive::{Derived, Papers, derive};
use crate::book::error::BookError;
use crate::book::papers::{OrderRow, order_row, papers};
use crate::book::reader::Reader;
use crate::book::rows::{self, ReceiptRow};
use rusqlite::Connection;

/// Works all rows of an order out again: its claims say what came in place of what, and what is owed no longer.
pub(crate) fn rederive(work: &Connection, reader: &Reader, order: &str) -> Result<(), BookError> {
    let Some(row) = order_row(work, order)? else {
        return Ok(());
    };
    let papers = papers(work, reader, &row)?;
    rewrite(work, &row, &papers, false)
}

/// Works all rows of an order out and writes them. `order_changed` where the order's own document is new.
pub(super) fn rewrite(
    work: &Connection,
    row: &OrderRow,
    papers: &Papers,
    order_changed: bool,
) -> Result<(), BookError> {
    let derived = derive(papers, 0)?;
    write(
        work,
        row,
        papers,
        &derived,
        &Extent {
            order_changed,
            ..Extent::default()
        },
    )
}

/// How much of an order's rows is written.
#[derive(Debug, Default)]
pub(super) struct Extent {
    /// The order's own document is new: its lines too.
    pub(super) order_changed: bool,
    /// Receipts before this place keep their rows.
    pub(super) from: usize,
    /// The receipt at this place has this id and no rows yet.
    pub(super) new: Option<(usize, i64)>,
}

/// Writes rows that were worked out for the receipts of `extent` and their order.
pub(super) fn write(
    work: &Connection,
    row: &OrderRow,
    papers: &Papers,
    derived: &Derived,
    extent: &Extent,
) -> Result<(), BookError> {
    rows::order(work, row, derived)?;
    let lines = if extent.order_changed {
        rows::lines(work, row, &derived.lines)?
    } else {
        rows::standing(work, row, &derived.lines)?
    };
    let receipts = || papers.receipts[extent.from..].iter().zip(&derived.verdicts);
    let mut ids = Vec::with_capacity(derived.verdicts.len());
    for (place, (receipt, verdict)) in receipts().enumerate() {
        ids.push(match extent.new {
            Some((new, id)) if new == extent.from + place => id,
            _ => rows::judged_again(work, &receipt.number.value, verdict)?,
        });
    }
    if !papers.invoices.is_empty() {
        rows::billed(work, row, &lines, derived)?;
    }
    if extent.order_changed {
        rows::drop_lines(work, row, &lines)?;
    }
    for ((receipt, verdict), id) in receipts().zip(ids) {
        rows::receipt(
            work,
            row,
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
