//! Claims: drafting, withdrawing, and reading them back. Which step is allowed is `claim/cycle`'s to say; their letters
//! and answers have files of their own.

pub use crate::book::answers::{AnswerKind, Settled, TheirAnswer, said};
pub use crate::book::letters::{Letter, NewLetter};

use crate::book::answers::came;
use crate::book::error::BookError;
use crate::book::journal::{self, Entry};
use crate::book::letters::write_letter;
use crate::book::papers::{no_order, order_row};
use crate::book::record::rederive;
use crate::book::{Book, stamp};
use crate::claim::asked::{self, AskedPart};
use crate::claim::cycle::{self, NotNow, State, Step};
use crate::claim::remedy::Against;
use crate::claim::standing::ClaimNow;
use crate::model::money::Money;
use chrono::{DateTime, NaiveDate, Utc};
use rusqlite::{Connection, OptionalExtension, Row, params};
use std::str::FromStr;

/// A claim to keep.
#[derive(Debug, Clone)]
pub struct NewClaim {
    /// Who is asked.
    pub party: Against,
    /// The receipts it is about.
    pub receipts: Vec<String>,
    /// ISO 4217 code.
    pub currency: String,
    /// What is claimed in money, where known.
    pub value: Option<Money>,
    /// The last day to tell them.
    pub notify_by: Option<NaiveDate>,
    /// The day by which an answer is asked.
    pub answer_by: NaiveDate,
    /// The answer on that day, as JSON.
    pub answer: String,
    /// What is asked for, as JSON (`claim/asked`).
    pub asked: String,
}

/// A claim as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Claim {
    /// Its id in the book.
    pub id: i64,
    /// Its number.
    pub number: String,
    /// Its order.
    pub order: String,
    /// The supplier's identifier.
    pub supplier: String,
    /// Who is asked.
    pub party: Against,
    /// How far it has come.
    pub state: State,
    /// The day it was drafted.
    pub drafted: NaiveDate,
    /// The day it was sent.
    pub sent: Option<NaiveDate>,
    /// The last day to tell them.
    pub notify_by: Option<NaiveDate>,
    /// The day by which an answer was asked.
    pub answer_by: Option<NaiveDate>,
    /// The day it was closed.
    pub closed: Option<NaiveDate>,
    /// ISO 4217 code.
    pub currency: String,
    /// What is claimed in money, where known.
    pub value: Option<Money>,
    /// The answer on the day it was drafted, as JSON.
    pub answer: String,
    /// What is asked for, as JSON.
    pub asked: String,
}

impl Claim {
    /// Returns the carrier's name, where the claim is on one and its receipts name it.
    pub fn carrier(&self) -> Option<String> {
        asked::carrier(&self.asked)
    }

    /// Returns what it asks for.
    ///
    /// # Errors
    /// The book's text is not what was written there.
    pub fn parts(&self) -> Result<Vec<AskedPart>, BookError> {
        asked::from_json(&self.asked).ok_or_else(|| {
            BookError::refused(format!(
                "what claim `{}` asks for cannot be read",
                self.number
            ))
            .hint("run `asordered verify`")
        })
    }
}

const CLAIM: &str = "SELECT c.id, c.number, o.number, s.code, c.party, c.state, c.drafted, c.sent, c.notify_by, \
     c.answer_by, c.closed, c.currency, c.value, c.answer, c.asked FROM claims c \
     JOIN orders o ON o.id = c.order_id JOIN suppliers s ON s.id = c.supplier_id";

impl Book {
    /// Returns what the claims of an order are worked out from, as it stands now.
    ///
    /// # Errors
    /// The book does not have the order.
    pub fn seen(&self, order: &str) -> Result<Seen, BookError> {
        seen(&self.connection, self.order_id(order)?)
    }

