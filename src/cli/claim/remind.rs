//! `asordered claim remind`, `accept` and `thank`: the later letters of a claim, drafted from what the claim asked and
//! sent in the same way as the first.

use crate::book::Book;
use crate::book::claims::{AnswerKind, Claim, Letter, NewLetter, TheirAnswer};
use crate::book::message::{Message, SendResult};
use crate::check::case::Case;
use crate::check::check;
use crate::claim::asked;
use crate::claim::cycle::{NotNow, State, Step, may};
use crate::claim::letter::locale::Locale;
use crate::claim::letter::since::{self, Made, Promise, Reply};
use crate::claim::letter::{self, Beside, LetterKind};
use crate::cli::Status;
use crate::cli::check::case;
use crate::cli::claim::draft::enclosures;
use crate::cli::claim::outgoing;
use crate::cli::claim::send::{How, go};
use crate::cli::failure::{Failure, notice};
use crate::cli::paper::Papers;
use crate::cli::shop::{papers, templates, write_book};
use crate::cli::world::{World, now};
use crate::model::receipt::Receipt;
use chrono::NaiveDate;
use serde_json::Value;

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
        Step::Accept,
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
    let wish = Wish { kind, step, offer };
    let letter = ready(&mut book, &claim, wish, &papers, world)?;
    let outgoing = outgoing::prepare(&book, world, &papers, &claim, letter, &how.to)?;
    go(&mut book, world, &papers, &claim, &outgoing, step, how)
}

/// Returns the letter that is next to go by `claim send`: the first, or where what came is wrong again, the one that says
/// so; written now where it is not yet.
///
/// # Errors
/// It cannot be written.
pub fn next_letter(
    book: &mut Book,
    claim: &Claim,
    step: Step,
    papers: &Papers,
    world: &World,
) -> Result<Letter, Failure> {
    let first = book.letter(claim, None)?;
    let again = LetterKind::WrongAgain;
    match claim.state {
        State::WrongAgain => {}
        // A letter that may have gone is that letter again.
        State::MayHaveGone => {
            let newest = book
                .messages(claim)?
                .last()
                .is_some_and(|message| message.kind == again.name());
            return if newest {
                Ok(book.letter(claim, Some(again.name()))?)
            } else {
                Ok(first)
            };
        }
        State::Drafted
        | State::Sent
        | State::Promised
        | State::Refused
        | State::PartlyRight
        | State::Right
        | State::Withdrawn => return Ok(first),
    }
    // The first letter goes again only where it was drafted anew, with another remedy.
    let went = |letter: &Letter| -> Result<bool, Failure> {
        Ok(book
            .messages(claim)?
            .iter()
            .any(|message| message.letter == letter.id && message.result != SendResult::NotSent))
    };
    if !went(&first)? {
        return Ok(first);
    }
    let wish = Wish {
        kind: again,
        step,
        offer: None,
    };
    ready(book, claim, wish, papers, world)
}

/// A later letter that is to go, or to be edited.
struct Wish {
    kind: LetterKind,
    step: Step,
    offer: Option<String>,
}

/// Returns a later letter as it is to go today. One that may have gone is the same letter again, word for word. One that
/// did not is written anew, unless it was edited by hand: then the owner is told what came since.
fn ready(
    book: &mut Book,
    claim: &Claim,
    Wish { kind, step, offer }: Wish,
    papers: &Papers,
    world: &World,
) -> Result<Letter, Failure> {
    let kept = unsent(book, claim, kind)?;
    if let Some((letter, true)) = kept {
        return Ok(letter);
    }
    let written = drafted(book, claim, kind, offer, papers, world);
    let kept = kept.map(|(letter, _)| letter);
    if let Some(letter) = kept.as_ref().filter(|letter| letter.edited) {
        if step != Step::Edit {
            tell_since_edited(book, claim, letter, written.ok().as_ref(), papers, world)?;
        }
        return Ok(letter.clone());
    }
    let written = written?;
    // That it is wrong again is news each time, also while an answer is awaited.
    if kind != LetterKind::WrongAgain {
        refuse_double(book, claim, kind, &written, world.today)?;
    }
    if let Some(letter) = kept.filter(|letter| {
        letter.subject == written.subject
            && letter.text == written.text
            && letter.html == written.html
    }) {
        return Ok(letter);
    }
    book.add_letter(&claim.number, step, &written, now())?;
    Ok(book.letter(claim, Some(kind.name()))?)
}

