//! `asordered claim draft`: drafts what can be claimed of an order in the book and keeps it as it was found today.

use crate::book::Book;
use crate::book::claims::{NewClaim, NewLetter};
use crate::book::error::BookError;
use crate::check::case::Case;
use crate::claim::draft::{ClaimDraft, draft};
use crate::claim::letter::{self, Beside, Enclosure, LetterKind, Templates};
use crate::claim::remedy::{Against, Remedy, fitting};
use crate::claim::replaced;
use crate::claim::wishes::{self, Chosen, Wishes, place_and_kind};
use crate::claim::{asked, standing};
use crate::cli::Status;
use crate::cli::check::case;
use crate::cli::claim::outgoing::write_draft;
use crate::cli::failure::{Failure, notice};
use crate::cli::letter_file::CAUTION;
use crate::cli::shop::{claim_folder, claims_are_own, papers, templates, write_book, write_letter};
use crate::cli::world::{World, now};
use crate::intake::text::number;
use crate::model::answer::Answer;
use crate::model::money::Money;
use crate::report::json;
use crate::report::todo::look_again;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde_json::{Value, json};

/// Draft what can be claimed of an order
#[derive(Debug, clap::Args)]
#[command(after_help = format!("What a claim asks for already is not asked again.\n\n\
    Example:\n  asordered claim draft PO-2107 --remedy 1/short=credit --labour-hours 3\n\n{}", wishes::kinds()))]
pub struct Draft {
    /// The order's number
    #[arg(value_name = "PO")]
    pub order: String,
    /// Ask for REMEDY instead of the default, as 1/short=credit
    #[arg(long, value_name = "LINE/KIND=REMEDY")]
    pub remedy: Vec<String>,
    /// Claim also what is only logged, as 1/late
    #[arg(long, value_name = "LINE/KIND")]
    pub also: Vec<String>,
    /// What the return of goods costs the shop
    #[arg(long, value_name = "AMOUNT")]
    pub return_freight: Option<String>,
    /// Hours of shop labour lost
    #[arg(long, value_name = "HOURS")]
    pub labour_hours: Option<String>,
}

/// Runs it.
///
/// # Errors
/// The book does not have the order; a letter cannot be written; a remedy nobody knows.
pub fn run(args: &Draft, world: &mut World) -> Result<Status, Failure> {
    let mut book = write_book(world)?;
    let was = book.seen(&args.order)?;
    let papers = papers(&book, &args.order, world)?;
    if papers.receipts.is_empty() {
        return Err(Failure::error(format!(
            "nothing of order `{}` has been received",
            args.order
        ))
        .hint(format!(
            "`asordered receive {} FILE` records what arrived",
            args.order
        )));
    }
    let case = case(&papers, None);
    let claims = book.claims_now(&args.order)?;
    let answer = replaced::answer(&case, &claims)?;
    let rest = standing::unclaimed(&answer, &claims);
    let wishes = wishes(args, &case, &rest, world.today)?;
    let drafts = draft(&case, &rest, world.today, &wishes);
    if drafts.is_empty() {
        return nothing(&args.order, &answer, &claims, world);
    }
    let templates = templates(world)?;
    let enclosures = enclosures(&book, &args.order)?;
    let kept = json::answer(&answer, crate::claim::summary(&drafts).as_ref()).to_string();
    let new: Vec<NewClaim> = drafts
        .iter()
        .map(|draft| new_claim(draft, &wishes, &kept))
        .collect();
    let today = world.today;
    let letter = |place: usize, number: &str| -> Result<NewLetter, BookError> {
        first_letter(
            &case,
            &rest,
            &drafts[place],
            number,
            &enclosures,
            &templates,
            today,
        )
    };
    claims_are_own(world)?;
    let numbers = book.draft_claims(&args.order, &was, &new, &letter, today, now())?;
    let mut told = Vec::new();
    for (number, draft) in numbers.iter().zip(&drafts) {
        let claim = book.claim(number)?;
        let letter = book.letter(&claim, None)?;
        write_letter(world, number, &letter)?;
        write_draft(&book, world, &papers, &claim, &letter)?;
        told.push(json!({
            "claim": number,
            "party": draft.against.name(),
            "value": draft.value.map(|value| value.to_string()),
            "currency": draft.currency,
            "notify_by": draft.notify_by.as_ref().map(|day| day.date.to_string()),
            "answer_by": draft.answer_by.to_string(),
            "letter": claim_folder(world, number).join("letter.txt").display().to_string(),
            "asked": asked::to_json(draft),
        }));
        if !world.json {
            world.print_fitted(&said(number, draft, &rest, world))?;
        }
    }
    if world.json {
        world.print(&json::printed(
            &json!({ "claims": told, "look_again": look_again(&answer) }),
        ))?;
    } else {
        for again in look_again(&answer) {
            world.print_fitted(&format!(
                "look again, before anything is said about it: {again}\n"
            ))?;
        }
        notice(CAUTION);
    }
    Ok(Status::Fine)
}

