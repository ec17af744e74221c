//! Where a command may write what it was asked for: not over a file it reads, not twice to one place, not among the
//! shop's own files. Writes nothing.

use crate::cli::failure::Failure;
use crate::cli::world::World;
use crate::files;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// The folders of a shop that hold its own files.
const FOLDERS: [&str; 6] = [
    "orders",
    "receipts",
    "suppliers",
    "invoices",
    "photos",
    "templates",
];

/// What SQLite keeps beside the book.
const BESIDE: [&str; 4] = ["", "-wal", "-shm", "-journal"];

/// A place to write to.
#[derive(Debug, Clone, Copy)]
pub struct Output<'a> {
    /// What the user named it with, as `--html`.
    pub option: &'a str,
    /// The file.
    pub path: &'a Path,
}

/// Looks whether every place may be written to. `inputs` are the files the command reads.
///
/// # Errors
/// One is a file the command reads, the book, a file of the shop, or named twice; nothing is written then.
pub fn places(
    outputs: &[Output<'_>],
    inputs: &[&Path],
    shop: Option<&Path>,
    world: &World,
) -> Result<(), Failure> {
    let book = world.book_file();
    let shop = shop.unwrap_or(world.shop_folder());
    let is_shop = shop.join("shop.yaml").is_file() || book.is_file();
    for (count, output) in outputs.iter().enumerate() {
        let place = files::whole(output.path);
        let is = |other: &Path| files::whole(other) == place;
        let refused = |why: String| {
            Err(Failure::error(format!(
                "{} cannot be `{}`: {why}",
                output.option,
                output.path.display()
            ))
            .hint("name another file; nothing was written"))
        };
        if let Some(first) = outputs[..count].iter().find(|first| is(first.path)) {
            return refused(format!("{} is written there", first.option));
        }
        if inputs.iter().any(|input| is(input)) {
            return refused("this command reads it".to_owned());
        }
        if BESIDE.iter().any(|suffix| is(&with(&book, suffix))) {
            return refused("it is the book itself".to_owned());
        }
        if !is_shop {
            continue;
        }
        if is(&shop.join("shop.yaml")) {
            return refused("it is the shop's own".to_owned());
        }
        let own = FOLDERS
            .iter()
            .find(|folder| place.starts_with(files::whole(&shop.join(folder))));
        if let Some(folder) = own {
            return refused(format!("`{folder}/` is for the shop's own files"));
        }
    }
    Ok(())
}

fn with(path: &Path, suffix: &str) -> PathBuf {
    let mut name = OsString::from(path);
    name.push(suffix);
    PathBuf::from(name)
}
