//! `asordered receive`: records what arrived, from a file or by asking. Judges nothing; it shows the check's answer.

pub mod dialog;
pub mod script;

use crate::book::Book;
use crate::book::document::Document;
use crate::book::record::{Outcome, Recorded, Terms};
use crate::check::check;
use crate::claim::{self, standing};
use crate::cli::Status;
use crate::cli::check::{case, show};
use crate::cli::evidence::{self, Source};
use crate::cli::failure::{Failure, notice};
use crate::cli::order::{outcome_json, said};
use crate::cli::paper::Papers;
use crate::cli::receive::dialog::{Answers, Ended, draft_file};
use crate::cli::receive::script::{Setting, Written};
use crate::cli::shop::{document, papers, terms, write_book};
use crate::cli::world::{World, now};
use crate::files;
use crate::intake;
use crate::model::answer::Answer;
use crate::report::json;
use std::io::{self, BufRead};
use std::path::{Path, PathBuf};

/// Record what arrived; without a file it asks, line by line
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Without FILE the count is blind: what was ordered is shown once you have counted.\n\
    `back` goes back, `stop` keeps the answers for later; the same command goes on.\n\n\
    Exit status: 0 recorded and as ordered, 1 recorded and not as ordered, 2 not recorded."
)]
pub struct Receive {
    /// The order's number
    #[arg(value_name = "PO")]
    pub order: String,
    /// The receipt's file
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// Put a changed receipt in the place of the one in the book; the old one stays in the journal
    #[arg(long, requires = "file")]
    pub replace: bool,
    /// Show what was ordered before the count
    #[arg(long, conflicts_with = "file")]
    pub show_expected: bool,
}

/// Runs it.
///
/// # Errors
/// Problems of the file; the book refuses; the clerk stopped.
pub fn run(args: &Receive, world: &mut World) -> Result<Status, Failure> {
    match &args.file {
        Some(file) => from_file(args, file, world),
        None => by_asking(args, world),
    }
}

fn from_file(args: &Receive, file: &Path, world: &mut World) -> Result<Status, Failure> {
    let document = document(file)?;
    let receipt = intake::receipt(&document.file, &document.text)?;
    let mut book = write_book(world)?;
    let supplier = book.order_listed(&args.order)?.supplier;
    let terms = terms(world, &supplier)?;
    let gathered = evidence::gather(world, &receipt, Source::Beside(file.parent()))?;
    let outcome = book.add_receipt(
        Some(&args.order),
        &document,
        &terms,
        &gathered.evidence,
        args.replace,
        now(),
    )?;
    evidence::copy(world, &gathered)?;
    told(&book, &outcome, world)
}

fn by_asking(args: &Receive, world: &mut World) -> Result<Status, Failure> {
    let mut book = write_book(world)?;
    let before = papers(&book, &args.order, world)?;
    let known = book.papers(&args.order)?;
    let so_far = check(&known.case(None))?;
    let setting = Setting {
        order: &before.order,
        number: book.next_receipt(&args.order)?,
        today: world.today,
        before: so_far
            .lines
            .iter()
            .map(|line| (!line.lots.is_empty()).then(|| line.arrived.to_string()))
            .collect(),
        show_expected: args.show_expected,
    };
    let mut answers = Answers::take_up(draft_file(world, &args.order)?, &args.order)?;
    let mut input = io::stdin().lock();
    loop {
        let written = match dialog::ask(&setting, &mut answers, &mut input, world)? {
            Ended::Written(written) => written,
            Ended::Stopped => return Err(stopped(&args.order)),
        };
        match confirm(&written, &before, &mut input, world)? {
            Wish::Record => {}
            Wish::Back => {
                answers.back()?;
                continue;
            }
            Wish::Stop => return Err(stopped(&args.order)),
        }
        let outcome = record(&mut book, args, &written, world)?;
        answers.forget()?;
        world.print(&format!(
            "{} on order {}\n",
            said("receipt", &outcome),
            outcome.order
        ))?;
        return status(&book, &outcome.order, world).map(|(_, _, status)| status);
    }
}

fn stopped(order: &str) -> Failure {
    Failure::error("stopped; nothing is recorded yet, your answers are kept").hint(format!(
        "`asordered receive {order}` goes on where you stopped"
    ))
}

enum Wish {
    Record,
    Back,
    Stop,
}

