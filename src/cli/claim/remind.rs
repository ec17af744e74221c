//! `asordered claim remind`, `accept` and `thank`: the later letters of a claim, drafted from what the claim asked and
//! sent in the same way as the first.

use crate::book::Book;
use crate::book::claims::{Claim, NewLetter, said};
use crate::book::message::SendResult;
use crate::check::check;
use crate::claim::asked;
use crate::claim::cycle::{NotNow, Step, may};
use crate::claim::letter::{self, Beside, LetterKind};
use crate::cli::Status;
use crate::cli::check::case;
use crate::cli::claim::outgoing;
use crate::cli::claim::send::{How, go};
use crate::cli::failure::Failure;
use crate::cli::paper::Papers;
use crate::cli::shop::{papers, templates, write_book};
use crate::cli::world::{World, now};
use chrono::NaiveDate;

/// Remind the supplier of a claim
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  asordered claim remind PO-2107-C1 --final")]
pub struct Remind {
    /// The claim's number
    #[arg(value_name = "CLAIM")]
    pub claim: String,
    /// Say that it is the last reminder
    #[arg(long = "final")]
    pub last: bool,
    /// How it goes.
    #[command(flatten)]
    pub how: How,
}

/// Accept what the supplier offered
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  asordered claim accept PO-2107-C1 --offer \"two leaves by April 2\""
)]
pub struct Accept {
    /// The claim's number
    #[arg(value_name = "CLAIM")]
    pub claim: String,
    /// The offer in words; their last answer where left out
    #[arg(long, value_name = "TEXT")]
    pub offer: Option<String>,
    /// How it goes.
    #[command(flatten)]
    pub how: How,
}

/// Thank the supplier for a claim made right
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  asordered claim thank PO-2107-C1")]
pub struct Thank {
    /// The claim's number
    #[arg(value_name = "CLAIM")]
    pub claim: String,
    /// How it goes.
    #[command(flatten)]
    pub how: How,
}

/// Runs `remind`.
///
/// # Errors
/// As `claim send`.
pub fn remind(args: &Remind, world: &mut World) -> Result<Status, Failure> {
    let kind = if args.last {
        LetterKind::FinalReminder
    } else {
        LetterKind::Reminder
    };
    write_and_send(&args.claim, kind, Step::Remind, None, &args.how, world)
}

/// Runs `accept`.
///
/// # Errors
/// As `claim send`; there is no offer.
pub fn accept(args: &Accept, world: &mut World) -> Result<Status, Failure> {
    let offer = args.offer.clone();
    write_and_send(
        &args.claim,
        LetterKind::Acceptance,
        Step::Remind,
        offer,
        &args.how,
        world,
    )
}

/// Runs `thank`.
///
/// # Errors
/// As `claim send`.
pub fn thank(args: &Thank, world: &mut World) -> Result<Status, Failure> {
    write_and_send(
        &args.claim,
        LetterKind::Thanks,
        Step::Thank,
        None,
        &args.how,
        world,
    )
}

fn write_and_send(
    number: &str,
    kind: LetterKind,
    step: Step,
    offer: Option<String>,
    how: &How,
    world: &mut World,
) -> Result<Status, Failure> {
    let mut book = write_book(world)?;
    let claim = book.claim(number)?;
    may(&claim.number, claim.state, step)
        .map_err(|NotNow { text, hint }| Failure::error(text).hint(hint))?;
    let papers = papers(&book, &claim.order, world)?;
    // A letter that may have gone is the same letter again, word for word; so is one written and not sent.
    let waiting = unsent(&book, &claim, kind)?;
    let letter = match waiting {
        Some(letter) => letter,
        None => {
            let written = drafted(&book, &claim, kind, offer, &papers, world)?;
            refuse_double(&book, &claim, kind, &written, world.today)?;
            book.add_letter(&claim.number, step, &written, now())?;
            book.letter(&claim, Some(kind.name()))?
        }
    };
    let outgoing = outgoing::prepare(&book, world, &papers, &claim, letter, &how.to)?;
    go(&mut book, world, &papers, &claim, &outgoing, step, how)
}