    /// Keeps the claims of an order, drafted together: all or none. Returns their numbers. `was` is what they were
    /// worked out from: it must stand as it was. `letter` writes the first
    /// notice of the claim at a place, once its number is known.
    ///
    /// # Errors
    /// The book does not have the order or a receipt; a letter cannot be written; the disk refuses.
    pub fn draft_claims(
        &mut self,
        order: &str,
        was: &Seen,
        claims: &[NewClaim],
        letter: &dyn Fn(usize, &str) -> Result<NewLetter, BookError>,
        today: NaiveDate,
        now: DateTime<Utc>,
    ) -> Result<Vec<String>, BookError> {
        let stamp = stamp(now);
        let reader = self.reader.clone();
        let work = self.begin()?;
        let row = order_row(&work, order)?.ok_or_else(|| no_order(&work, order))?;
        if seen(&work, row.id)? != *was {
            return Err(BookError::refused(format!(
                "order `{order}` changed while its claim was worked out: another program recorded something"
            ))
            .hint(format!("do it again: `asordered claim draft {order}`")));
        }
        let mut numbers = Vec::with_capacity(claims.len());
        for (place, claim) in claims.iter().enumerate() {
            let so_far: i64 = work.query_row(
                "SELECT count(*) FROM claims WHERE order_id = ?1",
                [row.id],
                |row| row.get(0),
            )?;
            let number = format!("{order}-C{}", so_far + 1);
            work.execute(
                "INSERT INTO claims (number, order_id, supplier_id, party, state, drafted, notify_by, answer_by, \
                   currency, value, answer, asked, recorded) \
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)",
                params![
                    number,
                    row.id,
                    row.supplier,
                    claim.party.name(),
                    State::Drafted.name(),
                    today.to_string(),
                    claim.notify_by.map(|day| day.to_string()),
                    claim.answer_by.to_string(),
                    claim.currency,
                    claim.value.map(|value| value.to_string()),
                    claim.answer,
                    claim.asked,
                    stamp
                ],
            )?;
            let id = work.last_insert_rowid();
            write_receipts(&work, id, claim)?;
            write_letter(&work, id, &letter(place, &number)?, &stamp)?;
            note(&work, &stamp, "claim drafted", &number, row.id, id, "")?;
            numbers.push(number);
        }
        rederive(&work, &reader, order)?;
        work.commit()?;
        Ok(numbers)
    }

    /// Drafts a claim anew, with other remedies: what it asks, its value and its letter. The wordings before stay.
    ///
    /// # Errors
    /// The claim's state does not allow it; the disk refuses.
    pub fn redraft(
        &mut self,
        number: &str,
        claim: &NewClaim,
        letter: &NewLetter,
        now: DateTime<Utc>,
    ) -> Result<(), BookError> {
        let stamp = stamp(now);
        let reader = self.reader.clone();
        let work = self.begin()?;
        let kept = allowed(&work, number, Step::Remedy)?;
        work.execute(
            "UPDATE claims SET value = ?2, notify_by = ?3, answer_by = ?4, answer = ?5, asked = ?6 WHERE id = ?1",
            params![
                kept.id,
                claim.value.map(|value| value.to_string()),
                claim.notify_by.map(|day| day.to_string()),
                claim.answer_by.to_string(),
                claim.answer,
                claim.asked
            ],
        )?;
        write_receipts(&work, kept.id, claim)?;
        write_letter(&work, kept.id, letter, &stamp)?;
        rederive(&work, &reader, &kept.order)?;
        let order = order_of(&work, &kept)?;
        note(
            &work,
            &stamp,
            "claim drafted anew",
            number,
            order,
            kept.id,
            "",
        )?;
        work.commit()?;
        Ok(())
    }

    /// Returns a claim.
    ///
    /// # Errors
    /// The book does not have it.
    pub fn claim(&self, number: &str) -> Result<Claim, BookError> {
        find(&self.connection, number)
    }

    /// Returns the id of a claim, where the book has it.
    pub(crate) fn claim_id(&self, number: &str) -> Result<Option<i64>, BookError> {
        Ok(self
            .connection
            .query_row("SELECT id FROM claims WHERE number = ?1", [number], |row| {
                row.get(0)
            })
            .optional()?)
    }

