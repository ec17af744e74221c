//! Messages: the intent to send is in the book before the first byte goes, the result after. A claim whose message
//! has an intent and no result may have gone.

use crate::book::claims::{allowed, note, order_of, set_state, unreadable};
use crate::book::document::sha256;
use crate::book::error::BookError;
use crate::book::{Book, claims, stamp};
use crate::claim::cycle::{State, Step};
use chrono::{DateTime, NaiveDate, Utc};
use rusqlite::{OptionalExtension, Row, params};

/// How sending a message ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SendResult {
    /// Nothing is known yet: it is going, or the program was cut off while it went.
    Going,
    /// The server took it.
    Sent,
    /// It did not go; it can be sent again without harm.
    NotSent,
    /// The connection was cut after the body: it may have gone.
    MayHaveGone,
    /// It was written to a folder, for the owner to send.
    Written,
    /// They were told by other means: by post, by phone, on their portal.
    Told,
}

impl SendResult {
    /// Returns the name in the book.
    pub const fn name(self) -> &'static str {
        match self {
            SendResult::Going => "going",
            SendResult::Sent => "sent",
            SendResult::NotSent => "not-sent",
            SendResult::MayHaveGone => "may-have-gone",
            SendResult::Written => "written",
            SendResult::Told => "told",
        }
    }

    fn named(name: &str) -> Option<SendResult> {
        [
            SendResult::Going,
            SendResult::Sent,
            SendResult::NotSent,
            SendResult::MayHaveGone,
            SendResult::Written,
            SendResult::Told,
        ]
        .into_iter()
        .find(|result| result.name() == name)
    }
}

/// A message as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Message {
    /// Its id in the book.
    pub id: i64,
    /// The letter it carries.
    pub letter: i64,
    /// Which letter that is.
    pub kind: String,
    /// Its Message-ID.
    pub message_id: String,
    /// Where it goes, separated by commas.
    pub recipients: String,
    /// The hash of its bytes.
    pub sha256: String,
    /// How sending ended.
    pub result: SendResult,
    /// What the server said.
    pub detail: Option<String>,
    /// When the intent was written, UTC.
    pub intended: String,
    /// When the result was written, UTC.
    pub ended: Option<String>,
    /// The day it went, by the shop's calendar.
    pub day: Option<NaiveDate>,
}

impl Message {
    /// Returns whether it surely went.
    pub const fn went(&self) -> bool {
        match self.result {
            SendResult::Sent | SendResult::Written | SendResult::Told => true,
            SendResult::Going | SendResult::MayHaveGone | SendResult::NotSent => false,
        }
    }

    /// Returns the day it went, by the shop's calendar; the day of its intent where the book knows no other.
    pub fn on(&self) -> String {
        self.day.map_or_else(
            || self.intended.chars().take(10).collect(),
            |day| day.to_string(),
        )
    }

    /// Returns what became of which letter, in words.
    pub fn said(&self) -> String {
        let to = format!("{} to {}", self.kind, self.recipients);
        let why = self
            .detail
            .as_deref()
            .filter(|detail| !detail.is_empty())
            .map(|detail| format!(": {detail}"))
            .unwrap_or_default();
        match self.result {
            SendResult::Sent => format!("{to}: sent"),
            SendResult::NotSent => format!("{to}: not sent{why}"),
            SendResult::Going => format!("{to}: may have gone, its end is not known"),
            SendResult::MayHaveGone => format!("{to}: may have gone{why}"),
            SendResult::Written => format!("{to}: written{why}"),
            // They were told, at no address of theirs; the detail says how.
            SendResult::Told => format!("{}{why}", self.kind),
        }
    }
}

/// A message about to go.
#[derive(Debug, Clone, Copy)]
pub struct Intent<'a> {
    /// The letter it carries.
    pub letter: i64,
    /// Its Message-ID.
    pub message_id: &'a str,
    /// Where it goes.
    pub recipients: &'a [String],
    /// Its bytes.
    pub bytes: &'a [u8],
    /// Whether the owner knows that it may have gone before.
    pub again: bool,
}

