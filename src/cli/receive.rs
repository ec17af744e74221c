//! `asordered receive`: records what arrived, from a file or by asking. Judges nothing; it shows the check's answer.

pub mod dialog;
pub mod script;

use crate::book::Book;
use crate::book::document::Document;
use crate::book::record::{Outcome, Recorded, Terms};
use crate::check::check;
use crate::claim;
use crate::claim::cycle::Step;
use crate::claim::replaced::{self, replaced};
use crate::claim::standing::{self, ClaimNow};
use crate::cli::Status;
use crate::cli::check::{case, show_with_claims};
use crate::cli::evidence::{self, Source};
use crate::cli::failure::{Failure, notice};
use crate::cli::order::{outcome_json, said};
use crate::cli::paper::Papers;
use crate::cli::receive::dialog::{Answers, Ended, Sense, draft_file};
use crate::cli::receive::script::{Setting, Written, completed, follow};
use crate::cli::shop::{document, not_later, papers, read_book, terms, write_book};
use crate::cli::world::{World, now};
use crate::files;
use crate::intake;
use crate::model::answer::{Answer, ClaimSummary};
use crate::model::order::OrderLine;
use crate::model::problem::Problem;
use crate::report::json;
use crate::report::terminal::wrap::Page;
use crate::report::todo::{Claimed, rows};
use chrono::NaiveDate;
use std::io::{self, BufRead};
use std::path::{Path, PathBuf};

/// Record what arrived; without a file it asks, line by line
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Without FILE the count is blind: what was ordered is shown once you have counted.\n\
    `?` tells what can be typed, `back` goes back, `stop` keeps the answers for later;\n\
    the same command goes on.\n\n\
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
    /// Take out of the book a receipt that was recorded by mistake; it stays in the journal
    #[arg(long, value_name = "RECEIPT", requires = "reason", conflicts_with_all = ["file", "show_expected"])]
    pub void: Option<String>,
    /// Why it is taken out
    #[arg(long, value_name = "REASON", requires = "void")]
    pub reason: Option<String>,
    /// Show what was ordered before the count
    #[arg(long, conflicts_with = "file")]
    pub show_expected: bool,
}

/// Runs it.
///
/// # Errors
/// Problems of the file; the book refuses; the clerk stopped.
pub fn run(args: &Receive, world: &mut World) -> Result<Status, Failure> {
    match (&args.file, &args.void, &args.reason) {
        (_, Some(receipt), Some(reason)) => void(&args.order, receipt, reason, world),
        (Some(file), _, _) => from_file(args, file, world),
        (None, _, _) => by_asking(args, world),
    }
}

fn void(order: &str, receipt: &str, reason: &str, world: &mut World) -> Result<Status, Failure> {
    let mut book = open_for(world, order)?;
    let reopened = book.void_receipt(order, receipt, reason, now())?;
    if world.json {
        world.print(&json::printed(&serde_json::json!({
            "order": order, "receipt": receipt, "recorded": "void", "reopened": reopened,
        })))?;
    } else {
        world.print_fitted(&format!(
            "receipt {receipt} no longer counts on order {order}; `asordered history {order}` keeps it\n"
        ))?;
        tell_reopened(&reopened, "what came to make it right does so no longer");
    }
    let file = world
        .shop_folder()
        .join("receipts")
        .join(format!("{receipt}.yaml"));
    if file.is_file() {
        notice(&format!(
            "its file {} is still there; move it away before its number is used again",
            file.display()
        ));
    }
    Ok(Status::Fine)
}

