//! `asordered backup`: a copy of the book as it is at one moment, while others go on writing.

use crate::book::Book;
use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::output::{self, Output};
use crate::cli::world::World;
use crate::report::json;
use serde_json::json;
use std::path::PathBuf;

/// Copy the book into a file, while it is in use
#[derive(Debug, clap::Args)]
pub struct Backup {
    /// The file to write; one that is there is replaced once the copy is whole
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
}

/// Runs it.
///
/// # Errors
/// The file is the book itself; the book is of a newer program; the disk refuses.
pub fn run(args: &Backup, world: &mut World) -> Result<Status, Failure> {
    let book = Book::read_to_copy(&world.book_file())?;
    let option = "the copy";
    let path = &args.file;
    output::places(&[Output { option, path }], &[], None, world)?;
    let size = book.backup(&args.file)?;
    let file = args.file.display();
    if world.json {
        world.print(&json::printed(
            &json!({ "file": file.to_string(), "size": size }),
        ))?;
    } else {
        world.print(&format!(
            "copied the book to {file}, {size} bytes; photographs are not in it\n"
        ))?;
    }
    Ok(Status::Fine)
}
