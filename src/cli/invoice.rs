//! `asordered invoice`: records what was billed. Judges it in `check PO`.

use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::order::{outcome_json, said};
use crate::cli::shop::{document, not_later, write_book};
use crate::cli::world::{World, now};
use crate::intake;
use crate::report::json;
use serde_json::json;
use std::path::PathBuf;

/// Record invoices
#[derive(Debug, clap::Args)]
pub struct Invoices {
    /// What to do.
    #[command(subcommand)]
    pub what: What,
}

/// What to do with invoices.
#[derive(Debug, clap::Subcommand)]
pub enum What {
    /// Record invoices; the same invoice again changes nothing
    Add {
        /// Files of invoices
        #[arg(value_name = "FILE", required = true)]
        files: Vec<PathBuf>,
        /// Put a changed invoice in the place of the one in the book; the old one stays in the journal
        #[arg(long)]
        replace: bool,
    },
}

/// Runs it.
///
/// # Errors
/// Problems of the files; the book refuses.
pub fn run(args: &Invoices, world: &mut World) -> Result<Status, Failure> {
    let What::Add { files, replace } = &args.what;
    let mut documents = Vec::with_capacity(files.len());
    let mut problems = Vec::new();
    // All files are read before the first is recorded, so that a slip of the pen in the last one records none.
    for file in files {
        let document = document(file)?;
        match intake::invoice(&document.file, &document.text) {
            Ok(invoice) => {
                if let Err(Failure::Problems(more)) =
                    not_later(&document, "billed", invoice.date, world)
                {
                    problems.extend(more);
                }
            }
            Err(more) => problems.extend(more),
        }
        documents.push(document);
    }
    if !problems.is_empty() {
        return Err(Failure::Problems(problems));
    }
    let mut book = write_book(world)?;
    let mut outcomes = Vec::with_capacity(documents.len());
    for document in &documents {
        let outcome = book.add_invoice(document, *replace, now())?;
        if !world.json {
            world.print(&format!(
                "{} on order {}\n",
                said("invoice", &outcome),
                outcome.order
            ))?;
        }
        outcomes.push(outcome_json(&outcome));
    }
    if world.json {
        world.print(&json::printed(&json!({ "invoices": outcomes })))?;
    }
    Ok(Status::Fine)
}
