//! Why the book could not do it, in plain words. Prints nothing.

use crate::model::problem::Problem;
use rusqlite::ErrorCode;

/// Why the book could not do it. Nothing of what was asked is in the book then.
#[derive(Debug)]
pub enum BookError {
    /// Bad input, all of it.
    Problems(Vec<Problem>),
    /// The book or the disk refused: what and why, and what to do about it.
    Refused {
        /// Lower case, no full stop.
        text: String,
        /// What to do about it.
        hints: Vec<String>,
    },
}

impl BookError {
    /// Makes a refusal.
    pub fn refused(text: impl Into<String>) -> Self {
        BookError::Refused {
            text: text.into(),
            hints: Vec::new(),
        }
    }

    /// Adds what to do about it.
    pub fn hint(self, hint: impl Into<String>) -> Self {
        match self {
            BookError::Refused { text, mut hints } => {
                hints.push(hint.into());
                BookError::Refused { text, hints }
            }
            BookError::Problems(_) => self,
        }
    }
}

impl From<Vec<Problem>> for BookError {
    fn from(problems: Vec<Problem>) -> Self {
        BookError::Problems(problems)
    }
}

impl From<rusqlite::Error> for BookError {
    fn from(error: rusqlite::Error) -> Self {
        let Some(code) = error.sqlite_error_code() else {
            return BookError::refused(format!("the book does not answer as expected: {error}"))
                .hint("run `asordered verify`");
        };
        // The library's list of codes may grow; what we have no words for is told in the library's.
        match code {
            ErrorCode::DiskFull => BookError::refused("the disk that holds the book is full").hint(
                "free some space and do it again; the book is unharmed and nothing was recorded",
            ),
            ErrorCode::ReadOnly | ErrorCode::PermissionDenied => BookError::refused(
                "the book cannot be written: its file or its folder is read-only",
            )
            .hint("allow writing there, or name another file with `--book PATH`"),
            ErrorCode::CannotOpen => BookError::refused(
                "the book cannot be opened: its file or its folder does not allow it",
            )
            .hint("look at the folder's permissions, or name another file with `--book PATH`"),
            ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => {
                BookError::refused("another program has been writing the book for too long")
                    .hint("do it again in a moment; nothing was recorded")
            }
            ErrorCode::DatabaseCorrupt => BookError::refused("the book is damaged or cut short")
                .hint("leave the file as it is and restore your last `asordered backup`"),
            ErrorCode::NotADatabase => BookError::refused("the file is not a book of asordered")
                .hint("name the book with `--book PATH`"),
            ErrorCode::SystemIoFailure => BookError::refused(format!(
                "the disk that holds the book refused: {error}"
            ))
            .hint("is the disk full, or gone? the book is unharmed and nothing was recorded"),
            _ => BookError::refused(format!("the book refused: {error}"))
                .hint("nothing was recorded; run `asordered verify`"),
        }
    }
}
