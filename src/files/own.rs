//! A place in the shop's own folder. A link on the way could lead anywhere, so there may be none; reads and writes nothing.
#![allow(clippy::disallowed_methods, reason = "an edge")]

use crate::files::{FileError, shown};
use std::fs;
use std::io;
use std::path::{Component, Path, PathBuf};

/// Returns the place of a file in a folder, by its path from there. Whether it is there already or not, nothing on the
/// way is a link, and it is no pipe and no device.
///
/// # Errors
/// The path leads out of the folder; something on the way is a link, or not what it should be; the system refused to
/// look.
pub fn own(folder: &Path, path: impl AsRef<Path>) -> Result<PathBuf, FileError> {
    let path = path.as_ref();
    let refused = |text: String, hint: &str| {
        Err(FileError::Refused {
            text,
            hint: hint.to_owned(),
        })
    };
    let parts: Vec<Component<'_>> = path.components().collect();
    let plain = parts
        .iter()
        .all(|part| matches!(part, Component::Normal(_)));
    if parts.is_empty() || !plain {
        return refused(
            format!("`{}` is not in the folder `{}`", shown(path), shown(folder)),
            "name it by its path from there, without `..`",
        );
    }
    let mut place = folder.to_path_buf();
    for (count, part) in parts.iter().enumerate() {
        place.push(part);
        let metadata = match fs::symlink_metadata(&place) {
            Ok(metadata) => metadata,
            // What is not there yet leads nowhere else.
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(folder.join(path)),
            Err(error) => {
                return Err(FileError::System {
                    what: format!("cannot look at `{}`", shown(&place)),
                    error,
                });
            }
        };
        let last = count + 1 == parts.len();
        if metadata.is_symlink() {
            return refused(
                format!(
                    "`{}` is a link, expected {} of the shop's own",
                    shown(place.strip_prefix(".").unwrap_or(&place)),
                    if last { "a file" } else { "a folder" }
                ),
                "a link may lead out of the shop; put the file itself there",
            );
        }
        if last && !metadata.is_file() {
            return refused(
                format!(
                    "`{}` is no file, expected one",
                    shown(place.strip_prefix(".").unwrap_or(&place))
                ),
                "move it away, or name another",
            );
        }
    }
    Ok(place)
}
