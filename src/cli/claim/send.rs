//! `asordered claim send`: hands a claim's letter to the mail server, once. The intent is in the book before the first
//! byte goes and the result after, so that whatever happens in between leaves the truth.

use crate::book::Book;
use crate::book::claims::Claim;
use crate::book::message::{Intent, Message, SendResult};
use crate::claim::cycle::{NotNow, State, Step, may};
use crate::claim::deadlines;
use crate::claim::mail::Mail;
use crate::claim::remedy::Against;
use crate::claim::{replaced, standing};
use crate::cli::Status;
use crate::cli::check::case;
use crate::cli::claim::away::{self, Round};
use crate::cli::claim::outgoing::{self, Outgoing};
use crate::cli::claim::remind::next_letter;
use crate::cli::failure::{Failure, notice};
use crate::cli::paper::Papers;
use crate::cli::shop::{papers, write_book};
use crate::cli::world::{World, ask, mail_password, mail_root, now};
use crate::post::{self, Ended, Way};
use crate::report::json;
use chrono::{DateTime, NaiveDate, Utc};
use serde_json::json;
use std::path::PathBuf;
use std::time::Duration;

/// How long a silent mail server is waited for.
const PATIENCE: Duration = Duration::from_secs(60);

/// Send the letter of a claim
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Shows the whole letter, who gets it and the amount, and asks. The password comes from \
    ASORDERED_MAIL_PASSWORD or the shop's `mail.password_command`; it is never kept.\n\n\
    Without `mail` in shop.yaml, or for the post, the phone or a supplier's portal:\n  \
    --to-folder writes the letter to print, --told-by notes how they were told.\n\n\
    Examples:\n  asordered claim send PO-2107-C1\n  \
    asordered claim send PO-2107-C1 --to-folder outbox\n  \
    asordered claim send PO-2107-C1 --told-by \"phone, the claims desk\" --on 2026-03-20"
)]
pub struct Send {
    /// The claim's number
    #[arg(value_name = "CLAIM")]
    pub claim: String,
    /// How it goes.
    #[command(flatten)]
    pub how: How,
}

/// How a letter goes.
#[derive(Debug, clap::Args)]
pub struct How {
    /// Do not ask; for scripts
    #[arg(long)]
    pub yes: bool,
    /// Write the letter (and the message, where there is mail) into DIR instead of sending it; never over another
    #[arg(long, value_name = "DIR", group = "elsewhere")]
    pub to_folder: Option<PathBuf>,
    /// Only note that they were told otherwise: by post, by phone, on their portal
    #[arg(long, value_name = "HOW", group = "elsewhere")]
    pub told_by: Option<String>,
    /// The day it went, with --to-folder or --told-by; today where left out
    #[arg(long, value_name = "YYYY-MM-DD", requires = "elsewhere")]
    pub on: Option<NaiveDate>,
    /// Send it to this address instead of the supplier's (may be repeated)
    #[arg(long, value_name = "EMAIL")]
    pub to: Vec<String>,
    /// Send again what may have gone before
    #[arg(long)]
    pub again: bool,
}

/// Runs it.
///
/// # Errors
/// The claim's state does not allow it; the letter may have gone before; the mail server refused; nobody agreed.
pub fn run(args: &Send, world: &mut World) -> Result<Status, Failure> {
    let mut book = write_book(world)?;
    let claim = book.claim(&args.claim)?;
    may(&claim.number, claim.state, Step::Send)
        .map_err(|NotNow { text, hint }| Failure::error(text).hint(hint))?;
    let papers = papers(&book, &claim.order, world)?;
    if claim.state == State::Drafted {
        still_so(&book, &papers, &claim)?;
    }
    let letter = next_letter(&mut book, &claim, Step::Send, &papers, world)?;
    let outgoing = outgoing::prepare(&book, world, &papers, &claim, letter, &args.how.to)?;
    go(
        &mut book,
        world,
        &papers,
        &claim,
        &outgoing,
        Step::Send,
        &args.how,
    )
}

