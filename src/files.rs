//! EDGE: the disk. Reads and writes whole files; knows nothing of what stands in them. Reads regular files alone: a pipe
//! or a device is refused, not waited for.
#![allow(clippy::disallowed_methods, reason = "an edge")]

pub mod own;
pub mod write;

pub use own::own;
pub use write::write;

use crate::intake::node::MAX_BYTES;
use crate::model::problem::Problem;
use crate::model::spot::Spot;
use crate::model::visible::on_one_line;
use sha2::{Digest, Sha256};
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// Why a file could not be read or written.
#[derive(Debug)]
pub enum FileError {
    /// What is in it is not text we can take.
    Problem(Problem),
    /// It is not the kind of file that may be read or written here.
    Refused {
        /// What was found and what was expected.
        text: String,
        /// What to do about it.
        hint: String,
    },
    /// The system refused.
    System {
        /// What was tried and on what.
        what: String,
        /// What the system said.
        error: io::Error,
    },
}

/// Reads a text file: at most `MAX_BYTES`, UTF-8.
///
/// # Errors
/// It is missing, not a file, too large (a problem, before it is read), or not UTF-8 (a problem, at the byte).
pub fn read_text(path: &Path) -> Result<String, FileError> {
    let most = u64::try_from(MAX_BYTES).unwrap_or(u64::MAX);
    let mut bytes = Vec::new();
    open(path)?
        .take(most.saturating_add(1))
        .read_to_end(&mut bytes)
        .map_err(|error| cannot_read(path, error))?;
    if bytes.len() > MAX_BYTES {
        return Err(FileError::Problem(
            Problem::new(
                &spot(path, 1, 1),
                format!("file has more than {MAX_BYTES} bytes, at most that many are read"),
            )
            .hint("split it into several files"),
        ));
    }
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let text = String::from_utf8_lossy(&error.as_bytes()[..good]).into_owned();
        let line = text.matches('\n').count() + 1;
        let column = text.chars().rev().take_while(|c| *c != '\n').count() + 1;
        FileError::Problem(
            Problem::new(&spot(path, line, column), "not UTF-8 text from here on")
                .hint("save the file as UTF-8"),
        )
    })
}

/// Opens a file for reading. It is looked at first, because opening a pipe would wait for its writer.
fn open(path: &Path) -> Result<File, FileError> {
    let metadata = fs::metadata(path).map_err(|error| cannot_read(path, error))?;
    if metadata.is_dir() {
        return Err(cannot_read(
            path,
            io::Error::from(io::ErrorKind::IsADirectory),
        ));
    }
    if !metadata.is_file() {
        return Err(FileError::Refused {
            text: format!("`{}` is a pipe or a device, expected a file", shown(path)),
            hint: "save what comes through it into a file, and name that".to_owned(),
        });
    }
    File::open(path).map_err(|error| cannot_read(path, error))
}

fn cannot_read(path: &Path, error: io::Error) -> FileError {
    FileError::System {
        what: format!("cannot read `{}`", shown(path)),
        error,
    }
}

/// Reads a file of any kind whole, of at most so many bytes; a larger one is refused before it is read.
///
/// # Errors
/// It is missing, not a file, larger, or the system refused.
pub fn read_bytes(path: &Path, most: u64) -> Result<Vec<u8>, FileError> {
    let file = open(path)?;
    let size = file
        .metadata()
        .map_err(|error| cannot_read(path, error))?
        .len();
    let too_large = || FileError::Refused {
        text: format!(
            "`{}` has more than {most} bytes, at most that many are read",
            shown(path)
        ),
        hint: "save it smaller".to_owned(),
    };
    if size > most {
        return Err(too_large());
    }
    let mut bytes = Vec::new();
    file.take(most.saturating_add(1))
        .read_to_end(&mut bytes)
        .map_err(|error| cannot_read(path, error))?;
    // It may have grown since it was looked at.
    if u64::try_from(bytes.len()).unwrap_or(u64::MAX) > most {
        return Err(too_large());
    }
    Ok(bytes)
}

/// Returns the SHA-256 of a file of any size, 64 hexadecimal digits; it is never held whole.
///
/// # Errors
/// It is missing, not a file, or the system refused.
pub fn sha256(path: &Path) -> Result<String, FileError> {
    let mut file = open(path)?;
    let mut hash = Sha256::new();
    let mut piece = vec![0_u8; 64 * 1024];
    loop {
        match file.read(&mut piece) {
            Ok(0) => break,
            Ok(many) => hash.update(&piece[..many]),
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(cannot_read(path, error)),
        }
    }
    Ok(hash
        .finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect())
}

/// Returns a path with every link followed, as far as it leads to something that is there; two names of one file give
/// the same.
pub fn whole(path: &Path) -> PathBuf {
    if let Ok(whole) = fs::canonicalize(path) {
        return whole;
    }
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        Some(_) | None => Path::new("."),
    };
    match (fs::canonicalize(folder), path.file_name()) {
        (Ok(folder), Some(name)) => folder.join(name),
        (Ok(_) | Err(_), _) => path.to_path_buf(),
    }
}

/// Returns the files of a folder by name; none where there is no such folder.
///
/// # Errors
/// The system refused.
pub fn list(folder: &Path) -> Result<Vec<PathBuf>, FileError> {
    let system = |error| FileError::System {
        what: format!("cannot read the folder `{}`", shown(folder)),
        error,
    };
    if !folder.is_dir() {
        return Ok(Vec::new());
    }
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).map_err(system)? {
        let path = entry.map_err(system)?.path();
        if path.is_file() {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// Takes a file away, where it is there.
///
/// # Errors
/// The system refused.
pub fn remove(path: &Path) -> Result<(), FileError> {
    match fs::remove_file(path) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(FileError::System {
            what: format!("cannot remove `{}`", shown(path)),
            error,
        }),
    }
}

/// Returns the name of a file as messages show it.
fn shown(path: &Path) -> String {
    on_one_line(&path.to_string_lossy())
}

fn spot(path: &Path, line: usize, column: usize) -> Spot {
    Spot {
        file: path.display().to_string().into(),
        line,
        column,
    }
}

/// Makes a folder and those above it.
///
/// # Errors
/// The system refused.
pub fn make_folder(path: &Path) -> Result<(), FileError> {
    fs::create_dir_all(path).map_err(|error| FileError::System {
        what: format!("cannot make the folder `{}`", shown(path)),
        error,
    })
}

/// Returns whether a folder can be made here: nothing is there, or an empty folder.
///
/// # Errors
/// The system refused to look.
pub fn is_free(path: &Path) -> Result<bool, FileError> {
    let system = |error| FileError::System {
        what: format!("cannot look at `{}`", shown(path)),
        error,
    };
    match fs::read_dir(path) {
        Ok(mut entries) => Ok(entries.next().is_none()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::NotADirectory => Ok(false),
        Err(error) => Err(system(error)),
    }
}
