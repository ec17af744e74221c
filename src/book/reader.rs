//! Reads documents of the book with `intake`, each text once while the book is open: in a run of many receipts the
//! same orders, suppliers and earlier receipts come up again and again.

use crate::book::document::{self, Document, sha256};
use crate::book::error::BookError;
use crate::intake;
use crate::model::invoice::Invoice;
use crate::model::order::Order;
use crate::model::problem::Problem;
use crate::model::receipt::Receipt;
use crate::model::shop::Shop;
use crate::model::supplier::Supplier;
use rusqlite::Connection;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// The most records of a kind that are remembered; then all are forgotten and it starts anew.
const MOST: usize = 2_000;

/// Records by the hash of their text. A hash never names another text, so that nothing here can be out of date, also
/// after a transaction was taken back.
#[derive(Debug, Clone, Default)]
pub(crate) struct Reader {
    known: Arc<Mutex<Known>>,
}

/// What is remembered, kind by kind.
#[derive(Debug, Default)]
pub(crate) struct Known {
    orders: Remembered<Order>,
    receipts: Remembered<Receipt>,
    invoices: Remembered<Invoice>,
    suppliers: Remembered<Supplier>,
    shops: Remembered<Shop>,
}

/// Records by the hash of their text.
type Remembered<T> = HashMap<String, Arc<T>>;

/// A record that is kept as a document.
pub(crate) trait Kept: Sized {
    /// Reads the record.
    fn read(file: &str, text: &str) -> Result<Self, Vec<Problem>>;
    /// Where records of the kind are remembered.
    fn of(known: &mut Known) -> &mut Remembered<Self>;
}

macro_rules! kept {
    ($record:ty, $read:path, $field:ident) => {
        impl Kept for $record {
            fn read(file: &str, text: &str) -> Result<Self, Vec<Problem>> {
                $read(file, text)
            }

            fn of(known: &mut Known) -> &mut Remembered<Self> {
                &mut known.$field
            }
        }
    };
}

kept!(Order, intake::order, orders);
kept!(Receipt, intake::receipt, receipts);
kept!(Invoice, intake::invoice, invoices);
kept!(Supplier, intake::supplier, suppliers);
kept!(Shop, intake::shop, shops);

impl Reader {
    /// Returns the record of a document.
    pub(crate) fn get<T: Kept>(
        &self,
        connection: &Connection,
        id: i64,
    ) -> Result<Arc<T>, BookError> {
        let hash: String = connection
            .prepare_cached("SELECT sha256 FROM documents WHERE id = ?1")?
            .query_row([id], |row| row.get(0))?;
        if let Some(record) = self.with(|known| T::of(known).get(&hash).cloned()) {
            return Ok(record);
        }
        let document = document::get(connection, id)?;
        self.remember(hash, &document)
    }

    /// Reads a text that is handed in and remembers it, because its rows are worked out with it.
    pub(crate) fn read<T: Kept>(&self, document: &Document) -> Result<Arc<T>, BookError> {
        self.remember(sha256(document.text.as_bytes()), document)
    }

    fn remember<T: Kept>(&self, hash: String, document: &Document) -> Result<Arc<T>, BookError> {
        let record = Arc::new(T::read(&document.file, &document.text)?);
        self.with(|known| {
            let known = T::of(known);
            if known.len() >= MOST {
                known.clear();
            }
            known.insert(hash, Arc::clone(&record));
        });
        Ok(record)
    }

    fn with<T>(&self, work: impl FnOnce(&mut Known) -> T) -> T {
        // What is remembered is whole at every moment, also where another thread panicked.
        work(&mut self.known.lock().unwrap_or_else(PoisonError::into_inner))
    }
}
