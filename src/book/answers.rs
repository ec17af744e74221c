//! What the other side answered and what came of it. Judges nothing; that is `claim/replacement`.

use crate::book::claims::{
    Claim, allowed, note, order_of, parsed, parsed_or_none, set_state, unreadable,
};
use crate::book::error::BookError;
use crate::book::{Book, stamp};
use crate::claim::cycle::{State, Step};
use crate::claim::replacement::Came;
use crate::model::money::Money;
use chrono::{DateTime, NaiveDate, Utc};
use rusqlite::{Connection, OptionalExtension, params};

/// What they promised or said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AnswerKind {
    /// Goods will come.
    Replacement,
    /// Money will be credited.
    Credit,
    /// Goods will be collected.
    Collection,
    /// No.
    Refused,
}

impl AnswerKind {
    /// Returns the name in the book.
    pub const fn name(self) -> &'static str {
        match self {
            AnswerKind::Replacement => "replacement",
            AnswerKind::Credit => "credit",
            AnswerKind::Collection => "collection",
            AnswerKind::Refused => "refused",
        }
    }

    /// Returns the kind of a name.
    pub fn named(name: &str) -> Option<AnswerKind> {
        [
            AnswerKind::Replacement,
            AnswerKind::Credit,
            AnswerKind::Collection,
            AnswerKind::Refused,
        ]
        .into_iter()
        .find(|kind| kind.name() == name)
    }
}

/// An answer of theirs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TheirAnswer {
    /// The day they answered.
    pub date: NaiveDate,
    /// What they said.
    pub kind: AnswerKind,
    /// By when they promised it.
    pub by: Option<NaiveDate>,
    /// How much they promised to credit.
    pub amount: Option<Money>,
    /// In words.
    pub note: Option<String>,
}

/// A settlement as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Settled {
    /// The day.
    pub date: NaiveDate,
    /// `replacement`, `credit`, `collection` or `enough`.
    pub kind: String,
    /// The receipt of the replacement.
    pub receipt: Option<String>,
    /// The amount credited.
    pub amount: Option<Money>,
    /// The credit's number, or the reason why what came is enough.
    pub paper: Option<String>,
    /// Whether all was right with it.
    pub made_right: bool,
    /// The judgement in words, a line each.
    pub judged: String,
}

impl Settled {
    /// Returns what came, in words.
    pub fn what(&self) -> String {
        match (&self.receipt, self.amount) {
            (Some(receipt), _) => format!("goods, receipt {receipt}"),
            (None, Some(amount)) => format!("credit of {amount}"),
            (None, None) => self.kind.clone(),
        }
    }
}

