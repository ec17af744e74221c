//! Opens the book, makes a new one, and brings an older one up to date. Looks at a file before SQLite may touch it,
//! so that a file that is not a book is never changed.

use crate::book::Book;
use crate::book::error::BookError;
use crate::book::reader::Reader;
use crate::book::record::rederive;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags, TransactionBehavior};
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Marks the file as a book of ours, in bytes 68 to 71 of the SQLite header: `asor`.
pub const APPLICATION_ID: i32 = i32::from_be_bytes(*b"asor");

/// The editions of the book, oldest first. An edition is never changed once it is out; a new one is added.
const MIGRATIONS: &[&str] = &[
    include_str!("migrations/0001.sql"),
    include_str!("migrations/0002.sql"),
];

/// How many names are tried for a new file beside the book.
const TRIES: u32 = 1_000;

/// How long to wait for another writer.
const PATIENCE: Duration = Duration::from_secs(30);

impl Book {
    /// Opens a book for reading. Works while another program writes, and in a folder that cannot be written.
    ///
    /// # Errors
    /// There is no book; it is not a book, damaged, or of a newer or older program.
    pub fn read(path: &Path) -> Result<Self, BookError> {
        let book = Book::read_to_copy(path)?;
        if book.edition()? < MIGRATIONS.len() {
            return Err(BookError::refused(format!(
                "the book `{}` is of an older program",
                path.display()
            ))
            .hint("any command that records, such as `asordered order add`, brings it up to date")
            .hint("`asordered backup FILE` copies it as it is"));
        }
        Ok(book)
    }

    /// Opens a book for reading that may be of an older program: good for copying it whole, as before it is brought up
    /// to date.
    ///
    /// # Errors
    /// There is no book; it is not a book, damaged, or of a newer program.
    pub fn read_to_copy(path: &Path) -> Result<Self, BookError> {
        if !path.exists() {
            return Err(BookError::refused(format!("there is no book at `{}`", path.display()))
                .hint("`asordered order add FILE` makes one; `--shop DIR` or `--book PATH` name another"));
        }
        look_at_header(path)?;
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let book = Connection::open_with_flags(path, flags)
            .map_err(BookError::from)
            .and_then(|connection| Book::checked(connection, path));
        let book = match book {
            Ok(book) => book,
            // In a folder that cannot be written SQLite cannot keep its notes beside the book. Where no unfinished
            // notes lie there either, the file alone is the whole book.
            Err(error) => match immutable(path)? {
                Some(connection) => Book::checked(connection, path)?,
                None => return Err(error),
            },
        };
        book.connection.pragma_update(None, "query_only", true)?;
        let edition = book.edition()?;
        if edition > MIGRATIONS.len() {
            return Err(newer(path, edition));
        }
        Ok(book)
    }

    /// Opens a book for writing; makes it where there is none.
    ///
    /// # Errors
    /// It is not a book, damaged, or of a newer program; the disk refuses.
    pub fn write(path: &Path) -> Result<Self, BookError> {
        if !path.exists() {
            if is_link(path) {
                return Err(nowhere(path));
            }
            make(path)?;
        }
        look_at_header(path)?;
        let mut book = Book::checked(open(path)?, path)?;
        let edition = book.edition()?;
        if edition > MIGRATIONS.len() {
            return Err(newer(path, edition));
        }
        book.connection.pragma_update(None, "journal_mode", "wal")?;
        if edition < MIGRATIONS.len() {
            migrate(&mut book.connection)?;
        }
        Ok(book)
    }

    fn checked(connection: Connection, path: &Path) -> Result<Self, BookError> {
        connection.busy_timeout(PATIENCE)?;
        connection.set_prepared_statement_cache_capacity(64);
        // Statements are planned once: with plans that look at bound values SQLite would plan them anew at each receipt.
        connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
        connection.pragma_update(None, "synchronous", "full")?;
        connection.pragma_update(None, "foreign_keys", true)?;
        connection.pragma_update(None, "trusted_schema", false)?;
        let book = Book {
            connection,
            path: path.to_path_buf(),
            reader: Reader::default(),
        };
        // The first look at the pages: a file cut short is told here.
        book.edition()?;
        Ok(book)
    }

    fn edition(&self) -> Result<usize, BookError> {
        let edition: i64 = self
            .connection
            .pragma_query_value(None, "user_version", |row| row.get(0))?;
        // A negative edition is none that we wrote; it counts as newer than any.
        Ok(usize::try_from(edition).unwrap_or(usize::MAX))
    }
}

