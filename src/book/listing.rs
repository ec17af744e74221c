//! Lists: orders with how far they have come, receipts of an order, what is held, evidence. Judges nothing.

use crate::book::Book;
use crate::book::claims::{parsed, parsed_or_none};
use crate::book::error::BookError;
use crate::book::record::Evidence;
use chrono::NaiveDate;
use rusqlite::Row;

/// An order as a list shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderListed {
    /// Its number.
    pub number: String,
    /// The supplier's identifier.
    pub supplier: String,
    /// The supplier's name, where known.
    pub supplier_name: Option<String>,
    /// Its date.
    pub date: NaiveDate,
    /// The date promised.
    pub promised: Option<NaiveDate>,
    /// The job.
    pub job: Option<String>,
    /// How many receipts it has.
    pub receipts: i64,
    /// How many lines it has.
    pub lines: i64,
    /// How many of them wait for goods.
    pub waiting: i64,
    /// Everything ordered has come, or was made right otherwise.
    pub complete: bool,
    /// Nothing differs.
    pub as_ordered: bool,
    /// Something can be claimed that no claim asks for.
    pub claimable: bool,
    /// How many claims are open.
    pub open_claims: i64,
    /// How many claims were ever drafted and not withdrawn.
    pub claims: i64,
    /// Goods stand here to be collected though their claim is made right.
    pub pickup: bool,
}

impl OrderListed {
    /// Returns by how many days it is late: promised before `today`, and something still owed.
    pub fn days_late(&self, today: NaiveDate) -> Option<i64> {
        let promised = self
            .promised
            .filter(|promised| !self.complete && *promised < today)?;
        Some((today - promised).num_days())
    }
}

/// A receipt as a list shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReceiptListed {
    /// Its number.
    pub number: String,
    /// Its date.
    pub date: NaiveDate,
    /// Who received it.
    pub by: Option<String>,
    /// The packing slip.
    pub packing_slip: Option<String>,
    /// How many lots.
    pub lots: i64,
    /// How many lots are not as ordered.
    pub differing: i64,
    /// What it brought to light.
    pub findings: Vec<String>,
    /// The evidence kept with it.
    pub evidence: Vec<Evidence>,
}

/// An invoice as a list shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InvoiceListed {
    /// Its number.
    pub number: String,
    /// Its date.
    pub date: NaiveDate,
    /// Its total as printed.
    pub total: Option<String>,
}

const ORDERS: &str = "SELECT o.number, s.code, s.name, o.date, o.promised, o.job, \
     (SELECT count(*) FROM receipts r WHERE r.order_id = o.id), \
     (SELECT count(*) FROM order_lines l WHERE l.order_id = o.id), \
     o.waiting, o.complete, o.as_ordered, o.claimable, \
     (SELECT count(*) FROM claims c WHERE c.order_id = o.id AND c.closed IS NULL), \
     (SELECT count(*) FROM claims c WHERE c.order_id = o.id AND c.state <> 'withdrawn'), o.pickup \
     FROM orders o JOIN suppliers s ON s.id = o.supplier_id";

impl Book {
    /// Returns orders by date promised, then number; without `all` those that are open: goods are owed, something
    /// can be claimed that no claim asks for, a claim is open, or goods wait to be collected.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn orders(&self, all: bool) -> Result<Vec<OrderListed>, BookError> {
        let open = "WHERE o.id IN ( \
               SELECT id FROM orders WHERE complete = 0 \
               UNION SELECT id FROM orders WHERE pickup = 1 \
               UNION SELECT id FROM orders WHERE complete = 1 AND claimable = 1 \
               UNION SELECT order_id FROM claims WHERE closed IS NULL)";
        let which = if all { "" } else { open };
        let mut statement = self.connection.prepare(&format!(
            "{ORDERS} {which} ORDER BY o.promised IS NULL, o.promised, o.number"
        ))?;
        let rows = statement.query_map([], order)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Returns one order as a list shows it.
    ///
    /// # Errors
    /// The book does not have it.
    pub fn order_listed(&self, number: &str) -> Result<OrderListed, BookError> {
        let id = self.order_id(number)?;
        Ok(self
            .connection
            .prepare_cached(&format!("{ORDERS} WHERE o.id = ?1"))?
            .query_row([id], order)?)
    }

