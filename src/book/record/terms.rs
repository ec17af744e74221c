//! The supplier's and the shop's file, kept beside the orders that are judged by them.

use crate::book::document::{Document, DocumentKind, is_same, keep};
use crate::book::error::BookError;
use crate::book::journal::{self, Entry};
use crate::book::record::{Recording, Terms};
use crate::model::order::Order;
use crate::model::problem::Problem;
use crate::model::shop::Shop;
use crate::model::supplier::Supplier;
use rusqlite::{Connection, OptionalExtension, params};
use std::sync::Arc;

/// The terms as the book keeps them.
pub(super) struct KeptTerms {
    /// The supplier's id.
    pub(super) supplier: i64,
    /// The supplier's file.
    pub(super) supplier_document: Option<i64>,
    /// shop.yaml.
    pub(super) shop_document: Option<i64>,
}

impl KeptTerms {
    /// Notes on an order that its rows are worked out with these.
    pub(super) fn note_on(&self, work: &Connection, order: i64) -> Result<(), BookError> {
        work.prepare_cached(
            "UPDATE orders SET supplier_document = ?2, shop_document = ?3 WHERE id = ?1",
        )?
        .execute(params![order, self.supplier_document, self.shop_document])?;
        Ok(())
    }
}

/// Keeps the supplier's and the shop's file where they changed, and returns what the book now knows.
pub(super) fn keep_terms(
    recording: &Recording<'_>,
    order: &Order,
    terms: &Terms,
) -> Result<KeptTerms, BookError> {
    let Recording {
        work,
        reader,
        stamp,
    } = *recording;
    let known: Option<(i64, Option<i64>)> = work
        .prepare_cached("SELECT id, document FROM suppliers WHERE code = ?1")?
        .query_row([&order.supplier], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    let mut document = known.and_then(|(_, document)| document);
    let mut name = None;
    if let Some(file) = &terms.supplier {
        let same = match document {
            Some(document) => is_same(work, document, &file.text)?,
            None => false,
        };
        if !same {
            let record: Arc<Supplier> = reader.read(file)?;
            if record.id != order.supplier {
                return Err(BookError::Problems(vec![Problem::new(
                    &record.spot,
                    format!(
                        "supplier `{}`, expected `{}` as the order says",
                        record.id, order.supplier
                    ),
                )]));
            }
            document = Some(keep(work, DocumentKind::Supplier, &record.id, file, stamp)?);
            kept(recording, "supplier's file kept", &record.id, document)?;
            name = Some(record.name.clone());
        }
    }
    let supplier = match known {
        Some((id, _)) => {
            if let Some(name) = &name {
                work.execute(
                    "UPDATE suppliers SET name = ?2, document = ?3 WHERE id = ?1",
                    params![id, name, document],
                )?;
            }
            id
        }
        None => {
            work.execute(
                "INSERT INTO suppliers (code, name, document) VALUES (?1, ?2, ?3)",
                params![order.supplier, name, document],
            )?;
            work.last_insert_rowid()
        }
    };
    Ok(KeptTerms {
        supplier,
        supplier_document: document,
        shop_document: keep_shop(recording, terms.shop.as_ref())?,
    })
}

fn keep_shop(recording: &Recording<'_>, file: Option<&Document>) -> Result<Option<i64>, BookError> {
    let Recording {
        work,
        reader,
        stamp,
    } = *recording;
    let known: Option<i64> = work
        .prepare_cached("SELECT document FROM shop WHERE id = 1")?
        .query_row([], |row| row.get(0))
        .optional()?;
    let Some(file) = file else {
        return Ok(known);
    };
    if let Some(known) = known
        && is_same(work, known, &file.text)?
    {
        return Ok(Some(known));
    }
    reader.read::<Shop>(file)?;
    let id = keep(work, DocumentKind::Shop, "shop", file, stamp)?;
    kept(recording, "shop's file kept", "shop.yaml", Some(id))?;
    work.execute(
        "INSERT INTO shop (id, document) VALUES (1, ?1) ON CONFLICT (id) DO UPDATE SET document = ?1",
        [id],
    )?;
    Ok(Some(id))
}

fn kept(
    recording: &Recording<'_>,
    what: &str,
    subject: &str,
    document: Option<i64>,
) -> Result<(), BookError> {
    journal::add(
        recording.work,
        recording.stamp,
        &Entry {
            what,
            subject,
            document,
            ..Entry::default()
        },
    )
}
