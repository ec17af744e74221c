//! Writes the rows that are worked out, in place of those that stood there. Works nothing out; that is `derive`.

use crate::book::derive::{Derived, LineRow, cents, effect_name, millionths, month, plain};
use crate::book::error::BookError;
use crate::book::papers::OrderRow;
use crate::check::verdict::{FoundHere, Verdict};
use crate::model::finding::Finding;
use crate::model::leaf::Leaf;
use crate::model::money::Money;
use crate::model::receipt::Receipt;
use rusqlite::{Connection, params};
use std::collections::HashMap;

/// A receipt's row and what is written into it.
#[derive(Debug)]
pub(crate) struct ReceiptRow<'a> {
    /// Its id.
    pub(crate) id: i64,
    /// The receipt.
    pub(crate) receipt: &'a Receipt,
    /// Its verdict.
    pub(crate) verdict: &'a Verdict,
}

/// The ids of an order's lines by their numbers.
pub(crate) type LineIds = HashMap<String, i64>;

/// Writes the worked-out columns of an order where they changed. Each mark has a statement of its own, because a
/// statement that names a mark rewrites the index of those that bear it.
pub(crate) fn order(
    connection: &Connection,
    row: &OrderRow,
    derived: &Derived,
) -> Result<(), BookError> {
    connection
        .prepare_cached(
            "UPDATE orders SET as_ordered = ?2, first_date = ?3, completed = ?4, waiting = ?5 \
             WHERE id = ?1 AND (as_ordered, first_date, completed, waiting) IS NOT (?2, ?3, ?4, ?5)",
        )?
        .execute(params![
            row.id,
            derived.as_ordered,
            derived.first_date.map(|date| date.to_string()),
            derived.completed.map(|date| date.to_string()),
            derived.waiting,
        ])?;
    for (sql, was, is) in [
        (
            "UPDATE orders SET complete = ?2 WHERE id = ?1",
            row.marks.complete,
            derived.complete,
        ),
        (
            "UPDATE orders SET claimable = ?2 WHERE id = ?1",
            row.marks.claimable,
            derived.claimable,
        ),
        (
            "UPDATE orders SET pickup = ?2 WHERE id = ?1",
            row.marks.pickup,
            derived.pickup,
        ),
    ] {
        if was != is {
            connection
                .prepare_cached(sql)?
                .execute(params![row.id, is])?;
        }
    }
    Ok(())
}

/// Writes the lines of an order and returns their ids. Lines that the order no longer has stay until
/// [`drop_lines`].
pub(crate) fn lines(
    connection: &Connection,
    order: &OrderRow,
    lines: &[LineRow],
) -> Result<LineIds, BookError> {
    let mut statement = connection.prepare_cached(
        "INSERT INTO order_lines (order_id, place, line, item, unit, ordered, sets_ordered, sets_filled) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) \
         ON CONFLICT (order_id, line) DO UPDATE SET place = ?2, item = ?4, unit = ?5, ordered = ?6, \
           sets_ordered = ?7, sets_filled = ?8 \
         RETURNING id",
    )?;
    let mut ids = LineIds::with_capacity(lines.len());
    for (place, line) in lines.iter().enumerate() {
        let id: i64 = statement.query_row(
            params![
                order.id,
                place_of(place),
                line.line,
                line.item,
                line.unit.name(),
                plain(line.ordered),
                line.sets_ordered,
                line.sets_filled,
            ],
            |row| row.get(0),
        )?;
        ids.insert(line.line.clone(), id);
    }
    Ok(ids)
}

