//! Documents, word for word, with their hash. Reads none of them.

use crate::book::error::BookError;
use rusqlite::{Connection, OptionalExtension, params};
use sha2::{Digest, Sha256};

/// A document as it was handed in: its file's name and its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// The file's name, for problems.
    pub file: String,
    /// Its text.
    pub text: String,
}

/// What a document is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DocumentKind {
    /// shop.yaml.
    Shop,
    /// A supplier.
    Supplier,
    /// An order.
    Order,
    /// A receipt.
    Receipt,
    /// An invoice.
    Invoice,
}

impl DocumentKind {
    /// Returns the name in the book.
    pub const fn name(self) -> &'static str {
        match self {
            DocumentKind::Shop => "shop",
            DocumentKind::Supplier => "supplier",
            DocumentKind::Order => "order",
            DocumentKind::Receipt => "receipt",
            DocumentKind::Invoice => "invoice",
        }
    }
}

/// Returns the SHA-256 of bytes, 64 hexadecimal digits.
pub fn sha256(bytes: &[u8]) -> String {
    const DIGITS: [char; 16] = [
        '0', '1', '2', '3', '4', '5', '6', '7', '8', '9', 'a', 'b', 'c', 'd', 'e', 'f',
    ];
    Sha256::digest(bytes)
        .iter()
        .flat_map(|byte| {
            [
                DIGITS[usize::from(byte >> 4)],
                DIGITS[usize::from(byte & 15)],
            ]
        })
        .collect()
}

/// Keeps a document and returns its id.
pub(crate) fn keep(
    connection: &Connection,
    kind: DocumentKind,
    number: &str,
    document: &Document,
    stamp: &str,
) -> Result<i64, BookError> {
    connection
        .prepare_cached(
            "INSERT INTO documents (kind, number, file, sha256, text, recorded) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        )?
        .execute(params![
            kind.name(),
            number,
            document.file,
            sha256(document.text.as_bytes()),
            document.text,
            stamp
        ])?;
    Ok(connection.last_insert_rowid())
}

/// Returns a document.
pub(crate) fn get(connection: &Connection, id: i64) -> Result<Document, BookError> {
    Ok(connection
        .prepare_cached("SELECT file, text FROM documents WHERE id = ?1")?
        .query_row([id], |row| {
            Ok(Document {
                file: row.get(0)?,
                text: row.get(1)?,
            })
        })?)
}

/// Returns whether a document is word for word the one that is kept.
pub(crate) fn is_same(connection: &Connection, id: i64, text: &str) -> Result<bool, BookError> {
    let kept: Option<String> = connection
        .prepare_cached("SELECT sha256 FROM documents WHERE id = ?1")?
        .query_row([id], |row| row.get(0))
        .optional()?;
    Ok(kept.is_some_and(|kept| kept == sha256(text.as_bytes())))
}

#[cfg(test)]
mod tests {
    use super::sha256;

    #[test]
    fn the_hash_is_that_of_sha256sum() {
        // printf 'PO-2107\n' | sha256sum
        assert_eq!(
            sha256(b"PO-2107\n"),
            "d918fb843440c5d2a7da6c7a57ebc40d2dcbb8cf3aba4126b4cee39aee5d6c9c"
        );
        // printf '' | sha256sum
        assert_eq!(
            sha256(b""),
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
        );
    }
}
