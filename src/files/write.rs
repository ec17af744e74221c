//! Writes files whole or not at all. Knows nothing of what stands in them, and makes no folder.
#![allow(clippy::disallowed_methods, reason = "an edge")]

use crate::files::{FileError, shown};
use std::fs::{self, File, Metadata, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// How many names are tried for the file beside; each that is there already was left by a program that was cut off.
const TRIES: u32 = 1_000;

/// Writes a file whole or not at all: beside it first, then in its place. A pipe or a character device, as
/// `/dev/stdout`, is written to as it is, never replaced. A link is not followed and not replaced.
///
/// # Errors
/// The place is a link to a file or to nothing, a folder, or another thing that is no file; the system refused. The
/// file that was there before is then unharmed.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    let system = |error| FileError::System {
        what: format!("cannot write `{}`", shown(path)),
        error,
    };
    match target(path).map_err(system)? {
        Target::File => replace(path, bytes).map_err(system),
        Target::Stream => OpenOptions::new()
            .write(true)
            .open(path)
            .and_then(|mut file| file.write_all(bytes))
            .map_err(system),
        Target::Link => Err(FileError::Refused {
            text: format!(
                "`{}` is a link, expected a file or a free name",
                shown(path)
            ),
            hint: "name the file that it leads to, or take the link away".to_owned(),
        }),
        Target::Other => Err(FileError::Refused {
            text: format!("`{}` is no file, expected one or a free name", shown(path)),
            hint: "name another file".to_owned(),
        }),
    }
}

/// What a path to write to is.
enum Target {
    /// A file, or nothing yet.
    File,
    /// A pipe or a character device: bytes go through it.
    Stream,
    /// A link to anything but a stream.
    Link,
    /// A folder, a disk, a socket.
    Other,
}

fn target(path: &Path) -> io::Result<Target> {
    let metadata = match fs::symlink_metadata(path) {
        Ok(metadata) => metadata,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Target::File),
        Err(error) => return Err(error),
    };
    if metadata.is_symlink() {
        // `/dev/stdout` is a link to a stream.
        return Ok(if fs::metadata(path).is_ok_and(|end| is_stream(&end)) {
            Target::Stream
        } else {
            Target::Link
        });
    }
    Ok(if metadata.is_file() {
        Target::File
    } else if is_stream(&metadata) {
        Target::Stream
    } else {
        Target::Other
    })
}

#[cfg(unix)]
fn is_stream(metadata: &Metadata) -> bool {
    use std::os::unix::fs::FileTypeExt;
    let kind = metadata.file_type();
    kind.is_fifo() || kind.is_char_device()
}

#[cfg(not(unix))]
fn is_stream(_metadata: &Metadata) -> bool {
    false
}

fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let (beside, mut file) = beside(path)?;
    let done = file
        .write_all(bytes)
        .and_then(|()| file.sync_all())
        .and_then(|()| fs::rename(&beside, path));
    if done.is_err() {
        let _ = fs::remove_file(&beside);
    }
    done
}

/// Makes a new file in the same folder. It is made only where nothing of that name is, so that no file and no link that
/// lies there is written through.
fn beside(path: &Path) -> io::Result<(PathBuf, File)> {
    let mut last = io::Error::from(io::ErrorKind::AlreadyExists);
    for count in 0..TRIES {
        let name = format!(".asordered-{}-{count}.part", std::process::id());
        let beside = path.with_file_name(name);
        match OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&beside)
        {
            Ok(file) => return Ok((beside, file)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => last = error,
            Err(error) => return Err(error),
        }
    }
    Err(last)
}