fn open(path: &Path) -> Result<Connection, BookError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Ok(Connection::open_with_flags(path, flags)?)
}

/// Opens the file alone, where no notes of SQLite lie beside it.
fn immutable(path: &Path) -> Result<Option<Connection>, BookError> {
    if has_notes(path) {
        return Ok(None);
    }
    let Some(name) = path.to_str() else {
        return Ok(None);
    };
    let escaped = name
        .replace('%', "%25")
        .replace('?', "%3f")
        .replace('#', "%23");
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_NO_MUTEX
        | OpenFlags::SQLITE_OPEN_URI;
    Ok(Some(Connection::open_with_flags(
        format!("file:{escaped}?immutable=1"),
        flags,
    )?))
}

fn newer(path: &Path, edition: usize) -> BookError {
    BookError::refused(format!(
        "the book `{}` is of a newer program: edition {edition}, this program knows up to {}",
        path.display(),
        MIGRATIONS.len()
    ))
    .hint("use the newer program; the book is unharmed")
}

fn is_link(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok_and(|there| there.is_symlink())
}

fn nowhere(path: &Path) -> BookError {
    BookError::refused(format!(
        "`{}` is a link that leads nowhere, expected a book or a free name",
        path.display()
    ))
    .hint("is the disk it leads to connected? else take the link away; `--book PATH` names another book")
}

/// Refuses what is not a book before SQLite touches it.
fn look_at_header(path: &Path) -> Result<(), BookError> {
    let name = path.display();
    let refused = |error: io::Error| {
        BookError::refused(format!("cannot open the book `{name}`: {}", plain(&error)))
            .hint("look at the permissions of the file and its folder, or name another with `--book PATH`")
    };
    let metadata = fs::metadata(path).map_err(refused)?;
    let not_a_book = || {
        BookError::refused(format!("`{name}` is not a book of asordered"))
            .hint("it was left as it is; name the book with `--book PATH`")
    };
    if !metadata.is_file() {
        return Err(not_a_book());
    }
    if metadata.len() == 0 {
        return Err(BookError::refused(format!("`{name}` is empty: it is not a book, or no longer one"))
            .hint("restore your last `asordered backup`; where there never was a book, delete the empty file"));
    }
    let mut header = [0_u8; 100];
    let mut file = File::open(path).map_err(refused)?;
    if let Err(error) = file.read_exact(&mut header) {
        return Err(if error.kind() == io::ErrorKind::UnexpectedEof {
            not_a_book()
        } else {
            refused(error)
        });
    }
    let ours =
        header.starts_with(b"SQLite format 3\0") && header[68..72] == APPLICATION_ID.to_be_bytes();
    if !ours {
        return Err(not_a_book());
    }
    // Notes beside the file may hold what the file still lacks: a program was cut off while it put them in. They are
    // looked at before the length, because they go only once the file is whole.
    if has_notes(path) || file.metadata().map_err(refused)?.len() >= length_told(&header) {
        return Ok(());
    }
    Err(
        BookError::refused(format!("the book `{name}` is damaged or cut short"))
            .hint("leave the file as it is and restore your last `asordered backup`"),
    )
}

/// Returns how long the file is by its own header: pages (bytes 28 to 31) of a size (bytes 16 and 17, where 1 stands
/// for 65,536), as in the description of the SQLite file format.
fn length_told(header: &[u8; 100]) -> u64 {
    let size = match u16::from_be_bytes([header[16], header[17]]) {
        1 => 65_536,
        size => u64::from(size),
    };
    let pages = u32::from_be_bytes([header[28], header[29], header[30], header[31]]);
    size * u64::from(pages)
}

/// Returns whether unfinished notes of SQLite lie beside the file.
fn has_notes(path: &Path) -> bool {
    ["-wal", "-journal"].into_iter().any(|suffix| {
        let mut name = path.as_os_str().to_os_string();
        name.push(suffix);
        fs::metadata(PathBuf::from(name)).is_ok_and(|notes| notes.len() > 0)
    })
}

/// Makes a new book beside its place and puts it there whole, so that a book half made is never found.
fn make(path: &Path) -> Result<(), BookError> {
    let new = beside(path).map_err(|error| cannot_make(path, &error))?;
    let made = make_at(&new).and_then(|()| put_in_place(&new, path));
    // Whatever happened, what lies beside the place is of no use now.
    let _ = fs::remove_file(&new);
    made
}

