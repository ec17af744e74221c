//! Settling a claim by what came for it, and opening it again where that turns out wrong. Judges nothing; that is
//! `claim/replacement`.

use crate::book::answers::came;
use crate::book::claims::{Claim, allowed, find, note, order_of, set_state};
use crate::book::derive::Papers;
use crate::book::error::BookError;
use crate::book::papers::{OrderRow, order_row, papers};
use crate::book::reader::Reader;
use crate::book::record::rederive;
use crate::book::{Book, stamp};
use crate::check::check;
use crate::claim::asked;
use crate::claim::cycle::{State, Step};
use crate::claim::remedy::Remedy;
use crate::claim::replacement::{Judged, Wanted, judge};
use crate::model::answer::Answer;
use crate::model::money::Money;
use crate::model::quantity::Quantity;
use crate::model::unit::Unit;
use chrono::{DateTime, NaiveDate, Utc};
use rusqlite::{Connection, OptionalExtension, params};
use rust_decimal::Decimal;

/// What came for a claim.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Arrived {
    /// Goods: a receipt of the same order.
    Replacement {
        /// The receipt's number.
        receipt: String,
    },
    /// Money.
    Credit {
        /// How much.
        amount: Money,
        /// The credit's number.
        paper: Option<String>,
    },
    /// The goods held were collected.
    Collection,
    /// Nothing more is asked, for a reason: the owner takes what came as enough.
    Enough {
        /// Why.
        reason: String,
    },
}

/// What settling did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettleOutcome {
    /// Where the claim stands now.
    pub state: State,
    /// The judgement.
    pub judged: Judged,
}

impl Book {
    /// Settles a claim by what came for it: goods are checked against the claim, money against its value.
    ///
    /// # Errors
    /// The claim's state does not allow it; the receipt is not one of its order, was there before the claim, or
    /// settles it already; the disk refuses.
    pub fn settle(
        &mut self,
        number: &str,
        arrived: &Arrived,
        day: NaiveDate,
        now: DateTime<Utc>,
    ) -> Result<SettleOutcome, BookError> {
        let stamp = stamp(now);
        let reader = self.reader.clone();
        let work = self.begin()?;
        let step = match arrived {
            Arrived::Collection => Step::Collect,
            Arrived::Replacement { .. } | Arrived::Credit { .. } | Arrived::Enough { .. } => {
                Step::Settle
            }
        };
        let claim = allowed(&work, number, step)?;
        let before = came(&work, claim.id)?;
        if *arrived == Arrived::Collection && before.collected.is_some() {
            return Err(BookError::refused(format!(
                "the goods of claim `{number}` have been collected already"
            ))
            .hint(claim.state.next(number)));
        }
        if let Some(sent) = claim.sent.filter(|sent| day < *sent) {
            return Err(BookError::refused(format!(
                "{day} lies before claim `{number}` was sent, on {sent}"
            ))
            .hint("look at the date again"));
        }
        if let Arrived::Credit { amount, .. } = arrived
            && *amount <= Money::ZERO
        {
            return Err(BookError::refused("a credit of nothing settles nothing"));
        }
        let order = order_of(&work, &claim)?;
        let receipt = match arrived {
            Arrived::Replacement { receipt } => Some(replacement(&work, &claim, order, receipt)?),
            Arrived::Credit { .. } | Arrived::Collection | Arrived::Enough { .. } => None,
        };
        let (kind, amount, paper) = match arrived {
            Arrived::Replacement { .. } => ("replacement", None, None),
            Arrived::Credit { amount, paper } => ("credit", Some(*amount), paper.clone()),
            Arrived::Collection => ("collection", None, None),
            Arrived::Enough { reason } => ("enough", None, Some(reason.clone())),
        };
        work.execute(
            "INSERT INTO settlements (claim_id, date, kind, receipt_id, amount, paper, made_right, judged, recorded) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, 0, '', ?7)",
            params![
                claim.id,
                day.to_string(),
                kind,
                receipt,
                amount.map(|amount| amount.to_string()),
                paper,
                stamp
            ],
        )?;
        let settlement = work.last_insert_rowid();
        let row = order_row(&work, &claim.order)?
            .ok_or_else(|| BookError::refused("the claim's order is gone from the book"))?;
        let judged = judge_now(&work, &claim, &answer(&papers(&work, &reader, &row)?)?)?;
        // A claim made right stays so when its goods are collected.
        let state = if claim.state == State::Right {
            State::Right
        } else {
            state_after(&judged)
        };
        work.execute(
            "UPDATE settlements SET made_right = ?2, judged = ?3 WHERE id = ?1",
            params![settlement, !judged.wrong, told(&judged)],
        )?;
        let closed = claim.closed.or(state.is_closed().then_some(day));
        set_state(&work, &claim, state, closed)?;
        rederive(&work, &reader, &claim.order)?;
        let what = if claim.state == State::Right {
            "goods collected".to_owned()
        } else {
            format!("claim {}", state.name())
        };
        note(
            &work,
            &stamp,
            &what,
            number,
            order,
            claim.id,
            &told(&judged),
        )?;
        work.commit()?;
        Ok(SettleOutcome { state, judged })
    }

    /// Judges a claim as it stands, by the papers of its order; records nothing.
    ///
    /// # Errors
    /// The book does not have the claim.
    pub fn judged(&self, number: &str) -> Result<Judged, BookError> {
        let claim = find(&self.connection, number)?;
        judge_now(
            &self.connection,
            &claim,
            &answer(&self.papers(&claim.order)?)?,
        )
    }
}