/// Tells what came since a letter was edited by hand, and whether it bears another day than today's, which `written`,
/// the letter as it would be written now, bears.
fn tell_since_edited(
    book: &Book,
    claim: &Claim,
    letter: &Letter,
    written: Option<&NewLetter>,
    papers: &Papers,
    world: &World,
) -> Result<(), Failure> {
    let mut since = book.since_edited(claim, &letter.kind)?;
    let locale = Locale::of(papers.shop.as_ref().and_then(|shop| shop.locale.as_deref()));
    let today = locale.date(world.today);
    if written.is_some_and(|written| written.text.contains(&today)) && !letter.text.contains(&today)
    {
        since.push(format!("the day is {}", world.today));
    }
    if !since.is_empty() {
        notice(&format!(
            "note: this letter was edited by hand, and since then: {}; `asordered claim edit {}` changes it",
            since.join(", "),
            claim.number
        ));
    }
    Ok(())
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
    let letters = book.letters(claim)?;
    let last = book
        .messages(claim)?
        .into_iter()
        .rfind(|message| message.kind == kind.name() && message.went())
        .filter(|message| {
            kind == LetterKind::Thanks
                || runs.is_some()
                || letters
                    .iter()
                    .any(|letter| letter.id == message.letter && letter.text == written.text)
        });
    match last {
        Some(message) => Err(Failure::error(format!(
            "a letter of this kind for claim `{}` went on {}",
            claim.number,
            message.on()
        ))
        .hint(match (kind, runs) {
            (LetterKind::Thanks, _) | (_, None) => "the same letter goes once".to_owned(),
            (_, Some(day)) => format!("they have until {day} to answer it"),
        })),
        None => Ok(()),
    }
}