fn cannot_write(missing: Vec<String>) -> BookError {
    let mut refused = BookError::refused(missing.join("; "));
    refused = refused
        .hint("`asordered schema shop` and `asordered schema supplier` tell what stands in them");
    refused
}

/// Returns the enclosures of a first letter: the evidence of the order's receipts.
///
/// # Errors
/// The book does not answer.
pub fn enclosures(book: &Book, order: &str) -> Result<Vec<Enclosure>, Failure> {
    Ok(book
        .evidence(Some(order))?
        .into_iter()
        .map(|(receipt, evidence)| Enclosure {
            name: file_name(&evidence.path),
            about: format!("photograph, receipt {receipt}"),
            hash: Some(evidence.sha256),
        })
        .collect())
}

/// Writes the first letter of a claim.
///
/// # Errors
/// The shop's or the supplier's file is missing; a template does not render.
pub fn first_letter(
    case: &Case<'_>,
    rest: &Answer,
    draft: &ClaimDraft,
    number: &str,
    enclosures: &[Enclosure],
    templates: &Templates,
    today: NaiveDate,
) -> Result<NewLetter, BookError> {
    let beside = Beside {
        claim: Some(number.to_owned()),
        enclosures: enclosures.to_vec(),
        ..Beside::default()
    };
    let kind = match draft.against {
        Against::Supplier => LetterKind::Notice,
        Against::Carrier => LetterKind::CarrierClaim,
    };
    let data = letter::data(case, rest, draft, kind, &beside, today).map_err(cannot_write)?;
    let written = letter::render(kind, &data, templates)?;
    Ok(NewLetter {
        kind: kind.name().to_owned(),
        subject: written.subject,
        text: written.text,
        html: Some(written.html),
        edited: false,
    })
}

/// Returns a claim as the book keeps it.
pub fn new_claim(draft: &ClaimDraft, wishes: &Wishes, answer: &str) -> NewClaim {
    NewClaim {
        party: draft.against,
        receipts: draft.receipts.clone(),
        currency: draft.currency.clone(),
        value: draft.value,
        notify_by: draft.notify_by.as_ref().map(|day| day.date),
        answer_by: draft.answer_by,
        answer: answer.to_owned(),
        asked: asked::with_wishes(draft, wishes).to_string(),
    }
}

fn said(number: &str, draft: &ClaimDraft, answer: &Answer, world: &World) -> String {
    let mut out = format!("drafted claim {number} on the {}\n", draft.against.name());
    for part in draft.items.iter().flat_map(|item| &item.parts) {
        for finding in &part.findings {
            out.push_str(&format!("  {}: {}\n", place(&part.place), finding.text));
        }
        out.push_str(&format!(
            "    asked: {}; {}\n",
            part.remedy.about(),
            part.worth.arithmetic
        ));
    }
    for cost in &draft.costs {
        out.push_str(&format!("  our costs: {}\n", cost.arithmetic));
    }
    match draft.value {
        Some(value) => out.push_str(&format!("  value: {value} {}", draft.currency)),
        None => out.push_str("  value: not known"),
    }
    if draft.value.is_some() && !draft.unpriced.is_empty() {
        out.push_str(", beside what is to be agreed");
    }
    out.push('\n');
    if let Some(billing) = answer
        .billing
        .as_ref()
        .filter(|billing| draft.against == Against::Supplier && !billing.withhold.is_zero())
    {
        out.push_str(&format!(
            "  withheld of {} until it is settled: {}\n",
            billing.withheld_of.join(", "),
            Money(billing.withhold)
        ));
    }
    if let Some(day) = &draft.notify_by {
        out.push_str(&format!("  tell them by {} ({})\n", day.date, day.why));
    }
    out.push_str(&format!(
        "  letter: {}\n  next: `asordered claim edit {number}` changes it, `claim send {number}` sends it\n",
        claim_folder(world, number).join("letter.txt").display()
    ));
    out
}

fn place(place: &str) -> String {
    if place.contains(':') {
        place.to_owned()
    } else {
        format!("line {place}")
    }
}