/// Returns the id of a receipt that can be a replacement for the claim.
fn replacement(
    work: &Connection,
    claim: &Claim,
    order: i64,
    receipt: &str,
) -> Result<i64, BookError> {
    let known: Option<(i64, i64)> = work
        .query_row(
            "SELECT id, order_id FROM receipts WHERE number = ?1",
            [receipt],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )
        .optional()?;
    let Some((id, of)) = known else {
        return Err(
            BookError::refused(format!("the book has no receipt `{receipt}`")).hint(format!(
                "record it first: `asordered receive {} FILE`",
                claim.order
            )),
        );
    };
    if of != order {
        return Err(BookError::refused(format!(
            "receipt `{receipt}` is of another order than claim `{}`",
            claim.number
        ))
        .hint(format!(
            "a replacement is received on the order it was claimed for, `{}`",
            claim.order
        )));
    }
    let claimed: i64 = work.query_row(
        "SELECT count(*) FROM claim_receipts WHERE claim_id = ?1 AND receipt_id = ?2",
        params![claim.id, id],
        |row| row.get(0),
    )?;
    if claimed > 0 {
        return Err(BookError::refused(format!(
            "receipt `{receipt}` is the one that claim `{}` is about",
            claim.number
        ))
        .hint("name the receipt of what they sent to make it right"));
    }
    let used: i64 = work.query_row(
        "SELECT count(*) FROM settlements WHERE claim_id = ?1 AND receipt_id = ?2",
        params![claim.id, id],
        |row| row.get(0),
    )?;
    if used > 0 {
        return Err(BookError::refused(format!(
            "receipt `{receipt}` has been counted for claim `{}` already",
            claim.number
        )));
    }
    Ok(id)
}

/// Judges again the claims that were settled with a receipt (all of the order's where none is named), after
/// documents changed. Returns the numbers of those that opened again.
pub(crate) fn judge_again(
    work: &Connection,
    reader: &Reader,
    order: &OrderRow,
    papers: &Papers,
    receipt: Option<i64>,
    stamp: &str,
) -> Result<Vec<String>, BookError> {
    let numbers: Vec<String> = work
        .prepare_cached(
            "SELECT DISTINCT c.number FROM claims c JOIN settlements s ON s.claim_id = c.id \
             WHERE c.order_id = ?1 AND s.receipt_id IS NOT NULL AND (?2 IS NULL OR s.receipt_id = ?2)",
        )?
        .query_map(params![order.id, receipt], |row| row.get(0))?
        .collect::<Result<_, _>>()?;
    let mut opened = Vec::new();
    if numbers.is_empty() {
        return Ok(opened);
    }
    let answer = answer(papers)?;
    for number in numbers {
        let claim = find(work, &number)?;
        let judged = judge_now(work, &claim, &answer)?;
        let state = state_after(&judged);
        let changed = match claim.state {
            State::Right | State::PartlyRight | State::WrongAgain => state != claim.state,
            State::Drafted
            | State::MayHaveGone
            | State::Sent
            | State::Promised
            | State::Refused
            | State::Withdrawn => false,
        };
        if !changed {
            continue;
        }
        let newest = papers.receipts.last().map(|receipt| receipt.date);
        let closed = newest.filter(|_| state.is_closed());
        set_state(work, &claim, state, closed)?;
        work.execute(
            "UPDATE settlements SET made_right = ?2, judged = ?3 WHERE claim_id = ?1 AND receipt_id IS NOT NULL",
            params![claim.id, !judged.wrong, told(&judged)],
        )?;
        let what = format!("claim {}", state.name());
        note(
            work,
            stamp,
            &what,
            &number,
            order.id,
            claim.id,
            &told(&judged),
        )?;
        rederive(work, reader, &claim.order)?;
        if claim.state == State::Right {
            opened.push(number);
        }
    }
    Ok(opened)
}

fn answer(papers: &Papers) -> Result<Answer, BookError> {
    Ok(check(&papers.case(None))?)
}

fn judge_now(connection: &Connection, claim: &Claim, after: &Answer) -> Result<Judged, BookError> {
    let mut wanted: Vec<_> = claim.parts()?.into_iter().map(|part| part.wanted).collect();
    // The shop's own costs are money, whatever goods come.
    wanted.extend(
        asked::costs(&claim.asked)
            .into_iter()
            .filter_map(|cost| cost.value)
            .filter(|value| *value > Money::ZERO)
            .map(|value| Wanted {
                place: "our costs".to_owned(),
                line: None,
                remedy: Remedy::Pay,
                amount: Quantity::new(Decimal::ONE, Unit::Each),
                value: Some(value),
            }),
    );
    Ok(judge(
        &wanted,
        claim.value,
        &came(connection, claim.id)?,
        after,
    ))
}

fn state_after(judged: &Judged) -> State {
    if judged.wrong && !judged.right {
        State::WrongAgain
    } else if judged.right {
        State::Right
    } else {
        State::PartlyRight
    }
}

/// Returns a judgement in words, a line each.
pub fn told(judged: &Judged) -> String {
    judged
        .parts
        .iter()
        .flat_map(|part| {
            std::iter::once(part.text.clone())
                .chain(part.wrong.iter().map(|wrong| format!("wrong: {wrong}")))
        })
        .collect::<Vec<_>>()
        .join("\n")
}
