//! `asordered check`: compares files, or an order of the book, and answers. Records nothing.

use crate::check::case::Case;
use crate::claim;
use crate::claim::remedy::Remedy;
use crate::claim::replaced;
use crate::claim::standing::{self, ClaimNow};
use crate::cli::Status;
use crate::cli::failure::{Failure, notice};
use crate::cli::letter_file;
use crate::cli::output::{self, Output};
use crate::cli::paper::{self, Papers};
use crate::cli::world::World;
use crate::cli::{shop, story};
use crate::files;
use crate::model::answer::{Answer, ClaimSummary};
use crate::model::money::Money;
use crate::model::visible::on_one_line;
use crate::report::terminal::Beside;
use crate::report::terminal::wrap::Page;
use crate::report::todo::Claimed;
use crate::report::{json, page, terminal};
use chrono::NaiveDate;
use serde_json::json;
use std::path::{Path, PathBuf};

/// Compare receipts with their order
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Exit status: 0 as ordered, 1 not as ordered, 2 could not do it.\n\n\
    Examples:\n  asordered check orders/PO-2107.yaml receipts/RG-311.yaml\n  \
    asordered check PO-2107\n  \
    asordered check orders/PO-2107.yaml receipts/RG-311.yaml --letter letter.txt"
)]
pub struct Check {
    /// The order's file, or the number of an order in the book
    #[arg(value_name = "ORDER")]
    pub order: PathBuf,
    /// Files of its receipts (and invoices)
    #[arg(value_name = "RECEIPT")]
    pub others: Vec<PathBuf>,
    /// Write the draft of the claim letter to FILE (.html for HTML, else text)
    #[arg(long, value_name = "FILE")]
    pub letter: Option<PathBuf>,
    /// Write the answer with pictures of the leaves to FILE
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
}

/// Runs it.
///
/// # Errors
/// Problems in the files; files that cannot be read or written.
pub fn run(args: &Check, world: &mut World) -> Result<Status, Failure> {
    let (papers, claims) = papers(args, world)?;
    // Lone files are checked as of a day only where one was named: what they leave out may well have come.
    let case = case(
        &papers,
        (claims.is_some() || world.today_given).then_some(world.today),
    );
    let now = claims.as_deref().unwrap_or_default();
    let answer = replaced::answer(&case, now)?;
    let rest = standing::unclaimed(&answer, now);
    // An order of which nothing has come is waited for, not claimed.
    let drafts = if papers.receipts.is_empty() {
        Vec::new()
    } else {
        claim::draft(&case, &rest, world.today)
    };
    let claim = claim::summary(&drafts);
    // A letter that cannot be written is told before anything is shown.
    let letters = match &args.letter {
        Some(path) => {
            let folder = papers.folder.as_deref();
            Some(letter_file::drafts(
                path,
                &case,
                &rest,
                &drafts,
                folder,
                world.today,
            )?)
        }
        None => None,
    };
    places(args, &papers, letters.as_deref(), world)?;
    if let Some(letters) = &letters {
        letter_file::write(letters, &answer)?;
    }
    if let Some(path) = &args.html {
        let page = page::answer(
            &answer,
            &beside(&papers, &answer, claim.as_ref(), now, world.today),
        )
        .map_err(|error| Failure::error(format!("cannot make the page: {error}")))?;
        files::write(path, page.as_bytes())?;
        wrote(path);
    }
    // Last, so that what cannot be written is told instead of an answer, never after it.
    match &claims {
        None => show(&papers, &answer, claim.as_ref(), &[], world)?,
        Some(claims) => show_with_claims(&papers, &answer, claim.as_ref(), claims, world)?,
    }
    Ok(if answer.as_ordered {
        Status::Fine
    } else {
        Status::NotAsOrdered
    })
}

/// Looks whether the letters and the page may be written where the user said.
fn places(
    args: &Check,
    papers: &Papers,
    letters: Option<&[letter_file::Draft]>,
    world: &World,
) -> Result<(), Failure> {
    let mut outputs: Vec<Output<'_>> = Vec::new();
    // Where nothing can be claimed the place named is looked at all the same.
    match (letters, &args.letter) {
        (Some([]), Some(path)) => outputs.push(Output {
            option: "--letter",
            path,
        }),
        (letters, _) => outputs.extend(letters.unwrap_or_default().iter().map(|draft| Output {
            option: "--letter",
            path: draft.path(),
        })),
    }
    outputs.extend(args.html.iter().map(|path| Output {
        option: "--html",
        path,
    }));
    let mut inputs: Vec<&Path> = args.others.iter().map(PathBuf::as_path).collect();
    // A number of the book names no file.
    if !inputs.is_empty() {
        inputs.push(&args.order);
    }
    output::places(&outputs, &inputs, papers.folder.as_deref(), world)
}