/// Tells why nothing is drafted: nothing is wrong, or a claim asks for it already.
fn nothing(
    order: &str,
    answer: &Answer,
    claims: &[standing::ClaimNow],
    world: &mut World,
) -> Result<Status, Failure> {
    let asking: Vec<&str> = claims
        .iter()
        .filter(|claim| !claim.state.is_closed())
        .map(|claim| claim.number.as_str())
        .collect();
    let right: Vec<String> = claims
        .iter()
        .filter(|claim| claim.state == crate::claim::cycle::State::Right)
        .map(|claim| format!("{} was made right", claim.number))
        .collect();
    if world.json {
        world.print(&json::printed(&json!({
            "claims": Vec::<Value>::new(),
            "asked_by": asking,
            "look_again": look_again(answer),
        })))?;
        return Ok(Status::Fine);
    }
    let mut why = right;
    match asking.as_slice() {
        [] => {}
        [one] => why.push(format!("{one} asks for it already")),
        many => why.push(format!("{} ask for it already", many.join(", "))),
    }
    if why.is_empty() || !standing::is_claimable(answer) {
        world.print_fitted(&format!("nothing to claim on order {order}; no letter\n"))?;
    } else {
        world.print_fitted(&format!(
            "nothing more to claim on order {order}: {}\n",
            why.join(", ")
        ))?;
    }
    for again in look_again(answer) {
        world.print_fitted(&format!("look again: {again}\n"))?;
    }
    Ok(Status::Fine)
}

/// Reads what the owner decided, against what there is to decide about.
fn wishes(
    args: &Draft,
    case: &Case<'_>,
    rest: &Answer,
    today: NaiveDate,
) -> Result<Wishes, Failure> {
    let mut wishes = Wishes {
        return_freight: money(args.return_freight.as_deref(), "--return-freight")?.map(Money),
        labour_hours: money(args.labour_hours.as_deref(), "--labour-hours")?,
        ..Wishes::default()
    };
    for text in &args.also {
        wishes.also.push(place_and_kind(text).ok_or_else(|| {
            Failure::error(format!("found `{text}`, expected LINE/KIND as `1/late`"))
        })?);
    }
    if args.remedy.is_empty() {
        return Ok(wishes);
    }
    let drafts = draft(case, rest, today, &wishes);
    for text in &args.remedy {
        let (place, remedy) = text.split_once('=').ok_or_else(|| {
            Failure::error(format!(
                "found `{text}`, expected LINE/KIND=REMEDY as `1/short=credit`"
            ))
        })?;
        wishes.remedies.push(chosen(place, remedy, &drafts)?);
    }
    Ok(wishes)
}

/// Reads a remedy chosen for a finding of these drafts.
///
/// # Errors
/// No draft has the finding, or the remedy does not make it right; the hint says what there is.
pub fn chosen(place: &str, remedy: &str, drafts: &[ClaimDraft]) -> Result<Chosen, Failure> {
    let parts = || {
        drafts.iter().flat_map(|draft| {
            draft
                .items
                .iter()
                .flat_map(|item| &item.parts)
                .map(|part| (draft.against, part))
        })
    };
    let named = place_and_kind(place);
    let found = named.as_ref().and_then(|(line, kind)| {
        parts()
            .find(|(_, part)| {
                part.place == *line && part.findings.iter().any(|finding| finding.kind == *kind)
            })
            .map(|(against, part)| (line, *kind, against, part))
    });
    let Some((line, kind, against, part)) = found else {
        let line = place.split_once('/').map_or(place, |(line, _)| line);
        let names = |of: Option<&str>| -> Vec<String> {
            parts()
                .filter(|(_, part)| of.is_none_or(|line| part.place == line))
                .flat_map(|(_, part)| {
                    part.findings
                        .iter()
                        .map(|finding| format!("{}/{}", part.place, finding.kind.name()))
                })
                .collect()
        };
        let (of_line, all) = (names(Some(line)), names(None));
        let hint = match (of_line.is_empty(), all.is_empty()) {
            (false, _) => format!("line {line} has {}", of_line.join(", ")),
            (true, false) => format!("there is {}", all.join(", ")),
            (true, true) => "nothing is left to claim".to_owned(),
        };
        return Err(Failure::error(format!("nothing of `{place}` is claimed")).hint(hint));
    };
    let mut fits: Vec<Remedy> = fitting(kind, against).to_vec();
    for finding in &part.findings {
        for other in fitting(finding.kind, against) {
            if !fits.contains(other) {
                fits.push(*other);
            }
        }
    }
    let remedy = Remedy::named(remedy)
        .filter(|remedy| fits.contains(remedy))
        .ok_or_else(|| {
            let names: Vec<&str> = fits.iter().map(|remedy| remedy.name()).collect();
            Failure::error(format!("`{remedy}` does not make `{place}` right"))
                .hint(format!("what does: {}", names.join(", ")))
        })?;
    Ok(Chosen {
        place: line.clone(),
        kind,
        remedy,
    })
}

fn money(text: Option<&str>, option: &str) -> Result<Option<Decimal>, Failure> {
    text.map(|text| {
        number(text).map_err(|_| {
            Failure::error(format!(
                "found `{text}` for {option}, expected a number as `85.00`"
            ))
        })
    })
    .transpose()
}

fn file_name(path: &str) -> String {
    path.rsplit('/').next().unwrap_or(path).to_owned()
}
