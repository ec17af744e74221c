//! EDGE: the book, one SQLite file that keeps what was recorded. Decides nothing about goods: every row is worked
//! out by `check/` and `claim/` from documents that are kept word for word beside it.
//!
//! Everything that changes the book is one transaction: it is there whole and on the disk when the call returns, or
//! not at all. Rows that are worked out (verdicts, findings) are worked out anew when a document is replaced, and
//! `verify` works all of them out again and compares.

#![allow(
    clippy::disallowed_methods,
    reason = "an edge: opens and makes the book's file"
)]

pub mod answers;
pub mod backup;
pub mod claims;
pub mod derive;
pub mod document;
pub mod error;
pub mod journal;
pub mod letters;
pub mod listing;
pub mod message;
pub mod open;
pub mod papers;
pub(crate) mod reader;
pub mod record;
pub mod review;
pub mod rows;
pub mod settle;
pub mod verify;

use crate::book::error::BookError;
use crate::book::reader::Reader;
use chrono::{DateTime, SecondsFormat, Utc};
use rusqlite::{Connection, Transaction, TransactionBehavior};
use std::path::PathBuf;

/// An open book.
#[derive(Debug)]
pub struct Book {
    connection: Connection,
    path: PathBuf,
    reader: Reader,
}

impl Book {
    /// Starts to write: takes the one writer's place, waiting for another writer to finish.
    fn begin(&mut self) -> Result<Transaction<'_>, BookError> {
        Ok(self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?)
    }

    /// Returns the connection, for questions that have no function yet (the review's sums).
    pub const fn connection(&self) -> &Connection {
        &self.connection
    }

    /// Returns the book's file.
    pub fn path(&self) -> &std::path::Path {
        &self.path
    }
}

/// Writes a moment as the book keeps it: UTC, whole seconds, `2026-03-19T14:02:11Z`.
pub fn stamp(moment: DateTime<Utc>) -> String {
    moment.to_rfc3339_opts(SecondsFormat::Secs, true)
}