    /// Returns the claims of an order, oldest first.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn claims_of(&self, order: &str) -> Result<Vec<Claim>, BookError> {
        claims(
            &self.connection,
            &format!(
                "{CLAIM} WHERE c.order_id = (SELECT id FROM orders WHERE number = ?1) ORDER BY c.id"
            ),
            params![order],
        )
    }

    /// Returns all claims, oldest first; `open` leaves out those that are closed.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn claims(&self, open: bool) -> Result<Vec<Claim>, BookError> {
        if !open {
            return claims(
                &self.connection,
                &format!("{CLAIM} ORDER BY c.id"),
                params![],
            );
        }
        // Asked for state by state, so that the index serves it in a book of many closed claims.
        let states = State::ALL
            .into_iter()
            .filter(|state| !state.is_closed())
            .map(|state| format!("'{}'", state.name()))
            .collect::<Vec<_>>()
            .join(", ");
        claims(
            &self.connection,
            &format!("{CLAIM} WHERE c.state IN ({states}) ORDER BY c.id"),
            params![],
        )
    }

    /// Returns the claims of an order as `claim/standing` needs them.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn claims_now(&self, order: &str) -> Result<Vec<ClaimNow>, BookError> {
        let id = self.order_id(order)?;
        claims_now(&self.connection, id)
    }

    /// Takes a claim back.
    ///
    /// # Errors
    /// It is closed; the disk refuses.
    pub fn withdraw(
        &mut self,
        number: &str,
        reason: &str,
        today: NaiveDate,
        now: DateTime<Utc>,
    ) -> Result<(), BookError> {
        let stamp = stamp(now);
        let reader = self.reader.clone();
        let work = self.begin()?;
        let claim = allowed(&work, number, Step::Withdraw)?;
        set_state(&work, &claim, State::Withdrawn, Some(today))?;
        rederive(&work, &reader, &claim.order)?;
        note(
            &work,
            &stamp,
            "claim withdrawn",
            number,
            order_of(&work, &claim)?,
            claim.id,
            reason,
        )?;
        work.commit()?;
        Ok(())
    }
}

/// Writes which receipts a claim is about, as they stand now, in place of those that stood there.
fn write_receipts(work: &Connection, id: i64, claim: &NewClaim) -> Result<(), BookError> {
    work.execute("DELETE FROM claim_receipts WHERE claim_id = ?1", [id])?;
    for receipt in &claim.receipts {
        work.execute(
            "INSERT INTO claim_receipts (claim_id, receipt_id, document) \
             SELECT ?1, id, document FROM receipts WHERE number = ?2",
            params![id, receipt],
        )?;
    }
    Ok(())
}

/// What an order's claims are worked out from: its documents, and its claims with their states.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seen(String);

fn seen(connection: &Connection, order: i64) -> Result<Seen, BookError> {
    Ok(Seen(connection.query_row(
        "SELECT concat_ws('/', o.document, \
           (SELECT group_concat(document ORDER BY document) FROM receipts WHERE order_id = o.id), '', \
           (SELECT group_concat(document ORDER BY document) FROM invoices WHERE order_id = o.id), '', \
           (SELECT group_concat(id || state ORDER BY id) FROM claims WHERE order_id = o.id)) \
         FROM orders o WHERE o.id = ?1",
        [order],
        |row| row.get(0),
    )?))
}

/// Returns the claims of an order as `claim/standing` needs them.
pub(crate) fn claims_now(connection: &Connection, order: i64) -> Result<Vec<ClaimNow>, BookError> {
    claims(
        connection,
        &format!("{CLAIM} WHERE c.order_id = ?1 ORDER BY c.id"),
        params![order],
    )?
    .into_iter()
    .map(|claim| {
        Ok(ClaimNow {
            parts: claim.parts()?,
            came: came(connection, claim.id)?,
            receipts: connection
                .prepare_cached(
                    "SELECT r.number FROM claim_receipts c JOIN receipts r ON r.id = c.receipt_id \
                     WHERE c.claim_id = ?1 ORDER BY r.number",
                )?
                .query_map([claim.id], |row| row.get(0))?
                .collect::<Result<_, _>>()?,
            number: claim.number,
            state: claim.state,
        })
    })
    .collect()
}

