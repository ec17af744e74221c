//! Backup while others read and write.

use crate::book::Book;
use crate::book::error::BookError;
use crate::book::open::beside;
use rusqlite::Connection;
use rusqlite::backup::Backup;
use std::fs::{self, File};
use std::path::Path;
use std::time::Duration;

/// Pages copied between two breaths; a writer gets its turn in between.
const PAGES: i32 = 2_000;

impl Book {
    /// Copies the book into a file as it is at one moment: beside its place first, checked, then put there whole.
    ///
    /// # Errors
    /// The file is the book itself; the disk refuses. A file that was there before is then unharmed.
    pub fn backup(&self, to: &Path) -> Result<u64, BookError> {
        let same = fs::canonicalize(to)
            .ok()
            .zip(fs::canonicalize(&self.path).ok())
            .is_some_and(|(to, book)| to == book);
        if same {
            return Err(
                BookError::refused(format!("`{}` is the book itself", to.display()))
                    .hint("name another file, best on another disk"),
            );
        }
        // A link would be replaced, not followed; a device would be gone.
        if fs::symlink_metadata(to).is_ok_and(|there| !there.is_file()) {
            return Err(BookError::refused(format!(
                "`{}` is no file, expected one or a free name",
                to.display()
            ))
            .hint("name a file; a link is not followed"));
        }
        let new = beside(to).map_err(|error| {
            BookError::refused(format!("cannot write `{}`: {error}", to.display()))
                .hint("is there such a folder, and space in it?")
        })?;
        let done = self.copy(&new).and_then(|()| {
            fs::rename(&new, to).map_err(|error| {
                BookError::refused(format!("cannot write `{}`: {error}", to.display()))
            })
        });
        if done.is_err() {
            let _ = fs::remove_file(&new);
        }
        done?;
        Ok(fs::metadata(to).map(|file| file.len()).unwrap_or_default())
    }

    fn copy(&self, new: &Path) -> Result<(), BookError> {
        let refused = |error: std::io::Error| {
            BookError::refused(format!("cannot write `{}`: {error}", new.display()))
                .hint("is there such a folder, and space in it?")
        };
        let mut copy = Connection::open(new)?;
        Backup::new(&self.connection, &mut copy)?.run_to_completion(
            PAGES,
            Duration::from_millis(5),
            None,
        )?;
        // The copy is one file: it needs no notes beside it, and opens on a disk that cannot be written.
        copy.pragma_update(None, "journal_mode", "delete")?;
        let sound: String = copy.pragma_query_value(None, "quick_check", |row| row.get(0))?;
        copy.close().map_err(|(_, error)| BookError::from(error))?;
        if sound != "ok" {
            return Err(
                BookError::refused(format!("the copy is not sound: {sound}"))
                    .hint("run `asordered verify` on the book"),
            );
        }
        File::open(new)
            .and_then(|file| file.sync_all())
            .map_err(refused)
    }
}