impl Book {
    /// Writes the intent to send. The claim is *may have gone* from now until the result is written, so that a
    /// program cut off in between leaves the truth. Returns the message's id.
    ///
    /// # Errors
    /// The claim's state does not allow `step` (sending or reminding); the disk refuses.
    pub fn intend(
        &mut self,
        number: &str,
        step: Step,
        intent: &Intent<'_>,
        now: DateTime<Utc>,
    ) -> Result<i64, BookError> {
        let stamp = stamp(now);
        let work = self.begin()?;
        let claim = allowed(&work, number, step)?;
        // Looked at here, where no other program writes: of two that send at once, one is refused.
        let before: i64 = work.query_row(
            "SELECT count(*) FROM messages WHERE letter_id = ?1 AND result <> 'not-sent'",
            [intent.letter],
            |row| row.get(0),
        )?;
        if before > 0 && !intent.again {
            return Err(BookError::refused(format!(
                "this letter of claim `{number}` went before, or may have gone"
            ))
            .hint(claim.state.next(number)));
        }
        work.execute(
            "INSERT INTO messages (claim_id, letter_id, message_id, recipients, sha256, result, intended) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            params![
                claim.id,
                intent.letter,
                intent.message_id,
                intent.recipients.join(", "),
                sha256(intent.bytes),
                SendResult::Going.name(),
                stamp
            ],
        )?;
        let id = work.last_insert_rowid();
        if step == Step::Send {
            set_state(&work, &claim, State::MayHaveGone, None)?;
        }
        let order = order_of(&work, &claim)?;
        note(
            &work,
            &stamp,
            "sending begun",
            number,
            order,
            claim.id,
            intent.message_id,
        )?;
        work.commit()?;
        Ok(id)
    }

    /// Writes how sending ended, and moves the claim: sent where it went, back to where it was where it did not go.
    /// The day an answer is asked by is that of a letter that went or may have gone.
    ///
    /// # Errors
    /// The book does not have the message; the disk refuses.
    pub fn ended(
        &mut self,
        message: i64,
        result: SendResult,
        detail: &str,
        day: NaiveDate,
        answer_by: Option<NaiveDate>,
        now: DateTime<Utc>,
    ) -> Result<State, BookError> {
        let stamp = stamp(now);
        let work = self.begin()?;
        let known: Option<(String, i64)> = work
            .query_row(
                "SELECT c.number, m.letter_id FROM messages m JOIN claims c ON c.id = m.claim_id WHERE m.id = ?1",
                [message],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        let (number, letter) =
            known.ok_or_else(|| BookError::refused("the book has no such message"))?;
        let claim = claims::find(&work, &number)?;
        work.execute(
            "UPDATE messages SET result = ?2, detail = ?3, ended = ?4, day = ?5 WHERE id = ?1",
            params![message, result.name(), detail, stamp, day.to_string()],
        )?;
        let order = order_of(&work, &claim)?;
        // Only a claim on its first way is moved by a message; a reminder leaves it where it is.
        let state = if claim.state == State::MayHaveGone {
            match result {
                SendResult::Sent | SendResult::Written | SendResult::Told => State::Sent,
                SendResult::NotSent => before_sending(&work, claim.id, letter)?,
                SendResult::MayHaveGone | SendResult::Going => State::MayHaveGone,
            }
        } else {
            claim.state
        };
        set_state(&work, &claim, state, claim.closed)?;
        if state == State::Sent && result != SendResult::NotSent {
            work.execute(
                "UPDATE claims SET sent = coalesce(sent, ?2), answer_by = coalesce(?3, answer_by) WHERE id = ?1",
                params![
                    claim.id,
                    day.to_string(),
                    answer_by.map(|day| day.to_string())
                ],
            )?;
        }
        let what = match result {
            SendResult::Sent => "letter sent",
            SendResult::Written => "letter written to a folder",
            SendResult::Told => "told by other means",
            SendResult::NotSent => "letter not sent",
            SendResult::MayHaveGone | SendResult::Going => "letter may have gone",
        };
        // What the owner notes may be of another day than the entry.
        let detail = match result {
            SendResult::Written | SendResult::Told => format!("{detail}, on {day}"),
            SendResult::Sent
            | SendResult::NotSent
            | SendResult::MayHaveGone
            | SendResult::Going => detail.to_owned(),
        };
        note(&work, &stamp, what, &number, order, claim.id, &detail)?;
        work.commit()?;
        Ok(state)
    }

    /// Returns the messages of a claim, oldest first.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn messages(&self, claim: &claims::Claim) -> Result<Vec<Message>, BookError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT m.id, m.letter_id, l.kind, m.message_id, m.recipients, m.sha256, m.result, m.detail, \
               m.intended, m.ended, m.day \
             FROM messages m JOIN letters l ON l.id = m.letter_id WHERE m.claim_id = ?1 ORDER BY m.id",
        )?;
        let rows = statement.query_map([claim.id], message)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

/// A claim that was never sent is a draft again; one that was is where wrong replacements leave it.
fn before_sending(
    work: &rusqlite::Connection,
    claim: i64,
    letter: i64,
) -> Result<State, BookError> {
    // Whatever may have gone of other letters changes nothing about this one.
    let gone: bool = work.query_row(
        "SELECT EXISTS (SELECT 1 FROM messages WHERE letter_id = ?1 AND result IN ('going', 'may-have-gone'))",
        [letter],
        |row| row.get(0),
    )?;
    // What was answered or settled had reached them, also where nobody noted on which day.
    let reached: bool = work.query_row(
        "SELECT sent IS NOT NULL OR EXISTS (SELECT 1 FROM answers WHERE claim_id = ?1) \
           OR EXISTS (SELECT 1 FROM settlements WHERE claim_id = ?1) FROM claims WHERE id = ?1",
        [claim],
        |row| row.get(0),
    )?;
    Ok(if gone {
        // An earlier try may still have gone; that this one did not changes nothing about it.
        State::MayHaveGone
    } else if reached {
        State::WrongAgain
    } else {
        State::Drafted
    })
}

fn message(row: &Row<'_>) -> rusqlite::Result<Message> {
    let result: String = row.get(6)?;
    Ok(Message {
        id: row.get(0)?,
        letter: row.get(1)?,
        kind: row.get(2)?,
        message_id: row.get(3)?,
        recipients: row.get(4)?,
        sha256: row.get(5)?,
        result: SendResult::named(&result).ok_or_else(|| unreadable(6))?,
        detail: row.get(7)?,
        intended: row.get(8)?,
        ended: row.get(9)?,
        day: claims::parsed_or_none(row, 10)?,
    })
}
