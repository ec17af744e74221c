//! The shop's folder and its book, as commands need them. Shows nothing.

use crate::book::Book;
use crate::book::claims::Letter;
use crate::book::document::Document;
use crate::book::record::Terms;
use crate::claim::letter::Templates;
use crate::cli::failure::Failure;
use crate::cli::paper::Papers;
use crate::cli::world::World;
use crate::files;
use crate::intake;
use crate::model::problem::Problem;
use crate::model::spot::Spot;
use chrono::NaiveDate;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Opens the book for reading.
///
/// # Errors
/// There is none, or it cannot be read.
pub fn read_book(world: &World) -> Result<Book, Failure> {
    Ok(Book::read(&world.book_file())?)
}

/// Opens the book for writing; makes it in a shop's folder that has none yet.
///
/// # Errors
/// The folder is no shop's; the book cannot be written.
pub fn write_book(world: &World) -> Result<Book, Failure> {
    let file = world.book_file();
    let folder = world.shop_folder();
    let named = world.book.is_some() || world.shop.is_some();
    if !named && !file.exists() && !folder.join("shop.yaml").is_file() {
        return Err(
            Failure::error("this folder is no shop's: it has no shop.yaml and no book")
                .hint("go to the shop's folder, or name it with `--shop DIR`")
                .hint("`asordered schema shop` tells what stands in shop.yaml"),
        );
    }
    Ok(Book::write(&file)?)
}

/// Reads a file as a document for the book.
///
/// # Errors
/// It cannot be read.
pub fn document(path: &Path) -> Result<Document, Failure> {
    Ok(Document {
        file: path.display().to_string(),
        text: files::read_text(path)?,
    })
}

/// Refuses a paper whose date lies after today: a slip of the pen that would make everything after it wrong.
///
/// # Errors
/// It lies after today; at its line in the file.
pub fn not_later(
    document: &Document,
    what: &str,
    date: NaiveDate,
    world: &World,
) -> Result<(), Failure> {
    if date <= world.today {
        return Ok(());
    }
    let (line, column) = document
        .text
        .lines()
        .enumerate()
        .find_map(|(place, line)| Some((place + 1, line.find("date:")? + 1)))
        .unwrap_or((1, 1));
    let spot = Spot {
        file: document.file.as_str().into(),
        line,
        column,
    };
    Err(Failure::Problems(vec![
        Problem::new(
            &spot,
            format!("{what} on {date}, which lies after today, {}", world.today),
        )
        .hint("look at the date again; `--today` names another day as today"),
    ]))
}

/// Returns the supplier's and the shop's file, where the shop's folder has them.
///
/// # Errors
/// One that is there cannot be read.
pub fn terms(world: &World, supplier: &str) -> Result<Terms, Failure> {
    Ok(Terms {
        supplier: there(supplier_file(world, supplier))?,
        shop: there(world.shop_folder().join("shop.yaml"))?,
    })
}

fn supplier_file(world: &World, supplier: &str) -> PathBuf {
    world
        .shop_folder()
        .join("suppliers")
        .join(format!("{supplier}.yaml"))
}

fn there(path: PathBuf) -> Result<Option<Document>, Failure> {
    if path.is_file() {
        document(&path).map(Some)
    } else {
        Ok(None)
    }
}

/// Returns the papers of an order from the book, with the supplier's and the shop's file as they stand in the folder
/// today, else as the book last knew them.
///
/// # Errors
/// The book does not have the order; a file of the folder has problems.
pub fn papers(book: &Book, order: &str, world: &World) -> Result<Papers, Failure> {
    let kept = book.papers(order)?;
    let terms = terms(world, &kept.order.supplier)?;
    let mut problems = Vec::new();
    let supplier = reread(terms.supplier, intake::supplier, &mut problems)
        .or_else(|| kept.supplier.map(Arc::unwrap_or_clone));
    let shop = reread(terms.shop, intake::shop, &mut problems)
        .or_else(|| kept.shop.map(Arc::unwrap_or_clone));
    if !problems.is_empty() {
        return Err(Failure::Problems(problems));
    }
    Ok(Papers {
        order: Arc::unwrap_or_clone(kept.order),
        receipts: kept.receipts,
        invoices: kept.invoices,
        supplier,
        shop,
        folder: Some(world.shop_folder().to_path_buf()),
    })
}

fn reread<T>(
    file: Option<Document>,
    read: fn(&str, &str) -> Result<T, Vec<Problem>>,
    problems: &mut Vec<Problem>,
) -> Option<T> {
    let file = file?;
    match read(&file.file, &file.text) {
        Ok(record) => Some(record),
        Err(more) => {
            problems.extend(more);
            None
        }
    }
}

/// Returns the folder of a claim's papers.
pub fn claim_folder(world: &World, claim: &str) -> PathBuf {
    world.shop_folder().join("claims").join(claim)
}

/// Returns the place of a file in a claim's folder; no link leads out of the shop on the way.
///
/// # Errors
/// Something on the way is a link, or the file is none.
pub fn claim_file(world: &World, claim: &str, name: &str) -> Result<PathBuf, Failure> {
    Ok(files::own(
        world.shop_folder(),
        format!("claims/{claim}/{name}"),
    )?)
}

/// Refuses before a claim is recorded whose papers could not be written, because a link leads out of the shop.
///
/// # Errors
/// The folder of claims is a link.
pub fn claims_are_own(world: &World) -> Result<(), Failure> {
    claim_file(world, "new", "letter.txt").map(|_| ())
}

/// Writes a letter of the book into its claim's folder, for reading and editing.
///
/// # Errors
/// The disk refuses; a link leads out of the shop.
pub fn write_letter(world: &World, claim: &str, letter: &Letter) -> Result<(), Failure> {
    let text = claim_file(world, claim, "letter.txt")?;
    let html = claim_file(world, claim, "letter.html")?;
    files::make_folder(&claim_folder(world, claim))?;
    files::write(&text, letter.text.as_bytes())?;
    if let Some(page) = &letter.html {
        files::write(&html, page.as_bytes())?;
    }
    Ok(())
}

/// Returns the letter templates, the shop's own in the place of the built-in ones.
///
/// # Errors
/// Problems of the shop's own templates.
pub fn templates(world: &World) -> Result<Templates, Failure> {
    templates_in(Some(world.shop_folder()))
}

/// Returns the letter templates with those of a shop's folder, where there is one.
///
/// # Errors
/// Problems of the shop's own templates; one that is a link.
pub fn templates_in(folder: Option<&Path>) -> Result<Templates, Failure> {
    let mut own = Vec::new();
    let Some(folder) = folder else {
        return Ok(Templates::with(&own)?);
    };
    for path in files::list(&folder.join("templates"))? {
        let Some(file) = path.file_name() else {
            continue;
        };
        let name = file.to_string_lossy().into_owned();
        if name.ends_with(".hbs") && !OTHERS.contains(&name.as_str()) {
            files::own(folder, Path::new("templates").join(file))?;
            let shown = path
                .strip_prefix(".")
                .unwrap_or(&path)
                .display()
                .to_string();
            own.push((name, shown, files::read_text(&path)?));
        }
    }
    Ok(Templates::with(&own)?)
}

/// Templates of a shop that are no letters.
const OTHERS: &[&str] = &["tag.html.hbs", "answer.html.hbs"];