/// Refuses a letter whose kind went before and still runs: the same words, thanks at all, a reminder before the day it
/// asks an answer by. Nobody is written to twice by a command given twice.
fn refuse_double(
    book: &Book,
    claim: &Claim,
    kind: LetterKind,
    written: &NewLetter,
    today: NaiveDate,
) -> Result<(), Failure> {
    let runs = claim.answer_by.filter(|day| *day >= today);
    let same = book
        .letters(claim)?
        .into_iter()
        .rfind(|letter| letter.kind == kind.name())
        .filter(|letter| {
            kind == LetterKind::Thanks || runs.is_some() || letter.text == written.text
        });
    match same {
        Some(letter) => Err(Failure::error(format!(
            "a letter of this kind for claim `{}` went on {}",
            claim.number,
            letter.recorded.get(..10).unwrap_or_default()
        ))
        .hint(match (kind, runs) {
            (LetterKind::Thanks, _) | (_, None) => "the same letter goes once".to_owned(),
            (_, Some(day)) => format!("they have until {day} to answer it"),
        })),
        None => Ok(()),
    }
}

/// Returns the newest letter of a kind where no message of it surely went.
fn unsent(
    book: &Book,
    claim: &Claim,
    kind: LetterKind,
) -> Result<Option<crate::book::claims::Letter>, Failure> {
    let newest = book
        .letters(claim)?
        .into_iter()
        .rfind(|letter| letter.kind == kind.name());
    let Some(letter) = newest else {
        return Ok(None);
    };
    let gone = book.messages(claim)?.iter().any(|message| {
        message.letter == letter.id
            && matches!(message.result, SendResult::Sent | SendResult::Written)
    });
    Ok((!gone).then_some(letter))
}

fn drafted(
    book: &Book,
    claim: &Claim,
    kind: LetterKind,
    offer: Option<String>,
    papers: &Papers,
    world: &World,
) -> Result<NewLetter, Failure> {
    let case = case(papers, None);
    let answer = check(&case)?;
    let draft = asked::draft_again(&claim.asked, &answer, &claim.currency, world.today)
        .ok_or_else(|| {
            Failure::error(format!(
                "what claim `{}` asked cannot be read",
                claim.number
            ))
            .hint("run `asordered verify`")
        })?;
    let offer = match (offer, kind) {
        (Some(offer), _) => Some(offer),
        (None, LetterKind::Acceptance) => Some(last_answer(book, claim)?.ok_or_else(|| {
            Failure::error(format!("claim `{}` has no offer yet", claim.number))
                .hint("name it with `--offer TEXT`, or note it with `asordered claim answer`")
        })?),
        (None, LetterKind::Thanks) => last_answer(book, claim)?,
        (
            None,
            LetterKind::Notice
            | LetterKind::CarrierClaim
            | LetterKind::Reminder
            | LetterKind::FinalReminder,
        ) => None,
    };
    let beside = Beside {
        claim: Some(claim.number.clone()),
        earlier: earlier(book, claim)?,
        offer,
        ..Beside::default()
    };
    let data = letter::data(&case, &answer, &draft, kind, &beside, world.today)
        .map_err(|missing| Failure::error(missing.join("; ")))?;
    let written = letter::render(kind, &data, &templates(world)?)?;
    Ok(NewLetter {
        kind: kind.name().to_owned(),
        subject: written.subject,
        text: written.text,
        html: Some(written.html),
        edited: false,
    })
}

fn last_answer(book: &Book, claim: &Claim) -> Result<Option<String>, Failure> {
    Ok(book.answers(claim)?.last().map(said))
}

/// Returns the letters that went before, oldest first.
fn earlier(book: &Book, claim: &Claim) -> Result<Vec<(NaiveDate, String)>, Failure> {
    let mut earlier = Vec::new();
    for message in book.messages(claim)? {
        let went = match message.result {
            SendResult::Sent | SendResult::Written => true,
            SendResult::Going | SendResult::MayHaveGone | SendResult::NotSent => false,
        };
        let what = match LetterKind::named(&message.kind) {
            Some(LetterKind::Notice) => "our notice",
            Some(LetterKind::CarrierClaim) => "our claim",
            Some(LetterKind::Reminder) => "our reminder",
            Some(LetterKind::FinalReminder) => "our last reminder",
            Some(LetterKind::Acceptance | LetterKind::Thanks) | None => "our letter",
        };
        let day = message.intended.get(..10).and_then(|day| day.parse().ok());
        if let (true, Some(day)) = (went, day) {
            // The book's day is what the shop's calendar said; a stamp is UTC.
            let day = if claim.sent.is_some() && earlier.is_empty() {
                claim.sent.unwrap_or(day)
            } else {
                day
            };
            earlier.push((day, what.to_owned()));
        }
    }
    Ok(earlier)
}