impl Book {
    /// Notes what they answered.
    ///
    /// # Errors
    /// The claim's state does not allow it; the disk refuses.
    pub fn answer(
        &mut self,
        number: &str,
        answer: &TheirAnswer,
        now: DateTime<Utc>,
    ) -> Result<State, BookError> {
        let stamp = stamp(now);
        let work = self.begin()?;
        let claim = allowed(&work, number, Step::Answer)?;
        // They answered, so it came: the first letter that may have gone did.
        let sent = match claim.sent {
            Some(sent) => Some(sent),
            None => may_have_gone(&work, claim.id, answer.date)?,
        };
        if let Some(sent) = sent {
            let days = [
                ("the answer's day", Some(answer.date)),
                ("the day promised", answer.by),
            ];
            for (what, day) in days {
                if let Some(day) = day.filter(|day| *day < sent) {
                    return Err(BookError::refused(format!(
                        "{what}, {day}, lies before claim `{number}` was sent, on {sent}"
                    ))
                    .hint("look at the date again"));
                }
            }
        }
        work.execute(
            "INSERT INTO answers (claim_id, date, kind, by, amount, note, recorded) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            params![
                claim.id,
                answer.date.to_string(),
                answer.kind.name(),
                answer.by.map(|day| day.to_string()),
                answer.amount.map(|amount| amount.to_string()),
                answer.note,
                stamp
            ],
        )?;
        let state = match answer.kind {
            AnswerKind::Refused => State::Refused,
            AnswerKind::Replacement | AnswerKind::Credit | AnswerKind::Collection => {
                State::Promised
            }
        };
        set_state(&work, &claim, state, None)?;
        work.execute(
            "UPDATE claims SET sent = ?2 WHERE id = ?1",
            params![claim.id, sent.map(|day| day.to_string())],
        )?;
        let detail = said(answer);
        note(
            &work,
            &stamp,
            "claim answered",
            number,
            order_of(&work, &claim)?,
            claim.id,
            &detail,
        )?;
        work.commit()?;
        Ok(state)
    }

    /// Returns what they answered, oldest first.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn answers(&self, claim: &Claim) -> Result<Vec<TheirAnswer>, BookError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT date, kind, by, amount, note FROM answers WHERE claim_id = ?1 ORDER BY id",
        )?;
        let rows = statement.query_map([claim.id], |row| {
            let kind: String = row.get(1)?;
            Ok(TheirAnswer {
                date: parsed(row, 0)?,
                kind: AnswerKind::named(&kind).ok_or_else(|| unreadable(1))?,
                by: parsed_or_none(row, 2)?,
                amount: parsed_or_none(row, 3)?.map(Money),
                note: row.get(4)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Returns what came for a claim, added up.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn came(&self, claim: &Claim) -> Result<Came, BookError> {
        came(&self.connection, claim.id)
    }

    /// Returns what came for a claim, oldest first.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn settlements(&self, claim: &Claim) -> Result<Vec<Settled>, BookError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT s.date, s.kind, r.number, s.amount, s.paper, s.made_right, s.judged FROM settlements s \
             LEFT JOIN receipts r ON r.id = s.receipt_id WHERE s.claim_id = ?1 ORDER BY s.id",
        )?;
        let rows = statement.query_map([claim.id], |row| {
            let kind: String = row.get(1)?;
            let amount = parsed_or_none(row, 3)?.map(Money);
            Ok(Settled {
                date: parsed(row, 0)?,
                receipt: row.get(2)?,
                amount: amount.filter(|_| kind == "credit"),
                kind,
                paper: row.get(4)?,
                made_right: row.get(5)?,
                judged: row.get(6)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

/// Returns the day the first letter of a claim went that may have gone. Where the program was cut off before it noted the
/// day, that of the stamp, which is UTC: no later than the answer.
fn may_have_gone(
    work: &Connection,
    claim: i64,
    answered: NaiveDate,
) -> Result<Option<NaiveDate>, BookError> {
    let first = work
        .query_row(
            "SELECT day, substr(intended, 1, 10) FROM messages \
             WHERE claim_id = ?1 AND result IN ('going', 'may-have-gone') ORDER BY id LIMIT 1",
            [claim],
            |row| Ok((parsed_or_none(row, 0)?, parsed_or_none(row, 1)?)),
        )
        .optional()?;
    Ok(
        first.and_then(|(day, stamp): (Option<NaiveDate>, Option<NaiveDate>)| {
            day.or_else(|| stamp.map(|stamp| stamp.min(answered)))
        }),
    )
}

/// Returns an answer in words.
pub fn said(answer: &TheirAnswer) -> String {
    let mut out = match answer.kind {
        AnswerKind::Replacement => "replacement promised".to_owned(),
        AnswerKind::Credit => "credit promised".to_owned(),
        AnswerKind::Collection => "collection promised".to_owned(),
        AnswerKind::Refused => "refused".to_owned(),
    };
    if let Some(amount) = answer.amount {
        out.push_str(&format!(" of {amount}"));
    }
    if let Some(by) = answer.by {
        out.push_str(&format!(" by {by}"));
    }
    if let Some(note) = &answer.note {
        out.push_str(&format!(": {note}"));
    }
    out
}

/// Returns what came for a claim.
pub(crate) fn came(connection: &Connection, claim: i64) -> Result<Came, BookError> {
    let mut statement = connection.prepare_cached(
        "SELECT s.kind, r.number, s.amount FROM settlements s LEFT JOIN receipts r ON r.id = s.receipt_id \
         WHERE s.claim_id = ?1 ORDER BY s.id",
    )?;
    let mut rows = statement.query([claim])?;
    let mut came = Came::default();
    while let Some(row) = rows.next()? {
        let kind: String = row.get(0)?;
        if let Some(receipt) = row.get(1)? {
            came.receipts.push(receipt);
        }
        if let (Some(amount), "credit") = (parsed_or_none(row, 2)?, kind.as_str()) {
            came.credited = came.credited + Money(amount);
        }
        if kind == "collection" {
            came.collected = Some(came.receipts.len());
        }
        came.enough |= kind == "enough";
    }
    Ok(came)
}