fn from_file(args: &Receive, file: &Path, world: &mut World) -> Result<Status, Failure> {
    let document = document(file)?;
    let receipt = intake::receipt(&document.file, &document.text)?;
    not_later(&document, "received", receipt.date, world)?;
    let mut book = open_for(world, &args.order)?;
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
    let mut book = open_for(world, &args.order)?;
    let before = papers(&book, &args.order, world)?;
    let so_far = check(&case(&before, None))?;
    let setting = Setting {
        order: &before.order,
        number: book.next_receipt(&args.order)?,
        today: world.today,
        before: so_far
            .lines
            .iter()
            .map(|line| (!line.lots.is_empty()).then_some(line.arrived))
            .collect(),
        show_expected: args.show_expected,
    };
    let folder = world.shop_folder().join("receipts");
    let sense = |answers: &[String]| -> Sense {
        let Some(mut written) = completed(&setting, answers) else {
            return Sense::default();
        };
        if written.counts_nothing() {
            if follow(&setting, answers).is_ok() {
                return Sense {
                    problems: vec![NOTHING.to_owned()],
                    nothing: true,
                    ..Sense::default()
                };
            }
            // While the questions go on, nothing counted yet is no mistake.
            if let Some(first) = before.order.lines.first() {
                written.text.push_str(&nothing_of(first));
            }
        }
        // What the book cannot say now it says when the receipt is recorded.
        let there = book.has_receipt(&written.number).unwrap_or_default()
            || folder.join(format!("{}.yaml", written.number)).exists();
        let mut sense = made(&written, &before).map_or_else(
            |problems| Sense {
                problems: problems.into_iter().map(words).collect(),
                ..Sense::default()
            },
            |(_, answer)| Sense {
                notes: answer.notes,
                ..Sense::default()
            },
        );
        if there {
            sense
                .problems
                .push(format!("receipt `{}` is there already", written.number));
        }
        sense
    };
    let mut answers = Answers::take_up(draft_file(world, &args.order)?, &args.order)?;
    let mut input = io::stdin().lock();
    loop {
        let written = match dialog::ask(&setting, &mut answers, &sense, &mut input, world)? {
            Ended::Written(written) => written,
            Ended::Stopped => return Err(stopped(&args.order)),
        };
        // What is wrong in the end leads to the question that brought it.
        if let Some(problem) = sense(answers.all()).problems.first() {
            let at = culprit(&setting, answers.all(), &sense, problem);
            world.print_fitted(&format!("this cannot be recorded: {problem}\n"))?;
            answers.cut(at)?;
            continue;
        }
        match confirm(&book, &written, &before, &mut input, world)? {
            Wish::Record => {}
            Wish::Back => {
                answers.back()?;
                continue;
            }
            Wish::Over => {
                answers.start_over()?;
                continue;
            }
            Wish::Stop => return Err(stopped(&args.order)),
        }
        let outcome = record(&mut book, args, &written, world)?;
        answers.forget()?;
        return told_in_short(&book, &outcome, world);
    }
}

/// What is said where the questions end and no goods were counted; it is no fault of the last question.
const NOTHING: &str =
    "nothing was counted, so there is nothing to record; `back` returns to the counts";

/// Writes that nothing of a line came.
fn nothing_of(line: &OrderLine) -> String {
    format!(
        "  - {{line: {}, quantity: \"0 {}\"}}\n",
        serde_json::Value::from(line.line.as_str()),
        line.quantity.unit.name()
    )
}

/// Returns how many answers stand before the one that brought a problem; before the first line where every answer has it.
fn culprit(
    setting: &Setting<'_>,
    answers: &[String],
    sense: &dyn Fn(&[String]) -> Sense,
    problem: &String,
) -> usize {
    let has = |many: usize| sense(&answers[..many]).problems.contains(problem);
    if has(0) {
        return (0..answers.len())
            .find(|many| {
                follow(setting, &answers[..*many]).is_err_and(|question| !question.about.is_empty())
            })
            .unwrap_or_default();
    }
    (0..answers.len())
        .rev()
        .find(|many| !has(*many))
        .unwrap_or_default()
}

/// Opens the book for an order that is in it, and brings it up to date; makes no book where there is none.
fn open_for(world: &World, order: &str) -> Result<Book, Failure> {
    if !world.book_file().exists() {
        // Refused with what can be done instead.
        return read_book(world);
    }
    let book = write_book(world)?;
    book.order_listed(order)?;
    Ok(book)
}

fn stopped(order: &str) -> Failure {
    Failure::error("stopped; nothing is recorded yet, your answers are kept").hint(format!(
        "`asordered receive {order}` goes on where you stopped"
    ))
}

fn words(problem: Problem) -> String {
    match problem.hint {
        Some(hint) => format!("{} ({hint})", problem.text),
        None => problem.text,
    }
}

enum Wish {
    Record,
    Back,
    Over,
    Stop,
}

/// Returns the papers with a receipt that is not recorded yet, and the answer they make.
fn made(written: &Written, before: &Papers) -> Result<(Papers, Answer), Vec<Problem>> {
    let name = format!("receipts/{}.yaml", written.number);
    let mut receipts = before.receipts.clone();
    receipts.push(intake::receipt(&name, &written.text)?);
    let papers = Papers {
        order: before.order.clone(),
        receipts,
        invoices: before.invoices.clone(),
        supplier: before.supplier.clone(),
        shop: before.shop.clone(),
        folder: before.folder.clone(),
    };
    let answer = check(&case(&papers, None))?;
    Ok((papers, answer))
}