/// Shows the answer as it would be, and asks whether to record it.
fn confirm(
    written: &Written,
    before: &Papers,
    input: &mut dyn BufRead,
    world: &mut World,
) -> Result<Wish, Failure> {
    let name = format!("receipts/{}.yaml", written.number);
    let told = intake::receipt(&name, &written.text)
        .map_err(Failure::Problems)
        .and_then(|receipt| {
            let mut receipts = before.receipts.clone();
            receipts.push(receipt);
            let papers = Papers {
                order: before.order.clone(),
                receipts,
                invoices: before.invoices.clone(),
                supplier: before.supplier.clone(),
                shop: before.shop.clone(),
                folder: before.folder.clone(),
            };
            let answer = check(&case(&papers, None))?;
            show(&papers, &answer, None, world)
        });
    let possible = match told {
        Ok(()) => true,
        Err(Failure::Problems(problems)) => {
            for problem in problems {
                world.print(&format!("  {}\n", problem.text))?;
            }
            false
        }
        Err(failure) => return Err(failure),
    };
    loop {
        world.print(if possible {
            "record this? `y` records, `back` changes the last answer, `stop` keeps it for later: "
        } else {
            "this cannot be recorded; `back` changes the last answer, `stop` keeps it for later: "
        })?;
        world.finish()?;
        let Some(typed) = dialog::line(input)? else {
            return Ok(Wish::Stop);
        };
        match typed.trim().to_lowercase().as_str() {
            "y" | "yes" if possible => return Ok(Wish::Record),
            "back" | "n" | "no" => return Ok(Wish::Back),
            "stop" => return Ok(Wish::Stop),
            _ => {}
        }
    }
}

/// Records the receipt; once it is recorded, copies the photographs and writes the receipt's file.
fn record(
    book: &mut Book,
    args: &Receive,
    written: &Written,
    world: &World,
) -> Result<Outcome, Failure> {
    let file = files::own(
        world.shop_folder(),
        format!("receipts/{}.yaml", written.number),
    )?;
    if file.exists() {
        return Err(
            Failure::error(format!("`{}` is there already", file.display()))
                .hint("`back` and give the receipt another number"),
        );
    }
    let document = Document {
        file: file.display().to_string(),
        text: written.text.clone(),
    };
    let receipt = intake::receipt(&document.file, &document.text)?;
    let supplier = book.order_listed(&args.order)?.supplier;
    let terms: Terms = terms(world, &supplier)?;
    let mut given = Vec::with_capacity(written.photos.len());
    for (from, to) in &written.photos {
        let source = dialog::find(from, world)
            .ok_or_else(|| Failure::error(format!("the photograph `{from}` is no longer there")))?;
        given.push((source, to.clone()));
    }
    let gathered = evidence::gather(world, &receipt, Source::Given(&given))?;
    let outcome = book.add_receipt(
        Some(&args.order),
        &document,
        &terms,
        &gathered.evidence,
        false,
        now(),
    )?;
    evidence::copy(world, &gathered)?;
    match outcome.recorded {
        // Unchanged: it was recorded before the disk refused the rest.
        Recorded::Added | Recorded::Unchanged => files::write(&file, written.text.as_bytes())?,
        Recorded::Replaced => {}
    }
    Ok(outcome)
}

/// Shows what recording did and the answer over all receipts.
fn told(book: &Book, outcome: &Outcome, world: &mut World) -> Result<Status, Failure> {
    let (papers, answer, status) = status(book, &outcome.order, world)?;
    let rest = standing::unclaimed(&answer, &book.claims_now(&outcome.order)?);
    let claim = claim::summary(&claim::draft(&case(&papers, None), &rest, world.today));
    if world.json {
        let mut value = outcome_json(outcome);
        value["answer"] = json::answer(&answer, claim.as_ref());
        world.print(&json::printed(&value))?;
        return Ok(status);
    }
    world.print(&format!(
        "{} on order {}\n\n",
        said("receipt", outcome),
        outcome.order
    ))?;
    for number in &outcome.reopened {
        notice(&format!(
            "claim {number} is open again: what came to make it right is wrong"
        ));
    }
    show(&papers, &answer, claim.as_ref(), world)?;
    Ok(status)
}

fn status(book: &Book, order: &str, world: &World) -> Result<(Papers, Answer, Status), Failure> {
    let papers = papers(book, order, world)?;
    let answer = check(&case(&papers, None))?;
    let status = if answer.as_ordered {
        Status::Fine
    } else {
        Status::NotAsOrdered
    };
    Ok((papers, answer, status))
}
