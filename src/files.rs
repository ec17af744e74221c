//! EDGE: the disk. Reads and writes whole files; knows nothing of what stands in them.
#![allow(clippy::disallowed_methods, reason = "an edge")]

use crate::intake::node::MAX_BYTES;
use crate::model::problem::Problem;
use crate::model::spot::Spot;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// Why a file could not be read or written.
#[derive(Debug)]
pub enum FileError {
    /// What is in it is not text we can take.
    Problem(Problem),
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
    let system = |error| FileError::System {
        what: format!("cannot read `{}`", path.display()),
        error,
    };
    let file = File::open(path).map_err(system)?;
    let metadata = file.metadata().map_err(system)?;
    if metadata.is_dir() {
        return Err(system(io::Error::from(io::ErrorKind::IsADirectory)));
    }
    let most = u64::try_from(MAX_BYTES).unwrap_or(u64::MAX) + 1;
    let mut bytes = Vec::new();
    file.take(most).read_to_end(&mut bytes).map_err(system)?;
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

/// Reads a file of any kind whole, such as a photograph.
///
/// # Errors
/// It is missing, not a file, or the system refused.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, FileError> {
    fs::read(path).map_err(|error| FileError::System {
        what: format!("cannot read `{}`", path.display()),
        error,
    })
}

/// Returns whether a path, with every link followed, is inside a folder.
///
/// # Errors
/// One of the two is not there; the system refused.
pub fn is_inside(folder: &Path, path: &Path) -> Result<bool, FileError> {
    let whole = |path: &Path| {
        fs::canonicalize(path).map_err(|error| FileError::System {
            what: format!("cannot read `{}`", path.display()),
            error,
        })
    };
    Ok(whole(path)?.starts_with(whole(folder)?))
}

/// Returns the files of a folder by name; none where there is no such folder.
///
/// # Errors
/// The system refused.
pub fn list(folder: &Path) -> Result<Vec<PathBuf>, FileError> {
    let system = |error| FileError::System {
        what: format!("cannot read the folder `{}`", folder.display()),
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
            what: format!("cannot remove `{}`", path.display()),
            error,
        }),
    }
}

fn spot(path: &Path, line: usize, column: usize) -> Spot {
    Spot {
        file: path.display().to_string().into(),
        line,
        column,
    }
}

/// Writes a file whole or not at all: beside it first, then in its place.
///
/// # Errors
/// The system refused; the file that was there before is then unharmed.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    let system = |error| FileError::System {
        what: format!("cannot write `{}`", path.display()),
        error,
    };
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(".part");
    let part = path.with_file_name(name);
    let written = File::create(&part).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()
    });
    if let Err(error) = written.and_then(|()| fs::rename(&part, path)) {
        let _ = fs::remove_file(&part);
        return Err(system(error));
    }
    Ok(())
}

/// Makes a folder and those above it.
///
/// # Errors
/// The system refused.
pub fn make_folder(path: &Path) -> Result<(), FileError> {
    fs::create_dir_all(path).map_err(|error| FileError::System {
        what: format!("cannot make the folder `{}`", path.display()),
        error,
    })
}

/// Returns whether a folder can be made here: nothing is there, or an empty folder.
///
/// # Errors
/// The system refused to look.
pub fn is_free(path: &Path) -> Result<bool, FileError> {
    let system = |error| FileError::System {
        what: format!("cannot look at `{}`", path.display()),
        error,
    };
    match fs::read_dir(path) {
        Ok(mut entries) => Ok(entries.next().is_none()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::NotADirectory => Ok(false),
        Err(error) => Err(system(error)),
    }
}