/// Returns the claim, where its state allows the step.
pub(crate) fn allowed(work: &Connection, number: &str, step: Step) -> Result<Claim, BookError> {
    let claim = find(work, number)?;
    cycle::may(number, claim.state, step)
        .map_err(|NotNow { text, hint }| BookError::refused(text).hint(hint))?;
    Ok(claim)
}

pub(crate) fn find(connection: &Connection, number: &str) -> Result<Claim, BookError> {
    claims(
        connection,
        &format!("{CLAIM} WHERE c.number = ?1"),
        params![number],
    )?
    .pop()
    .ok_or_else(|| {
        BookError::refused(format!("the book has no claim `{number}`"))
            .hint("`asordered claim list --all` shows them")
    })
}

fn claims(
    connection: &Connection,
    sql: &str,
    params: impl rusqlite::Params,
) -> Result<Vec<Claim>, BookError> {
    let mut statement = connection.prepare_cached(sql)?;
    let rows = statement.query_map(params, |row| {
        let (party, state): (String, String) = (row.get(4)?, row.get(5)?);
        Ok(Claim {
            id: row.get(0)?,
            number: row.get(1)?,
            order: row.get(2)?,
            supplier: row.get(3)?,
            party: Against::named(&party).ok_or_else(|| unreadable(4))?,
            state: State::named(&state).ok_or_else(|| unreadable(5))?,
            drafted: parsed(row, 6)?,
            sent: parsed_or_none(row, 7)?,
            notify_by: parsed_or_none(row, 8)?,
            answer_by: parsed_or_none(row, 9)?,
            closed: parsed_or_none(row, 10)?,
            currency: row.get(11)?,
            value: parsed_or_none(row, 12)?.map(Money),
            answer: row.get(13)?,
            asked: row.get(14)?,
        })
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Writes a claim's state, and the day it was closed where it is.
pub(crate) fn set_state(
    work: &Connection,
    claim: &Claim,
    state: State,
    closed: Option<NaiveDate>,
) -> Result<(), BookError> {
    work.execute(
        "UPDATE claims SET state = ?2, closed = ?3 WHERE id = ?1",
        params![claim.id, state.name(), closed.map(|day| day.to_string())],
    )?;
    Ok(())
}

pub(crate) fn order_of(work: &Connection, claim: &Claim) -> Result<i64, BookError> {
    Ok(work.query_row(
        "SELECT order_id FROM claims WHERE id = ?1",
        [claim.id],
        |row| row.get(0),
    )?)
}

pub(crate) fn note(
    work: &Connection,
    stamp: &str,
    what: &str,
    number: &str,
    order: i64,
    claim: i64,
    detail: &str,
) -> Result<(), BookError> {
    journal::add(
        work,
        stamp,
        &Entry {
            what,
            subject: number,
            order: Some(order),
            claim: Some(claim),
            detail,
            ..Entry::default()
        },
    )
}

/// Reads a column that is kept as text.
pub(crate) fn parsed<T: FromStr>(row: &Row<'_>, column: usize) -> rusqlite::Result<T> {
    parsed_or_none(row, column)?.ok_or_else(|| unreadable(column))
}

/// Reads a column that is kept as text or NULL.
pub(crate) fn parsed_or_none<T: FromStr>(
    row: &Row<'_>,
    column: usize,
) -> rusqlite::Result<Option<T>> {
    let text: Option<String> = row.get(column)?;
    text.map(|text| text.parse().map_err(|_| unreadable(column)))
        .transpose()
}

pub(crate) fn unreadable(column: usize) -> rusqlite::Error {
    rusqlite::Error::InvalidColumnType(column, "text".to_owned(), rusqlite::types::Type::Text)
}