/// Makes a new empty file beside a place, only where nothing of its name is: no file and no link that lies there is
/// written through.
pub(crate) fn beside(path: &Path) -> io::Result<PathBuf> {
    let mut count = 0_u32;
    loop {
        let mut name = path.as_os_str().to_os_string();
        name.push(format!(".new-{}-{count}", std::process::id()));
        let new = PathBuf::from(name);
        match OpenOptions::new().write(true).create_new(true).open(&new) {
            Ok(_) => return Ok(new),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && count < TRIES => {
                count += 1;
            }
            Err(error) => return Err(error),
        }
    }
}

fn make_at(new: &Path) -> Result<(), BookError> {
    let mut connection = open(new)?;
    connection.pragma_update(None, "synchronous", "full")?;
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    migrate(&mut connection)?;
    connection.pragma_update(None, "journal_mode", "wal")?;
    connection
        .close()
        .map_err(|(_, error)| BookError::from(error))
}

/// A link fails where another program made the book meanwhile: then that one is the book.
fn put_in_place(new: &Path, path: &Path) -> Result<(), BookError> {
    match fs::hard_link(new, path) {
        Ok(()) => {}
        Err(_) if path.exists() => {}
        // A disk without links: the time between the look and the renaming is short, and both books are new.
        Err(_) if is_link(path) => return Err(nowhere(path)),
        Err(_) => fs::rename(new, path).map_err(|error| cannot_make(path, &error))?,
    }
    if let Some(folder) = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        && let Ok(folder) = File::open(folder)
    {
        // Some systems cannot sync a folder; the book is there all the same.
        let _ = folder.sync_all();
    }
    Ok(())
}

fn cannot_make(path: &Path, error: &io::Error) -> BookError {
    BookError::refused(format!(
        "cannot make the book in `{}`: {}",
        path.parent()
            .filter(|folder| !folder.as_os_str().is_empty())
            .unwrap_or(Path::new("."))
            .display(),
        plain(error)
    ))
    .hint("`--shop DIR` names the shop's folder, `--book PATH` another place for the book")
}

fn plain(error: &io::Error) -> String {
    if error.kind() == io::ErrorKind::NotFound {
        "no such file or folder".to_owned()
    } else if error.kind() == io::ErrorKind::PermissionDenied {
        "not allowed".to_owned()
    } else if error.kind() == io::ErrorKind::ReadOnlyFilesystem {
        "the disk is read-only".to_owned()
    } else if error.kind() == io::ErrorKind::StorageFull {
        "no space left".to_owned()
    } else {
        error.to_string()
    }
}

/// Brings the book to the newest edition, whole or not at all.
fn migrate(connection: &mut Connection) -> Result<(), BookError> {
    let work = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let edition: i64 = work.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let missing = usize::try_from(edition)
        .ok()
        .and_then(|edition| MIGRATIONS.get(edition..))
        .unwrap_or_default();
    if missing.is_empty() {
        return Ok(());
    }
    for migration in missing {
        work.execute_batch(migration)?;
    }
    if edition == 1 {
        rework(&work)?;
    }
    work.pragma_update(None, "user_version", MIGRATIONS.len() as i64)?;
    work.commit()?;
    Ok(())
}

/// Works the rows of orders with claims or invoices out again: since the second edition the mark of what can be claimed
/// leaves out what is claimed, and what a bill asks otherwise costs that much and no more.
fn rework(work: &Connection) -> Result<(), BookError> {
    let orders: Vec<String> = work
        .prepare(
            "SELECT number FROM orders \
             WHERE id IN (SELECT order_id FROM claims UNION SELECT order_id FROM invoices)",
        )?
        .query_map([], |row| row.get(0))?
        .collect::<Result<_, _>>()?;
    for order in orders {
        match rederive(work, &Reader::default(), &order) {
            // A document that can no longer be read is for `verify` to tell; the book opens all the same.
            Ok(()) | Err(BookError::Problems(_)) => {}
            Err(refused) => return Err(refused),
        }
    }
    Ok(())
}

/// Returns whether an error says that the file's pages cannot be read.
pub(crate) fn is_damage(error: &rusqlite::Error) -> bool {
    matches!(
        error.sqlite_error_code(),
        Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase)
    )
}
