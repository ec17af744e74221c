//! `asordered demo`: unpacks the demo shop, which travels inside the program.

pub mod fill;
pub mod goods;
pub mod papers;
pub mod year;

use crate::book::Book;
use crate::book::document::Document;
use crate::book::record::Terms;
use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::world::World;
use crate::files;
use include_dir::{Dir, include_dir};
use std::collections::BTreeMap;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo-orders");

/// Unpack the demo shop into a new folder
#[derive(Debug, clap::Args)]
pub struct Demo {
    /// The folder to make
    #[arg(value_name = "DIR")]
    pub folder: PathBuf,
    /// Fill its book with a year of invented history, April 2025 to March 2026
    #[arg(long)]
    pub year: bool,
    /// With --year: invent another one
    #[arg(long, value_name = "NUMBER", requires = "year", default_value_t = 7)]
    pub seed: u64,
}

/// Runs it.
///
/// # Errors
/// The folder is there already and not empty, or cannot be made.
pub fn run(args: &Demo, world: &mut World) -> Result<Status, Failure> {
    let folder = &args.folder;
    if !files::is_free(folder)? {
        return Err(Failure::error(format!(
            "`{}` is there already and not empty",
            folder.display()
        ))
        .hint("name a new folder; nothing is written over"));
    }
    unpack(&DEMO, folder)?;
    let place = folder.display();
    if args.year {
        let deals = fill(args, world)?;
        return world
            .print(&format!(
                "unpacked the demo shop into {place}, its book filled with {deals} orders of a year; all of it is \
                 invented\n\ntry:  cd {place}\n\
                 \x20     asordered review\n\
                 \x20     asordered review --supplier copperfinch --html copperfinch.html\n\
                 \x20     asordered review --why deliveries-as-ordered --supplier copperfinch\n"
            ))
            .map(|()| Status::Fine);
    }
    world.print(&format!(
        "unpacked the demo shop into {place}; all of it is invented\n\n\
         try:  cd {place}\n\
         \x20     asordered check orders/PO-2107.yaml receipts/RG-311.yaml\n"
    ))?;
    Ok(Status::Fine)
}

/// Fills the book of the folder; returns how many orders it has.
fn fill(args: &Demo, world: &World) -> Result<usize, Failure> {
    let shop = Document {
        file: "shop.yaml".to_owned(),
        text: files::read_text(&args.folder.join("shop.yaml"))?,
    };
    let gorsewick = args.folder.join("suppliers").join("gorsewick.yaml");
    files::write(&gorsewick, papers::GORSEWICK.as_bytes())?;
    let mut terms = BTreeMap::new();
    for supplier in &goods::SUPPLIERS {
        let file = format!("suppliers/{}.yaml", supplier.id);
        let text = files::read_text(&args.folder.join(&file))?;
        let supplier_file = Document { file, text };
        terms.insert(
            supplier.id.to_owned(),
            Terms {
                supplier: Some(supplier_file),
                shop: Some(shop.clone()),
            },
        );
    }
    let deals = year::year(args.seed);
    let count = deals.len();
    let bar = (std::io::stderr().is_terminal() && !world.json)
        .then(|| indicatif::ProgressBar::new(u64::try_from(count).unwrap_or(u64::MAX)));
    let mut book = Book::write(&args.folder.join("asordered.db"))?;
    fill::fill(&mut book, &deals, &terms, &mut |done| {
        if let Some(bar) = &bar {
            bar.set_position(u64::try_from(done).unwrap_or(u64::MAX));
        }
    })?;
    if let Some(bar) = &bar {
        bar.finish_and_clear();
    }
    Ok(count)
}

fn unpack(dir: &Dir<'_>, folder: &Path) -> Result<(), Failure> {
    files::make_folder(folder)?;
    for file in dir.files() {
        if let Some(name) = file.path().file_name() {
            files::write(&folder.join(name), file.contents())?;
        }
    }
    for below in dir.dirs() {
        if let Some(name) = below.path().file_name() {
            unpack(below, &folder.join(name))?;
        }
    }
    Ok(())
}
