//! `asordered review letter`: drafts the covering letter to a supplier. Sends nothing.

use crate::claim::letter::render_review;
use crate::cli::Status;
use crate::cli::check::wrote;
use crate::cli::failure::Failure;
use crate::cli::output::{self, Output};
use crate::cli::review::{page, period, review};
use crate::cli::shop::{read_book, templates, terms};
use crate::cli::world::World;
use crate::files;
use crate::intake;
use crate::report::json::printed;
use crate::review::letter::letter;
use crate::review::month::Month;
use serde_json::json;
use std::path::PathBuf;

/// Draft the covering letter to a supplier, with the facts of the month
#[derive(Debug, clap::Args)]
pub struct Letter {
    /// The supplier
    #[arg(value_name = "SUPPLIER")]
    pub supplier: String,
    /// Of this month; else the newest in the book that is over
    #[arg(long, value_name = "YYYY-MM")]
    pub month: Option<Month>,
    /// Write it as a page to FILE
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
}

/// Runs it.
///
/// # Errors
/// Nothing is known of the supplier; the shop's or the supplier's file is missing; a template has problems.
pub fn run(args: &Letter, world: &mut World) -> Result<Status, Failure> {
    let book = read_book(world)?;
    let period = period(&book, args.month, world)?;
    let review = review(&book, period, world)?;
    let page = page(&review, &args.supplier)?;
    let now = terms(world, &page.supplier)?;
    let (kept_shop, kept_supplier) = book.kept_parties(&page.supplier)?;
    let (shop_file, shop_text) = match now.shop {
        Some(document) => (document.file, Some(document.text)),
        None => ("shop.yaml".to_owned(), kept_shop),
    };
    let (supplier_file, supplier_text) = match now.supplier {
        Some(document) => (document.file, Some(document.text)),
        None => (format!("suppliers/{}.yaml", page.supplier), kept_supplier),
    };
    let (Some(shop_text), Some(supplier_text)) = (shop_text, supplier_text) else {
        return Err(
            Failure::error("a letter needs the shop's and the supplier's file").hint(format!(
                "write shop.yaml and {supplier_file} in the shop's folder"
            )),
        );
    };
    let shop = intake::shop(&shop_file, &shop_text)?;
    let supplier = intake::supplier(&supplier_file, &supplier_text)?;
    let data = letter(page, period, &shop, &supplier, world.today);
    let letter = render_review(&data, &templates(world)?)?;
    if let Some(path) = &args.html {
        let option = "--html";
        output::places(&[Output { option, path }], &[], None, world)?;
        files::write(path, letter.html.as_bytes())?;
        wrote(path);
    }
    if world.json {
        world.print(&printed(&json!({
            "subject": letter.subject,
            "text": letter.text,
            "html": letter.html,
        })))?;
    } else {
        world.print(&letter.text)?;
    }
    Ok(Status::Fine)
}
