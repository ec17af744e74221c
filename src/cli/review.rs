//! `asordered review`: the suppliers of a month and the twelve that end with it. Judges nobody; that is `review/`.

pub mod letter;
pub mod why;

use crate::book::Book;
use crate::cli::Status;
use crate::cli::check::wrote;
use crate::cli::failure::Failure;
use crate::cli::output::{self, Output};
use crate::cli::shop::read_book;
use crate::cli::world::World;
use crate::files;
use crate::intake;
use crate::model::words::near;
use crate::report::{json, review as report};
use crate::review::month::{Month, Period};
use crate::review::pages::{self, SupplierPage};
use std::path::PathBuf;

/// Review the suppliers of a month and the twelve that end with it
#[derive(Debug, clap::Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "\
    Examples:\n  asordered review --html review.html\n  asordered review --supplier quillfeather --month 2026-03\n  \
    asordered review --why deliveries-as-ordered --supplier quillfeather\n  asordered review letter quillfeather"
)]
pub struct Review {
    /// What to do instead.
    #[command(subcommand)]
    pub what: Option<What>,
    /// Review this month; else the newest in the book that is over
    #[arg(long, value_name = "YYYY-MM")]
    pub month: Option<Month>,
    /// Show the page of one supplier
    #[arg(long, value_name = "S")]
    pub supplier: Option<String>,
    /// Write the pages with their charts to FILE
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
    /// Write the figures to FILE
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// List the receipts, findings and claims behind a figure, by its short name
    #[arg(long, value_name = "FIGURE", conflicts_with_all = ["html", "csv"])]
    pub why: Option<String>,
    /// With --why: those of the month alone, not of the twelve
    #[arg(long, requires = "why")]
    pub month_only: bool,
}

/// What else a review does.
#[derive(Debug, clap::Subcommand)]
pub enum What {
    /// Draft the covering letter to a supplier, with the facts of the month
    Letter(letter::Letter),
}

/// Runs it.
///
/// # Errors
/// There is no book or no such supplier; a file cannot be written.
pub fn run(args: &Review, world: &mut World) -> Result<Status, Failure> {
    if let Some(What::Letter(args)) = &args.what {
        return letter::run(args, world);
    }
    let book = read_book(world)?;
    let period = period(&book, args.month, world)?;
    if let Some(name) = &args.why {
        let span = if args.month_only {
            why::Stretch::Month
        } else {
            why::Stretch::Twelve
        };
        return why::run(&book, name, args.supplier.as_deref(), period, span, world);
    }
    let review = review(&book, period, world)?;
    let one = args
        .supplier
        .as_deref()
        .map(|name| page(&review, name))
        .transpose()?;
    let pages: Vec<&SupplierPage> = match one {
        Some(page) => vec![page],
        None => review.suppliers.iter().collect(),
    };
    let outputs: Vec<Output<'_>> = [("--html", &args.html), ("--csv", &args.csv)]
        .into_iter()
        .filter_map(|(option, path)| path.as_deref().map(|path| Output { option, path }))
        .collect();
    output::places(&outputs, &[], None, world)?;
    if let Some(path) = &args.html {
        let html = report::page::page(&review, one.is_none(), &pages)
            .map_err(|error| Failure::error(format!("cannot lay out the page: {error}")))?;
        files::write(path, html.as_bytes())?;
        wrote(path);
    }
    if let Some(path) = &args.csv {
        files::write(path, report::csv::csv(&review).as_bytes())?;
        wrote(path);
    }
    if world.json {
        world.print(&json::printed(&report::json::review(&review, &pages)))?;
    } else if let Some(page) = one {
        world.print(&report::terminal::one(
            &review,
            page,
            world.width,
            world.ink,
        ))?;
    } else {
        world.print(&report::terminal::all(&review, world.width, world.ink))?;
    }
    Ok(Status::Fine)
}

/// Returns the period to review: the month named, else the newest in the book that is over.
fn period(book: &Book, month: Option<Month>, world: &World) -> Result<Period, Failure> {
    let this = Month::of(world.today);
    let month = match month {
        Some(month) if month > this => {
            return Err(
                Failure::error(format!("{} has not begun", month.words())).hint(format!(
                    "today is {}; `--month {}` is the last that is over",
                    world.today,
                    this.back(1)
                )),
            );
        }
        Some(month) => month,
        None => book
            .newest_month()?
            .map_or(this.back(1), |newest| newest.min(this.back(1))),
    };
    Ok(Period::new(month, world.today))
}

/// Works the review out from the book.
fn review(book: &Book, period: Period, world: &World) -> Result<pages::Review, Failure> {
    let facts = book.review(period)?;
    let shop = shop_name(book, world)?;
    Ok(pages::review(&facts, period, shop.as_deref()))
}

fn shop_name(book: &Book, world: &World) -> Result<Option<String>, Failure> {
    let path = world.shop_folder().join("shop.yaml");
    let text = if path.is_file() {
        Some(files::read_text(&path)?)
    } else {
        book.kept_parties("")?.0
    };
    match text {
        Some(text) => Ok(Some(intake::shop(&path.display().to_string(), &text)?.name)),
        None => Ok(None),
    }
}

/// Returns a supplier's page.
fn page<'r>(review: &'r pages::Review, name: &str) -> Result<&'r SupplierPage, Failure> {
    review.page(name).ok_or_else(|| {
        let names = review.suppliers.iter().map(|page| page.supplier.as_str());
        let failure = Failure::error(format!(
            "nothing is known of supplier `{name}` in {}",
            review.period.words()
        ));
        match near(name, names.clone()) {
            Some(near) => failure.hint(format!("did you mean `{near}`?")),
            None => failure.hint(format!(
                "there are {}",
                names.collect::<Vec<_>>().join(", ")
            )),
        }
    })
}