/// Writes what receipts change on the lines of an order, its sets, where it changed, and returns the lines' ids.
pub(crate) fn standing(
    connection: &Connection,
    order: &OrderRow,
    lines: &[LineRow],
) -> Result<LineIds, BookError> {
    let ids: LineIds = connection
        .prepare_cached("SELECT line, id FROM order_lines WHERE order_id = ?1")?
        .query_map([order.id], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<Result<_, _>>()?;
    for line in lines.iter().filter(|line| line.sets_ordered > 0) {
        connection
            .prepare_cached(
                "UPDATE order_lines SET sets_filled = ?2 WHERE id = ?1 AND sets_filled <> ?2",
            )?
            .execute(params![ids.get(&line.line), line.sets_filled])?;
    }
    Ok(ids)
}

/// Takes out the lines that an order no longer has.
pub(crate) fn drop_lines(
    connection: &Connection,
    order: &OrderRow,
    kept: &LineIds,
) -> Result<(), BookError> {
    let ids: Vec<i64> = connection
        .prepare_cached("SELECT id FROM order_lines WHERE order_id = ?1")?
        .query_map([order.id], |row| row.get(0))?
        .collect::<Result<_, _>>()?;
    for id in ids
        .iter()
        .filter(|id| kept.values().all(|kept| kept != *id))
    {
        connection.execute("DELETE FROM order_lines WHERE id = ?1", [id])?;
    }
    Ok(())
}

/// Takes out what was worked out for a receipt that was judged anew, writes what it came to, and returns its id.
pub(crate) fn judged_again(
    connection: &Connection,
    receipt: &str,
    verdict: &Verdict,
) -> Result<i64, BookError> {
    let id: i64 = connection
        .prepare_cached("SELECT id FROM receipts WHERE number = ?1")?
        .query_row([receipt], |row| row.get(0))?;
    clear(connection, id)?;
    connection
        .prepare_cached("UPDATE receipts SET on_time = ?2, as_ordered = ?3 WHERE id = ?1")?
        .execute(params![id, verdict.on_time, verdict.as_ordered])?;
    Ok(id)
}

/// Takes out what was worked out for a receipt.
pub(crate) fn clear(connection: &Connection, receipt: i64) -> Result<(), BookError> {
    for sql in [
        "DELETE FROM findings WHERE receipt_id = ?1",
        "DELETE FROM leaves WHERE receipt_line_id IN (SELECT id FROM receipt_lines WHERE receipt_id = ?1)",
        "DELETE FROM receipt_lines WHERE receipt_id = ?1",
    ] {
        connection.prepare_cached(sql)?.execute([receipt])?;
    }
    Ok(())
}

/// Writes the lots, leaves and findings of a receipt.
pub(crate) fn receipt(
    connection: &Connection,
    order: &OrderRow,
    lines: &LineIds,
    row: &ReceiptRow<'_>,
) -> Result<(), BookError> {
    let mut lots = HashMap::with_capacity(row.verdict.lots.len());
    let mut insert = connection.prepare_cached(
        "INSERT INTO receipt_lines (supplier_id, month, unit, as_ordered, arrived_u, rejected_u, receipt_id, \
           place, order_line_id, item, stands, held) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)",
    )?;
    for lot in &row.verdict.lots {
        let line = lot
            .index
            .checked_sub(1)
            .and_then(|place| row.receipt.lines.get(place));
        insert.execute(params![
            order.supplier,
            month(row.receipt.date),
            lot.unit.name(),
            lot.as_ordered,
            millionths(lot.arrived),
            millionths(lot.rejected),
            row.id,
            place_of(lot.index),
            lot.line.as_ref().and_then(|line| lines.get(line)),
            line.and_then(|line| line.item.as_deref()),
            lot.stands,
            (!lot.held.is_empty()).then(|| lot.held.join("; ")),
        ])?;
        let id = connection.last_insert_rowid();
        leaves(connection, id, line.map_or(&[], |line| &line.leaves))?;
        lots.insert(lot.index, id);
    }
    for FoundHere {
        line,
        lot,
        finding: found,
        cost,
    } in &row.verdict.findings
    {
        finding(
            connection,
            order,
            found,
            *cost,
            month(row.receipt.date),
            &Belongs {
                line: line.as_ref().and_then(|line| lines.get(line)).copied(),
                receipt: Some(row.id),
                lot: lot.and_then(|lot| lots.get(&lot)).copied(),
            },
        )?;
    }
    Ok(())
}

fn leaves(connection: &Connection, lot: i64, leaves: &[Leaf]) -> Result<(), BookError> {
    if leaves.is_empty() {
        return Ok(());
    }
    let mut statement = connection.prepare_cached(
        "INSERT INTO leaves (receipt_line_id, flitch, number, mark, defects) VALUES (?1, ?2, ?3, ?4, ?5)",
    )?;
    for leaf in leaves {
        statement.execute(params![
            lot,
            leaf.flitch,
            leaf.number,
            leaf.mark,
            place_of(leaf.defects.len())
        ])?;
    }
    Ok(())
}

/// What a finding belongs to.
#[derive(Debug, Default)]
struct Belongs {
    line: Option<i64>,
    receipt: Option<i64>,
    lot: Option<i64>,
}

fn finding(
    connection: &Connection,
    order: &OrderRow,
    finding: &Finding,
    cost: Option<Money>,
    month: i64,
    belongs: &Belongs,
) -> Result<(), BookError> {
    connection
        .prepare_cached(
            "INSERT INTO findings (supplier_id, month, aspect, kind, effect, unit, amount, amount_u, cost_cents, \
               text, order_id, order_line_id, receipt_id, receipt_line_id) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)",
        )?
        .execute(params![
            order.supplier,
            month,
            finding.kind.aspect().name(),
            finding.kind.name(),
            effect_name(finding.kind.effect()),
            finding.unit.name(),
            plain(finding.amount),
            millionths(finding.amount),
            cost.map(cents),
            finding.text,
            order.id,
            belongs.line,
            belongs.receipt,
            belongs.lot,
        ])?;
    Ok(())
}

/// Writes the findings of the bills in place of those that stood there.
pub(crate) fn billed(
    connection: &Connection,
    order: &OrderRow,
    lines: &LineIds,
    derived: &Derived,
) -> Result<(), BookError> {
    connection
        .prepare_cached("DELETE FROM findings WHERE order_id = ?1 AND receipt_id IS NULL")?
        .execute([order.id])?;
    for row in &derived.billed {
        finding(
            connection,
            order,
            &row.finding,
            row.cost,
            row.month,
            &Belongs {
                line: lines.get(&row.line).copied(),
                ..Belongs::default()
            },
        )?;
    }
    Ok(())
}

fn place_of(place: usize) -> i64 {
    i64::try_from(place).unwrap_or(i64::MAX)
}