/// Returns the papers, and the order's claims where it comes from the book.
fn papers(args: &Check, world: &World) -> Result<(Papers, Option<Vec<ClaimNow>>), Failure> {
    if !args.others.is_empty() {
        let papers = paper::open(&args.order, &args.others, world.shop.as_deref())?;
        return Ok((papers, None));
    }
    if args.order.is_file() {
        return Err(Failure::error(
            "no receipt named, expected `asordered check ORDER.yaml RECEIPT.yaml`",
        )
        .hint("name the receipt's file after the order's"));
    }
    let number = args.order.to_string_lossy();
    let book = shop::read_book(world)?;
    Ok((
        shop::papers(&book, &number, world)?,
        Some(book.claims_now(&number)?),
    ))
}

/// Prints the answer with what the order's claims make of it.
///
/// # Errors
/// The output cannot be written.
pub fn show_with_claims(
    papers: &Papers,
    answer: &Answer,
    claim: Option<&ClaimSummary>,
    claims: &[ClaimNow],
    world: &mut World,
) -> Result<(), Failure> {
    let lines = standing::standing(answer, claims);
    if world.json {
        let mut value = json::answer(answer, claim);
        if answer.billing.is_some() {
            value["billing"]["credited"] = json!(credited(claims).to_string());
        }
        value["standing"] = lines.iter().map(story::standing_json).collect();
        value["claims"] = claims
            .iter()
            .map(|claim| json!({"claim": claim.number, "state": claim.state.name()}))
            .collect();
        return world.print(&json::printed(&value));
    }
    show(papers, answer, claim, claims, world)?;
    if claims.is_empty() {
        return Ok(());
    }
    world.print("\n")?;
    let mut page = Page::new(world.width);
    for claim in claims {
        page.plain(&format!("claim {}: {}", claim.number, claim.state.name()));
    }
    for words in story::left(&lines) {
        page.wrapped(2, &words);
    }
    world.print(&page.text())?;
    Ok(())
}

/// Makes the case of a set of papers.
pub fn case(papers: &Papers, today: Option<NaiveDate>) -> Case<'_> {
    Case {
        order: &papers.order,
        receipts: &papers.receipts,
        invoices: &papers.invoices,
        supplier: papers.supplier.as_ref(),
        shop: papers.shop.as_ref(),
        today,
    }
}

/// Prints the answer, as JSON or for a person.
///
/// # Errors
/// The output cannot be written.
fn show(
    papers: &Papers,
    answer: &Answer,
    claim: Option<&ClaimSummary>,
    claims: &[ClaimNow],
    world: &mut World,
) -> Result<(), Failure> {
    let text = if world.json {
        json::printed(&json::answer(answer, claim))
    } else {
        terminal::answer(
            answer,
            &beside(papers, answer, claim, claims, world.today),
            world.width,
            world.ink,
        )
    };
    world.print(&text)
}

/// Returns what the supplier credited for an order's claims. What a carrier paid is nothing of the supplier's bill.
fn credited(claims: &[ClaimNow]) -> Money {
    claims
        .iter()
        .filter(|claim| {
            let mut parts = claim.parts.iter();
            !parts.any(|part| part.wanted.remedy == Remedy::Pay)
        })
        .map(|claim| claim.came.credited)
        .sum()
}

fn beside<'p>(
    papers: &'p Papers,
    answer: &Answer,
    claim: Option<&'p ClaimSummary>,
    claims: &[ClaimNow],
    today: NaiveDate,
) -> Beside<'p> {
    let receipts = answer
        .receipts
        .iter()
        .filter_map(|number| {
            papers
                .receipts
                .iter()
                .find(|receipt| receipt.number.value == *number)
        })
        .map(|receipt| {
            let slip = receipt
                .packing_slip
                .as_ref()
                .map(|slip| format!(", packing slip {slip}"));
            let by = receipt.by.as_ref().map(|by| format!(", received by {by}"));
            format!(
                "receipt {} of {}{}{}",
                receipt.number.value,
                receipt.date,
                slip.unwrap_or_default(),
                by.unwrap_or_default()
            )
        })
        .collect();
    Beside {
        supplier: papers
            .supplier
            .as_ref()
            .map(|supplier| supplier.name.as_str()),
        job: papers.order.job.as_deref(),
        receipts,
        claimed: Claimed {
            new: claim,
            open: claims.iter().any(|claim| !claim.state.is_closed()),
            standing: if claims.is_empty() {
                Vec::new()
            } else {
                standing::standing(answer, claims)
            },
            credited: credited(claims),
        },
        today: Some(today),
    }
}

/// Says on the error stream that a file was written.
pub fn wrote(path: &Path) {
    notice(&format!("wrote {}", on_one_line(&path.to_string_lossy())));
}
