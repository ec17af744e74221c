//! The journal: what was done, when. It is only ever added to; triggers in the book hold that.

use crate::book::Book;
use crate::book::error::BookError;
use rusqlite::{Connection, Row, params};

/// An entry to add.
#[derive(Debug, Default)]
pub(crate) struct Entry<'a> {
    /// What was done: `order added`.
    pub(crate) what: &'a str,
    /// The number of what it was done to.
    pub(crate) subject: &'a str,
    /// The order it belongs to.
    pub(crate) order: Option<i64>,
    /// The claim it belongs to.
    pub(crate) claim: Option<i64>,
    /// The document recorded.
    pub(crate) document: Option<i64>,
    /// The document that was replaced; it stays in the book.
    pub(crate) replaced: Option<i64>,
    /// In words.
    pub(crate) detail: &'a str,
}

/// Adds an entry.
pub(crate) fn add(
    connection: &Connection,
    stamp: &str,
    entry: &Entry<'_>,
) -> Result<(), BookError> {
    connection
        .prepare_cached(
            "INSERT INTO journal (at, what, subject, order_id, claim_id, document, replaced, detail) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        )?
        .execute(params![
            stamp,
            entry.what,
            entry.subject,
            entry.order,
            entry.claim,
            entry.document,
            entry.replaced,
            entry.detail
        ])?;
    Ok(())
}

/// An entry as it is told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// When, UTC.
    pub at: String,
    /// What was done.
    pub what: String,
    /// To what.
    pub subject: String,
    /// In words.
    pub detail: String,
    /// The hash of the document recorded.
    pub sha256: Option<String>,
    /// The hash of the document it replaced.
    pub replaced: Option<String>,
}

const TOLD: &str = "SELECT j.at, j.what, j.subject, j.detail, d.sha256, r.sha256 FROM journal j \
     LEFT JOIN documents d ON d.id = j.document LEFT JOIN documents r ON r.id = j.replaced";

impl Book {
    /// Returns what was done, oldest first: all of it, or to one order and its claims, or to one claim.
    ///
    /// # Errors
    /// The number is neither an order's nor a claim's.
    pub fn history(&self, number: Option<&str>) -> Result<Vec<Told>, BookError> {
        let Some(number) = number else {
            return self.told(&format!("{TOLD} ORDER BY j.id"), params![]);
        };
        if let Some(id) = self.claim_id(number)? {
            return self.told(
                &format!("{TOLD} WHERE j.claim_id = ?1 ORDER BY j.id"),
                params![id],
            );
        }
        let id = self.order_id(number)?;
        self.told(
            &format!("{TOLD} WHERE j.order_id = ?1 ORDER BY j.id"),
            params![id],
        )
    }

    fn told(&self, sql: &str, params: impl rusqlite::Params) -> Result<Vec<Told>, BookError> {
        let mut statement = self.connection.prepare(sql)?;
        let rows = statement.query_map(params, told)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

fn told(row: &Row<'_>) -> rusqlite::Result<Told> {
    Ok(Told {
        at: row.get(0)?,
        what: row.get(1)?,
        subject: row.get(2)?,
        detail: row.get(3)?,
        sha256: row.get(4)?,
        replaced: row.get(5)?,
    })
}
