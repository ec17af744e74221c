//! A letter that does not go through the mail server: written into a folder to print or post, or told by other means
//! and only noted. Sends nothing.

use crate::book::Book;
use crate::book::claims::Claim;
use crate::book::message::{Intent, SendResult};
use crate::claim::cycle::Step;
use crate::claim::mail::Mail;
use crate::cli::Status;
use crate::cli::claim::outgoing::Outgoing;
use crate::cli::claim::send::agreed;
use crate::cli::failure::Failure;
use crate::cli::world::{World, now};
use crate::files;
use crate::report::json;
use chrono::NaiveDate;
use serde_json::json;
use std::path::{Path, PathBuf};

/// One letter on its way, and when.
#[derive(Debug, Clone, Copy)]
pub struct Round<'a> {
    /// The claim.
    pub claim: &'a Claim,
    /// Its letter.
    pub outgoing: &'a Outgoing,
    /// Sending, reminding, thanking.
    pub step: Step,
    /// The day it goes.
    pub day: NaiveDate,
    /// The day by which an answer is asked.
    pub answer_by: NaiveDate,
    /// Whether the owner knows that it may have gone before.
    pub again: bool,
}

/// What stands for the Message-ID of a letter that is no message.
const NO_MESSAGE: &str = "-";

/// Returns the day a letter goes.
///
/// # Errors
/// It lies after today, or before the claim.
pub fn day(on: Option<NaiveDate>, claim: &Claim, world: &World) -> Result<NaiveDate, Failure> {
    let day = on.unwrap_or(world.today);
    if day > world.today {
        return Err(
            Failure::error(format!("{day} lies after today, {}", world.today))
                .hint("note it on the day it goes"),
        );
    }
    if on.is_some() && day < claim.drafted {
        return Err(Failure::error(format!(
            "{day} lies before claim `{}` was drafted, on {}",
            claim.number, claim.drafted
        )));
    }
    Ok(day)
}

/// Writes the letter into a folder, after showing it and asking; the claim counts as sent then.
///
/// # Errors
/// A letter of that name is there already; nobody agreed; the disk or the book refuses.
pub fn to_folder(
    book: &mut Book,
    world: &mut World,
    round: &Round<'_>,
    mail: Option<&Mail>,
    folder: &Path,
    yes: bool,
) -> Result<Status, Failure> {
    let Round {
        claim, outgoing, ..
    } = *round;
    let letter = &outgoing.letter;
    let name = format!("{}-{}", claim.number, letter.kind);
    let mut files: Vec<(PathBuf, Vec<u8>)> = Vec::new();
    let mut put = |ending: &str, bytes: &[u8]| {
        files.push((folder.join(format!("{name}{ending}")), bytes.to_vec()));
    };
    if let Some(mail) = mail {
        put(".eml", &mail.bytes);
    }
    put(".txt", letter.text.as_bytes());
    if let Some(html) = &letter.html {
        put(".html", html.as_bytes());
    }
    if !outgoing.enclosed.is_empty() {
        put("-evidence.txt", outgoing.evidence().as_bytes());
    }
    if let Some((taken, _)) = files.iter().find(|(file, _)| file.exists()) {
        return Err(Failure::error(format!(
            "`{}` is there already; no letter is written over another",
            taken.display()
        ))
        .hint("name another folder, or move the earlier letter away"));
    }
    if !yes {
        let through = [
            ("to", outgoing.recipients.join(", ")),
            ("into", folder.display().to_string()),
        ];
        agreed(
            claim,
            outgoing,
            &through,
            "write it, and count it as sent? (yes or no) ",
            world,
        )?;
    }
    files::make_folder(folder)?;
    let message = intend(book, round, mail)?;
    for (file, bytes) in &files {
        if let Err(error) = files::write(file, bytes) {
            book.ended(
                message,
                SendResult::NotSent,
                "the folder refused",
                world.today,
                None,
                now(),
            )?;
            return Err(error.into());
        }
    }
    let written: Vec<String> = files
        .iter()
        .map(|(file, _)| file.display().to_string())
        .collect();
    book.ended(
        message,
        SendResult::Written,
        &written[0],
        round.day,
        Some(round.answer_by),
        now(),
    )?;
    if world.json {
        world.print(&json::printed(&json!({
            "claim": claim.number,
            "result": SendResult::Written.name(),
            "file": written[0],
            "files": written,
            "message_id": mail.map(|mail| &mail.message_id),
            "answer_by": round.answer_by.to_string(),
        })))?;
        return Ok(Status::Fine);
    }
    for file in &written {
        world.print(&format!("wrote {file}\n"))?;
    }
    let how = if mail.is_some() {
        "send or post it today"
    } else {
        "post it today, or enter it on their portal"
    };
    world.print(&format!(
        "claim {} counts as sent on {}: {how}\n{}",
        claim.number,
        round.day,
        asked_by(round)
    ))?;
    Ok(Status::Fine)
}

/// Notes that they were told by other means, after showing the letter and asking.
///
/// # Errors
/// Nobody agreed; the book refuses.
pub fn told(
    book: &mut Book,
    world: &mut World,
    round: &Round<'_>,
    by: &str,
    yes: bool,
) -> Result<Status, Failure> {
    let Round {
        claim, outgoing, ..
    } = *round;
    if !yes {
        let through = [
            ("to", outgoing.recipients.join(", ")),
            ("how", by.to_owned()),
            ("day", round.day.to_string()),
        ];
        agreed(
            claim,
            outgoing,
            &through,
            "were they told this? (yes or no) ",
            world,
        )?;
    }
    let message = intend(book, round, None)?;
    book.ended(
        message,
        SendResult::Told,
        by,
        round.day,
        Some(round.answer_by),
        now(),
    )?;
    if world.json {
        world.print(&json::printed(&json!({
            "claim": claim.number,
            "result": SendResult::Told.name(),
            "detail": by,
            "sent": round.day.to_string(),
            "answer_by": round.answer_by.to_string(),
        })))?;
    } else {
        world.print(&format!(
            "noted for claim {}: {by} on {}\n{}",
            claim.number,
            round.day,
            asked_by(round)
        ))?;
    }
    Ok(Status::Fine)
}

fn asked_by(round: &Round<'_>) -> String {
    match round.step {
        Step::Send => format!("an answer is asked by {}\n", round.answer_by),
        Step::Edit
        | Step::Remedy
        | Step::Remind
        | Step::Accept
        | Step::Answer
        | Step::Settle
        | Step::Withdraw
        | Step::Thank
        | Step::Collect => String::new(),
    }
}

fn intend(book: &mut Book, round: &Round<'_>, mail: Option<&Mail>) -> Result<i64, Failure> {
    let letter = &round.outgoing.letter;
    Ok(book.intend(
        &round.claim.number,
        round.step,
        &Intent {
            letter: letter.id,
            message_id: mail.map_or(NO_MESSAGE, |mail| mail.message_id.as_str()),
            recipients: &round.outgoing.recipients,
            bytes: mail.map_or(letter.text.as_bytes(), |mail| &mail.bytes),
            again: round.again,
        },
        now(),
    )?)
}