/// Refuses a draft that says what is no longer so.
fn still_so(book: &Book, papers: &Papers, claim: &Claim) -> Result<(), Failure> {
    let (own, others): (Vec<_>, Vec<_>) = book
        .claims_now(&claim.order)?
        .into_iter()
        .partition(|one| one.number == claim.number);
    let answer = replaced::answer(&case(papers, None), &others)?;
    let wrong: Vec<String> = own
        .iter()
        .flat_map(|own| standing::no_longer_so(&answer, own))
        .collect();
    if wrong.is_empty() {
        return Ok(());
    }
    Err(Failure::error(format!(
        "claim `{}` says what is no longer so: {}",
        claim.number,
        wrong.join("; ")
    ))
    .hint(format!(
        "`asordered claim withdraw {} --reason …`, then `claim draft {}` says what is so today",
        claim.number, claim.order
    )))
}

/// Shows, asks and sends.
///
/// # Errors
/// As [`run`].
pub fn go(
    book: &mut Book,
    world: &mut World,
    papers: &Papers,
    claim: &Claim,
    outgoing: &Outgoing,
    step: Step,
    how: &How,
) -> Result<Status, Failure> {
    let earlier = earlier(book, claim, outgoing)?;
    match &earlier {
        Some(message) if !how.again => return Err(may_have_gone(claim, message)),
        None if how.again && claim.state != State::MayHaveGone => {
            return Err(Failure::error(
                "nothing of it may have gone before; leave `--again` out",
            ));
        }
        Some(_) | None => {}
    }
    let day = away::day(how.on, claim, world)?;
    let answer_by = if claim.party == Against::Carrier {
        deadlines::carrier_answer_by(day)
    } else {
        deadlines::answer_by(&case(papers, None), day)
    };
    let round = Round {
        claim,
        outgoing,
        step,
        day,
        answer_by,
        again: how.again,
    };
    if let Some(words) = &how.told_by {
        let by = format!("told by {}", words.trim());
        return away::told(book, world, &round, &by, how.yes);
    }
    // A message that may have gone goes again with its first id and date, so that its reader can tell it is the same.
    let date = earlier
        .as_ref()
        .and_then(|message| message.intended.parse::<DateTime<Utc>>().ok())
        .unwrap_or_else(now);
    let id = earlier.as_ref().map(|message| message.message_id.as_str());
    if let Some(folder) = &how.to_folder {
        let mail = if outgoing.is_mail() {
            Some(outgoing.mail(date, true, id)?)
        } else {
            None
        };
        return away::to_folder(book, world, &round, mail.as_ref(), folder, how.yes);
    }
    let mail = outgoing.mail(date, false, id)?;
    let server = papers
        .shop
        .as_ref()
        .and_then(|shop| shop.mail.as_ref())
        .ok_or_else(|| Failure::error("shop.yaml has no `mail`, so nothing can be sent"))?;
    if !how.yes {
        let through = [
            ("from", mail.from.clone()),
            ("to", mail.to.join(", ")),
            (
                "through",
                format!("{}, port {}", server.server, server.port),
            ),
        ];
        agreed(claim, outgoing, &through, "send it? (yes or no) ", world)?;
    }
    let way = Way {
        server,
        password: mail_password(server)?,
        root: mail_root()?,
        patience: PATIENCE,
    };
    let message = book.intend(
        &claim.number,
        step,
        &Intent {
            letter: outgoing.letter.id,
            message_id: &mail.message_id,
            recipients: &mail.to,
            bytes: &mail.bytes,
            again: how.again,
        },
        now(),
    )?;
    let ended = post::send(&way, &mail.from, &mail.to, &mail.bytes);
    let (result, detail) = match &ended {
        Ended::Taken(words) => (SendResult::Sent, words),
        Ended::NotSent(why) => (SendResult::NotSent, why),
        Ended::MayHaveGone(why) => (SendResult::MayHaveGone, why),
    };
    let state = book.ended(message, result, detail, world.today, Some(answer_by), now())?;
    let answer_by = match &ended {
        Ended::Taken(_) | Ended::MayHaveGone(_) => Some(answer_by),
        // Nothing went that asks for another day.
        Ended::NotSent(_) => claim.answer_by,
    };
    told(world, claim, &mail, &ended, state, answer_by)
}

