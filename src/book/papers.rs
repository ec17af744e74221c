//! Documents of one order out of the book, read anew. Loads that order's documents and no others.

use crate::book::Book;
use crate::book::claims::claims_now;
use crate::book::derive::Papers;
use crate::book::error::BookError;
use crate::book::reader::{Kept, Reader};
use rusqlite::{Connection, OptionalExtension};
use std::sync::Arc;

/// The row of an order that its documents hang on.
#[derive(Debug, Clone)]
pub(crate) struct OrderRow {
    /// Its id.
    pub(crate) id: i64,
    /// Its supplier's id.
    pub(crate) supplier: i64,
    /// Its document.
    pub(crate) document: i64,
    /// The supplier's file its rows were worked out with.
    pub(crate) supplier_document: Option<i64>,
    /// The shop's file its rows were worked out with.
    pub(crate) shop_document: Option<i64>,
    /// Its marks as they stand.
    pub(crate) marks: Marks,
}

/// The marks of an order by which lists find it.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Marks {
    /// All has come or was made right.
    pub(crate) complete: bool,
    /// Something can be claimed that no claim asks for.
    pub(crate) claimable: bool,
    /// Goods wait to be collected.
    pub(crate) pickup: bool,
}

impl Book {
    /// Returns the papers of an order as they were recorded, receipts in order of time, with the supplier's and the
    /// shop's file as they were when the order's rows were last worked out.
    ///
    /// # Errors
    /// The book does not have the order.
    pub fn papers(&self, order: &str) -> Result<Papers, BookError> {
        let row = order_row(&self.connection, order)?.ok_or_else(|| self.no_order(order))?;
        papers(&self.connection, &self.reader, &row)
    }

    /// Returns the id of an order.
    pub(crate) fn order_id(&self, order: &str) -> Result<i64, BookError> {
        Ok(order_row(&self.connection, order)?
            .ok_or_else(|| self.no_order(order))?
            .id)
    }

    fn no_order(&self, order: &str) -> BookError {
        no_order(&self.connection, order)
    }
}

/// Makes the refusal for an order that the book does not have.
pub(crate) fn no_order(connection: &Connection, order: &str) -> BookError {
    let refused = BookError::refused(format!("the book has no order `{order}`"));
    match near(connection, order) {
        Some(near) => refused.hint(format!("did you mean `{near}`?")),
        None => refused.hint(
            "`asordered order add FILE` records one; `asordered order list --all` shows them",
        ),
    }
}

/// Looks for an order that differs in case or in what stands around its number. An index serves it.
fn near(connection: &Connection, order: &str) -> Option<String> {
    let wanted = [
        order.to_uppercase(),
        order.to_lowercase(),
        format!("PO-{order}"),
    ];
    wanted.iter().find_map(|wanted| {
        order_row(connection, wanted)
            .ok()
            .flatten()
            .map(|_| wanted.clone())
    })
}

pub(crate) fn order_row(
    connection: &Connection,
    order: &str,
) -> Result<Option<OrderRow>, BookError> {
    Ok(connection
        .prepare_cached(
            "SELECT id, supplier_id, document, supplier_document, shop_document, complete, claimable, pickup \
             FROM orders WHERE number = ?1",
        )?
        .query_row([order], |row| {
            Ok(OrderRow {
                id: row.get(0)?,
                supplier: row.get(1)?,
                document: row.get(2)?,
                supplier_document: row.get(3)?,
                shop_document: row.get(4)?,
                marks: Marks {
                    complete: row.get(5)?,
                    claimable: row.get(6)?,
                    pickup: row.get(7)?,
                },
            })
        })
        .optional()?)
}

/// Reads the papers of an order.
pub(crate) fn papers(
    connection: &Connection,
    reader: &Reader,
    row: &OrderRow,
) -> Result<Papers, BookError> {
    let receipts = ids(
        connection,
        "SELECT document FROM receipts WHERE order_id = ?1 ORDER BY date, number",
        row.id,
    )?;
    let invoices = ids(
        connection,
        "SELECT document FROM invoices WHERE order_id = ?1 ORDER BY date, number",
        row.id,
    )?;
    Ok(Papers {
        order: reader.get(connection, row.document)?,
        receipts: receipts
            .into_iter()
            .map(|id| reader.get(connection, id).map(Arc::unwrap_or_clone))
            .collect::<Result<_, _>>()?,
        invoices: invoices
            .into_iter()
            .map(|id| reader.get(connection, id).map(Arc::unwrap_or_clone))
            .collect::<Result<_, _>>()?,
        claims: claims_now(connection, row.id)?,
        supplier: maybe(connection, reader, row.supplier_document)?,
        shop: maybe(connection, reader, row.shop_document)?,
    })
}

/// Reads a document that may be missing.
pub(crate) fn maybe<T: Kept>(
    connection: &Connection,
    reader: &Reader,
    document: Option<i64>,
) -> Result<Option<Arc<T>>, BookError> {
    document.map(|id| reader.get(connection, id)).transpose()
}

fn ids(connection: &Connection, sql: &str, order: i64) -> Result<Vec<i64>, BookError> {
    let mut statement = connection.prepare_cached(sql)?;
    let rows = statement.query_map([order], |row| row.get(0))?;
    Ok(rows.collect::<Result<_, _>>()?)
}