/// Shows the answer as it would be, and asks whether to record it.
fn confirm(
    book: &Book,
    written: &Written,
    before: &Papers,
    input: &mut dyn BufRead,
    world: &mut World,
) -> Result<Wish, Failure> {
    let (papers, answer) = made(written, before)?;
    let claims = book.claims_now(&papers.order.number)?;
    let answer = replaced(&papers.order, answer, &claims);
    let claim = summary(&papers, &answer, &claims, world.today);
    world.print("\n")?;
    show_with_claims(&papers, &answer, claim.as_ref(), &claims, world)?;
    world.print(
        "\n`y` records it, `n` keeps your answers for later, `back` changes the last one\n",
    )?;
    loop {
        world.print("record this? ")?;
        world.finish()?;
        let Some(typed) = dialog::line(input)? else {
            return Ok(Wish::Stop);
        };
        match typed.trim().to_lowercase().as_str() {
            "y" | "yes" => return Ok(Wish::Record),
            "back" => return Ok(Wish::Back),
            "start over" => return Ok(Wish::Over),
            "n" | "no" | "stop" => return Ok(Wish::Stop),
            _ => world.print("  type `y`, `n`, `back` or `start over`\n")?,
        }
    }
}

/// Returns what no claim asks for yet, in one line.
fn summary(
    papers: &Papers,
    answer: &Answer,
    claims: &[ClaimNow],
    today: NaiveDate,
) -> Option<ClaimSummary> {
    let rest = standing::unclaimed(answer, claims);
    claim::summary(&claim::draft(&case(papers, None), &rest, today))
}

/// Says that it is recorded, and what can be claimed by when; the answer itself was shown before.
fn told_in_short(book: &Book, outcome: &Outcome, world: &mut World) -> Result<Status, Failure> {
    let (papers, answer, status) = status(book, &outcome.order, world)?;
    let claims = book.claims_now(&outcome.order)?;
    world.print_fitted(&format!(
        "{} on order {}\n",
        said("receipt", outcome),
        outcome.order
    ))?;
    if let Some(claim) = summary(&papers, &answer, &claims, world.today) {
        let mut page = Page::new(world.width);
        let rows = rows(
            &answer,
            &Claimed {
                new: Some(&claim),
                ..Claimed::default()
            },
            Some(world.today),
        );
        for (label, words) in rows
            .iter()
            .filter(|(label, _)| ["claim", "notice by"].contains(label))
        {
            page.labelled(label, words);
        }
        page.labelled("next", &format!("asordered claim draft {}", outcome.order));
        world.print(&page.text())?;
    }
    offer_to_settle(&claims, &outcome.number, world)?;
    Ok(status)
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
    let claims = book.claims_now(&outcome.order)?;
    let claim = summary(&papers, &answer, &claims, world.today);
    if world.json {
        let mut value = outcome_json(outcome);
        value["answer"] = json::answer(&answer, claim.as_ref());
        world.print(&json::printed(&value))?;
        return Ok(status);
    }
    world.print_fitted(&format!(
        "{} on order {}\n\n",
        said("receipt", outcome),
        outcome.order
    ))?;
    tell_reopened(&outcome.reopened, "what came to make it right is wrong");
    if outcome.recorded == Recorded::Replaced {
        tell_no_longer_so(&answer, &claims, &outcome.number);
    }
    show_with_claims(&papers, &answer, claim.as_ref(), &claims, world)?;
    offer_to_settle(&claims, &outcome.number, world)?;
    Ok(status)
}

/// Says what a claim about a receipt that was put right says and is no longer so.
fn tell_no_longer_so(answer: &Answer, claims: &[ClaimNow], receipt: &str) {
    for claim in claims.iter().filter(|claim| {
        !claim.state.is_closed()
            && claim.came.receipts.is_empty()
            && claim.receipts.iter().any(|about| about == receipt)
    }) {
        for words in standing::no_longer_so(answer, claim) {
            let number = &claim.number;
            notice(&format!(
                "claim {number} says what is no longer so: {words}"
            ));
        }
    }
}

fn tell_reopened(claims: &[String], why: &str) {
    for number in claims {
        notice(&format!("claim {number} is open again: {why}"));
    }
}

fn offer_to_settle(claims: &[ClaimNow], receipt: &str, world: &mut World) -> Result<(), Failure> {
    for number in may_settle(claims, receipt) {
        world.print_fitted(&format!(
            "if {receipt} makes claim {number} right: `asordered claim settle {number} --receipt {receipt}`\n"
        ))?;
    }
    Ok(())
}

/// Returns the claims that a receipt may have come for.
fn may_settle<'c>(claims: &'c [ClaimNow], receipt: &str) -> Vec<&'c str> {
    claims
        .iter()
        .filter(|claim| claim.state.allows(Step::Settle))
        .filter(|claim| !claim.receipts.iter().any(|known| known == receipt))
        .filter(|claim| !claim.came.receipts.iter().any(|known| known == receipt))
        .map(|claim| claim.number.as_str())
        .collect()
}

fn status(book: &Book, order: &str, world: &World) -> Result<(Papers, Answer, Status), Failure> {
    let papers = papers(book, order, world)?;
    let claims = book.claims_now(order)?;
    let answer = replaced::answer(&case(&papers, None), &claims)?;
    let status = if answer.as_ordered {
        Status::Fine
    } else {
        Status::NotAsOrdered
    };
    Ok((papers, answer, status))
}