/// Returns the last message of this letter that may have gone, or surely went.
fn earlier(book: &Book, claim: &Claim, outgoing: &Outgoing) -> Result<Option<Message>, Failure> {
    let messages = book.messages(claim)?;
    Ok(messages.into_iter().rfind(|message| {
        message.letter == outgoing.letter.id
            && match message.result {
                SendResult::Going
                | SendResult::MayHaveGone
                | SendResult::Sent
                | SendResult::Written
                | SendResult::Told => true,
                SendResult::NotSent => false,
            }
    }))
}

fn may_have_gone(claim: &Claim, message: &Message) -> Failure {
    match message.result {
        SendResult::Sent | SendResult::Written | SendResult::Told => Failure::error(format!(
            "this letter of claim `{}` went on {}",
            claim.number,
            message.on()
        ))
        .hint("a letter goes once; `asordered claim remind` writes a new one"),
        SendResult::Going | SendResult::MayHaveGone | SendResult::NotSent => {
            Failure::error(format!(
                "this letter of claim `{}` may have gone on {}",
                claim.number, message.intended
            ))
            .hint("ask them whether it came; `asordered claim answer` notes that it did")
            .hint("`--again` sends it again, with the same Message-ID")
        }
    }
}

/// Shows the whole letter, who gets it and the amount, and asks.
///
/// # Errors
/// Nobody said yes.
pub fn agreed(
    claim: &Claim,
    outgoing: &Outgoing,
    through: &[(&str, String)],
    question: &str,
    world: &mut World,
) -> Result<(), Failure> {
    let shown = shown(claim, outgoing, through);
    if world.json {
        notice(shown.trim_end());
    } else {
        world.print(&shown)?;
    }
    world.finish()?;
    if ask(question)? {
        Ok(())
    } else {
        Err(Failure::error("not sent: nobody said yes").hint("`--yes` sends without asking"))
    }
}

fn shown(claim: &Claim, outgoing: &Outgoing, through: &[(&str, String)]) -> String {
    let mut out = format!("claim {}\n", claim.number);
    for (label, words) in through {
        out.push_str(&format!("{label:<10}{words}\n"));
    }
    out.push_str(&format!("subject   {}\n", outgoing.letter.subject));
    match claim.value {
        Some(value) => out.push_str(&format!("amount    {value} {}\n", claim.currency)),
        None => out.push_str("amount    not known\n"),
    }
    for one in &outgoing.enclosed {
        out.push_str(&format!(
            "enclosed  {} (from {})\n",
            one.name, one.kept.path
        ));
    }
    out.push('\n');
    for line in outgoing.letter.text.lines() {
        out.push_str(&format!("  | {line}\n"));
    }
    out.push('\n');
    out
}

fn told(
    world: &mut World,
    claim: &Claim,
    mail: &Mail,
    ended: &Ended,
    state: State,
    answer_by: Option<NaiveDate>,
) -> Result<Status, Failure> {
    if world.json {
        let (result, detail) = match ended {
            Ended::Taken(words) => ("sent", words),
            Ended::NotSent(why) => ("not-sent", why),
            Ended::MayHaveGone(why) => ("may-have-gone", why),
        };
        world.print(&json::printed(&json!({
            "claim": claim.number,
            "result": result,
            "detail": detail,
            "state": state.name(),
            "message_id": mail.message_id,
            "answer_by": answer_by.map(|day| day.to_string()),
        })))?;
    }
    match ended {
        Ended::Taken(_) => {
            if !world.json {
                let by = answer_by
                    .map(|day| format!("; an answer is asked by {day}"))
                    .unwrap_or_default();
                world.print(&format!("sent to {}{by}\n", mail.to.join(", ")))?;
            }
            Ok(Status::Fine)
        }
        Ended::NotSent(why) => Err(Failure::error(format!("not sent: {why}"))
            .hint("nothing went; the same command tries again")),
        Ended::MayHaveGone(why) => Err(Failure::error(format!(
            "the connection broke while the letter went, so it may have gone: {why}"
        ))
        .hint("ask them whether it came; `asordered claim answer` notes that it did")
        .hint(format!(
            "`asordered claim send {} --again` sends it again, with the same Message-ID",
            claim.number
        ))),
    }
}
