//! `asordered verify`: is the book sound, and is the evidence still what was recorded? Mends nothing.

use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::shop::read_book;
use crate::cli::world::World;
use crate::files::{self, FileError};
use crate::report::json;
use serde_json::json;
use std::io::IsTerminal;

/// Verify the book: pages, references, hashes, evidence, accounting
#[derive(Debug, clap::Args)]
#[command(after_help = "Exit status: 0 sound, 1 something is wrong, 2 could not do it.")]
pub struct Verify {}

/// Runs it.
///
/// # Errors
/// The book cannot be read at all.
pub fn run(_args: &Verify, world: &mut World) -> Result<Status, Failure> {
    let book = read_book(world)?;
    let bar =
        (std::io::stderr().is_terminal() && !world.json).then(|| indicatif::ProgressBar::new(0));
    let mut done = book.verify(&mut |place, of| {
        if let Some(bar) = &bar {
            bar.set_length(u64::try_from(of).unwrap_or(u64::MAX));
            bar.set_position(u64::try_from(place).unwrap_or(u64::MAX));
        }
    })?;
    if let Some(bar) = &bar {
        bar.finish_and_clear();
    }
    let mut evidence = 0_usize;
    if done.wrong.is_empty() {
        for (receipt, kept) in book.evidence(None)? {
            evidence += 1;
            let found =
                files::own(world.shop_folder(), &kept.path).and_then(|place| files::sha256(&place));
            match found {
                Ok(hash) if hash == kept.sha256 => {}
                Ok(_) => done.wrong.push(format!(
                    "`{}` of receipt `{receipt}` is not the file that was recorded: its hash differs",
                    kept.path
                )),
                Err(FileError::Refused { text, .. }) => done
                    .wrong
                    .push(format!("evidence of receipt `{receipt}`: {text}")),
                Err(FileError::Problem(_) | FileError::System { .. }) => done
                    .wrong
                    .push(format!("`{}` of receipt `{receipt}` is no longer there", kept.path)),
            }
        }
    }
    let sound = done.wrong.is_empty();
    if world.json {
        world.print(&json::printed(&json!({
            "sound": sound,
            "documents": done.documents,
            "orders": done.orders,
            "receipts": done.receipts,
            "receipt_lines": done.receipt_lines,
            "evidence": evidence,
            "wrong": done.wrong,
        })))?;
    } else if sound {
        world.print_fitted(&format!(
            "the book is sound: {} documents, {} orders, {} receipts with {} lines worked out again, {} files of evidence\n",
            done.documents, done.orders, done.receipts, done.receipt_lines, evidence
        ))?;
    } else {
        for wrong in &done.wrong {
            world.print_fitted(&format!("{wrong}\n"))?;
        }
        world.print("leave the book as it is and compare with your last `asordered backup`\n")?;
    }
    Ok(if sound {
        Status::Fine
    } else {
        Status::NotAsOrdered
    })
}