/// Returns the newest letter of a kind where no message of it surely went, and whether one may have gone.
fn unsent(book: &Book, claim: &Claim, kind: LetterKind) -> Result<Option<(Letter, bool)>, Failure> {
    let newest = book
        .letters(claim)?
        .into_iter()
        .rfind(|letter| letter.kind == kind.name());
    let Some(letter) = newest else {
        return Ok(None);
    };
    let mut messages = book.messages(claim)?;
    messages.retain(|message| message.letter == letter.id);
    let doubt = messages
        .iter()
        .any(|message| message.result != SendResult::NotSent);
    Ok((!messages.iter().any(Message::went)).then_some((letter, doubt)))
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
    let now = check(&case)?;
    // The letter states the goods as they were claimed: by the receipts of that day.
    let receipts = of_that_day(claim, papers);
    let case_then = Case {
        receipts: &receipts,
        ..case
    };
    let mut then = check(&case_then)?;
    then.billing.clone_from(&now.billing);
    let whole =
        asked::draft_again(&claim.asked, &then, &claim.currency, world.today).ok_or_else(|| {
            Failure::error(format!(
                "what claim `{}` asked cannot be read",
                claim.number
            ))
            .hint("run `asordered verify`")
        })?;
    let replies: Vec<Reply> = book.answers(claim)?.iter().map(reply).collect();
    let offered = replies
        .last()
        .is_some_and(|reply| reply.promise != Promise::Nothing);
    if kind == LetterKind::Acceptance && offer.is_none() && !offered {
        return Err(
            Failure::error(format!("claim `{}` has no offer yet", claim.number))
                .hint("name it with `--offer TEXT`, or note it with `asordered claim answer`"),
        );
    }
    let mut beside = Beside {
        claim: Some(claim.number.clone()),
        earlier: earlier(book, claim)?,
        replies,
        made: made(book, claim, papers)?,
        offer,
        ..Beside::default()
    };
    let draft = match kind {
        LetterKind::Acceptance | LetterKind::Thanks => whole,
        LetterKind::Notice
        | LetterKind::CarrierClaim
        | LetterKind::Reminder
        | LetterKind::FinalReminder
        | LetterKind::WrongAgain => {
            let locale = Locale::of(case.shop.and_then(|shop| shop.locale.as_deref()));
            let came = book.came(claim)?;
            let mut since = since::since(&case, &now, &whole, &came, locale)?;
            let open = since::still_open(&whole, &since, &came);
            since.retain(|since| !since.right);
            beside.since = since;
            open
        }
    };
    if kind == LetterKind::WrongAgain {
        beside.enclosures = enclosures(book, &claim.order)?;
    }
    let data = letter::data(&case_then, &then, &draft, kind, &beside, world.today)
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

/// Returns the receipts that were there when a claim was drafted; all of them where that is not known.
fn of_that_day(claim: &Claim, papers: &Papers) -> Vec<Receipt> {
    let then: Value = serde_json::from_str(&claim.answer).unwrap_or(Value::Null);
    let known: Vec<&str> = then["receipts"]
        .as_array()
        .map(|list| list.iter().filter_map(Value::as_str).collect())
        .unwrap_or_default();
    let some: Vec<Receipt> = papers
        .receipts
        .iter()
        .filter(|receipt| known.contains(&receipt.number.value.as_str()))
        .cloned()
        .collect();
    if some.is_empty() {
        papers.receipts.clone()
    } else {
        some
    }
}

/// Returns an answer as a letter may tell it: what the owner noted for himself stays out.
fn reply(answer: &TheirAnswer) -> Reply {
    Reply {
        date: answer.date,
        promise: match answer.kind {
            AnswerKind::Replacement => Promise::Goods,
            AnswerKind::Credit => Promise::Money,
            AnswerKind::Collection => Promise::Collection,
            AnswerKind::Refused => Promise::Nothing,
        },
        by: answer.by,
        amount: answer.amount,
    }
}

/// Returns what came for a claim, oldest first. That the owner took it as enough is his own matter.
fn made(book: &Book, claim: &Claim, papers: &Papers) -> Result<Vec<(NaiveDate, Made)>, Failure> {
    Ok(book
        .settlements(claim)?
        .into_iter()
        .filter_map(|settled| {
            let receipt = settled.receipt.as_ref().and_then(|number| {
                papers
                    .receipts
                    .iter()
                    .find(|receipt| receipt.number.value == *number)
            });
            match (receipt, settled.amount) {
                (Some(receipt), _) => Some((
                    receipt.date,
                    Made::Goods(receipt.number.value.clone(), receipt.packing_slip.clone()),
                )),
                (None, Some(amount)) => Some((settled.date, Made::Money(amount, settled.paper))),
                (None, None) => {
                    (settled.kind == "collection").then_some((settled.date, Made::Collection))
                }
            }
        })
        .collect())
}

/// Returns the letters that went before, oldest first.
fn earlier(book: &Book, claim: &Claim) -> Result<Vec<(NaiveDate, String)>, Failure> {
    let mut earlier = Vec::new();
    for message in book.messages(claim)? {
        let what = match LetterKind::named(&message.kind) {
            Some(LetterKind::Notice) => "our notice",
            Some(LetterKind::CarrierClaim) => "our claim",
            Some(LetterKind::Reminder) => "our reminder",
            Some(LetterKind::FinalReminder) => "our last reminder",
            Some(LetterKind::WrongAgain) => "our notice that what came is wrong again",
            Some(LetterKind::Acceptance | LetterKind::Thanks) | None => "our letter",
        };
        if message.went()
            && let Ok(day) = message.on().parse()
        {
            earlier.push((day, what.to_owned()));
        }
    }
    Ok(earlier)
}