    /// Returns the receipts of an order, in order of time.
    ///
    /// # Errors
    /// The book does not have the order.
    pub fn receipts(&self, order: &str) -> Result<Vec<ReceiptListed>, BookError> {
        let id = self.order_id(order)?;
        let mut statement = self.connection.prepare_cached(
            "SELECT id, number, date, by, packing_slip, \
               (SELECT count(*) FROM receipt_lines l WHERE l.receipt_id = r.id), \
               (SELECT count(*) FROM receipt_lines l WHERE l.receipt_id = r.id AND l.as_ordered = 0) \
             FROM receipts r WHERE order_id = ?1 ORDER BY date, number",
        )?;
        let mut rows = statement.query([id])?;
        let mut receipts = Vec::new();
        while let Some(row) = rows.next()? {
            let id: i64 = row.get(0)?;
            receipts.push(ReceiptListed {
                number: row.get(1)?,
                date: parsed(row, 2)?,
                by: row.get(3)?,
                packing_slip: row.get(4)?,
                lots: row.get(5)?,
                differing: row.get(6)?,
                findings: self.findings_of(id)?,
                evidence: self.evidence_of(id)?,
            });
        }
        Ok(receipts)
    }

    fn findings_of(&self, receipt: i64) -> Result<Vec<String>, BookError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT coalesce('line ' || l.line || ': ', '') || f.text FROM findings f \
             LEFT JOIN order_lines l ON l.id = f.order_line_id WHERE f.receipt_id = ?1 ORDER BY f.id",
        )?;
        let rows = statement.query_map([receipt], |row| row.get(0))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    fn evidence_of(&self, receipt: i64) -> Result<Vec<Evidence>, BookError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT path, sha256, size FROM evidence WHERE receipt_id = ?1 ORDER BY path",
        )?;
        let rows = statement.query_map([receipt], evidence)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Returns all evidence with the number of its receipt, for `verify` and for enclosures of one order.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn evidence(&self, order: Option<&str>) -> Result<Vec<(String, Evidence)>, BookError> {
        let id = order.map(|order| self.order_id(order)).transpose()?;
        let mut statement = self.connection.prepare_cached(
            "SELECT e.path, e.sha256, e.size, r.number FROM evidence e JOIN receipts r ON r.id = e.receipt_id \
             WHERE ?1 IS NULL OR r.order_id = ?1 ORDER BY r.number, e.path",
        )?;
        let rows = statement.query_map([id], |row| Ok((row.get(3)?, evidence(row)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Returns the invoices of an order, by date.
    ///
    /// # Errors
    /// The book does not have the order.
    pub fn invoices(&self, order: &str) -> Result<Vec<InvoiceListed>, BookError> {
        let id = self.order_id(order)?;
        let mut statement = self.connection.prepare_cached(
            "SELECT number, date, total FROM invoices WHERE order_id = ?1 ORDER BY date, number",
        )?;
        let rows = statement.query_map([id], |row| {
            Ok(InvoiceListed {
                number: row.get(0)?,
                date: parsed(row, 1)?,
                total: row.get(2)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Returns whether a receipt of that number is in the book.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn has_receipt(&self, number: &str) -> Result<bool, BookError> {
        Ok(self
            .connection
            .prepare_cached("SELECT EXISTS (SELECT 1 FROM receipts WHERE number = ?1)")?
            .query_row([number], |row| row.get(0))?)
    }

    /// Returns the next free number for a receipt of an order: `PO-2107-R2`.
    ///
    /// # Errors
    /// The book does not have the order.
    pub fn next_receipt(&self, order: &str) -> Result<String, BookError> {
        let id = self.order_id(order)?;
        let mut count: i64 = self.connection.query_row(
            "SELECT count(*) FROM receipts WHERE order_id = ?1",
            [id],
            |row| row.get(0),
        )?;
        loop {
            count += 1;
            let number = format!("{order}-R{count}");
            if !self.has_receipt(&number)? {
                return Ok(number);
            }
        }
    }
}

fn order(row: &Row<'_>) -> rusqlite::Result<OrderListed> {
    Ok(OrderListed {
        number: row.get(0)?,
        supplier: row.get(1)?,
        supplier_name: row.get(2)?,
        date: parsed(row, 3)?,
        promised: parsed_or_none(row, 4)?,
        job: row.get(5)?,
        receipts: row.get(6)?,
        lines: row.get(7)?,
        waiting: row.get(8)?,
        complete: row.get(9)?,
        as_ordered: row.get(10)?,
        claimable: row.get(11)?,
        open_claims: row.get(12)?,
        claims: row.get(13)?,
        pickup: row.get(14)?,
    })
}

fn evidence(row: &Row<'_>) -> rusqlite::Result<Evidence> {
    let size: i64 = row.get(2)?;
    Ok(Evidence {
        path: row.get(0)?,
        sha256: row.get(1)?,
        size: u64::try_from(size).unwrap_or_default(),
    })
}
