//! Settling a claim by what came for it, and opening it again where that turns out wrong. Judges nothing; that is
//! `claim/replacement`.

use crate::book::answers::came;
use crate::book::claims::{Claim, allowed, find, note, set_state};
use crate::book::derive::Papers;
use crate::book::error::BookError;
use crate::book::papers::{OrderRow, order_row, papers};
use crate::book::reader::Reader;
use crate::book::record::rederive;
use crate::book::{Book, stamp};
use crate::check::check;
use crate::claim::asked::{self, AskedPart};
use crate::claim::cycle::{State, Step};
use crate::claim::remedy::Remedy;
use crate::claim::replacement::{Came, Judged, Wanted, judge};
use crate::claim::standing;
use crate::model::answer::{Answer, Lot};
use crate::model::money::Money;
use crate::model::quantity::Quantity;
use crate::model::unit::Unit;
use chrono::{DateTime, NaiveDate, Utc};
use rusqlite::{Connection, OptionalExtension, params};
use rust_decimal::Decimal;
use serde_json::Value;

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
        let row = order_row(&work, &claim.order)?
            .ok_or_else(|| BookError::refused("the claim's order is gone from the book"))?;
        let papers = papers(&work, &reader, &row)?;
        let after = answer(&papers)?;
        if *arrived == Arrived::Collection {
            fetchable(&papers, &after, &claim)?;
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
        let (kind, receipt, amount, paper) = match arrived {
            Arrived::Replacement { receipt } => {
                let id = replacement(&work, &claim, row.id, receipt)?;
                brings_something(&claim, &after, receipt)?;
                ("replacement", Some(id), None, None)
            }
            Arrived::Credit { amount, paper } => {
                if let Some(paper) = paper {
                    not_counted_yet(&work, &claim, *amount, paper)?;
                }
                ("credit", None, Some(*amount), paper.clone())
            }
            Arrived::Collection => ("collection", None, None, None),
            Arrived::Enough { reason } => ("enough", None, None, Some(reason.clone())),
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
        let judged = judge_now(&work, &claim, &after)?;
        let state = state_after(&claim, arrived, &judged);
        work.execute(
            "UPDATE settlements SET made_right = ?2, judged = ?3, amount = coalesce(amount, ?4) WHERE id = ?1",
            params![
                settlement,
                match arrived {
                    Arrived::Replacement { receipt } => is_right_in(&after, &claim, receipt)?,
                    Arrived::Credit { .. } | Arrived::Collection | Arrived::Enough { .. } =>
                        !judged.wrong,
                },
                told(&judged),
                judged.let_go.map(|amount| amount.to_string())
            ],
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
            row.id,
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
    // Everything in the book when the claim was drafted was counted then: what it asks for is missing beside that.
    if receipts_then(claim).iter().any(|known| known == receipt) {
        return Err(BookError::refused(format!(
            "receipt `{receipt}` was in the book when claim `{}` was drafted, and what it brought was counted then",
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

/// Returns the receipts that were in the book when a claim was drafted, by the answer kept with it.
fn receipts_then(claim: &Claim) -> Vec<String> {
    let answer: Value = serde_json::from_str(&claim.answer).unwrap_or_default();
    answer["receipts"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|receipt| receipt.as_str().map(ToOwned::to_owned))
        .collect()
}

/// Refuses a receipt that brought nothing on the lines a claim is about.
fn brings_something(claim: &Claim, after: &Answer, receipt: &str) -> Result<(), BookError> {
    let lines = lines_of(&claim.parts()?);
    if lots_on(after, &lines, receipt).next().is_some() {
        return Ok(());
    }
    let what = if lines.is_empty() {
        "which is about no line of the order".to_owned()
    } else {
        format!("which is about line {}", lines.join(", "))
    };
    Err(BookError::refused(format!(
        "receipt `{receipt}` brought nothing for claim `{}`, {what}",
        claim.number
    ))
    .hint("money is `--credit`, a pickup `--collected`; what came wrong is claimed by `asordered claim draft`"))
}

/// Returns whether all that a receipt brought on the lines of a claim is as it should be.
fn is_right_in(after: &Answer, claim: &Claim, receipt: &str) -> Result<bool, BookError> {
    let parts = claim.parts()?;
    let lines = lines_of(&parts);
    let conforms = lots_on(after, &lines, receipt).all(|lot| lot.rejected.is_zero());
    let sets_can_be_made = after
        .lines
        .iter()
        .filter(|line| {
            parts.iter().any(|part| {
                part.wanted.is_on(line)
                    && matches!(part.wanted.remedy, Remedy::SendLeaves | Remedy::NewSet)
            })
        })
        .filter_map(|line| line.sequence.as_ref())
        .all(|sequence| sequence.missing.is_empty());
    Ok(conforms && sets_can_be_made)
}

fn lines_of(parts: &[AskedPart]) -> Vec<String> {
    let mut lines: Vec<String> = parts
        .iter()
        .filter_map(|part| part.wanted.line.clone())
        .collect();
    lines.dedup();
    lines
}

fn lots_on<'a>(
    after: &'a Answer,
    lines: &'a [String],
    receipt: &'a str,
) -> impl Iterator<Item = &'a Lot> {
    after
        .lines
        .iter()
        .filter(|line| lines.contains(&line.line))
        .flat_map(|line| &line.lots)
        .filter(move |lot| lot.receipt == receipt)
}

/// Refuses the same credit a second time.
fn not_counted_yet(
    work: &Connection,
    claim: &Claim,
    amount: Money,
    paper: &str,
) -> Result<(), BookError> {
    let known: i64 = work.query_row(
        "SELECT count(*) FROM settlements WHERE claim_id = ?1 AND kind = 'credit' AND paper = ?2 AND amount = ?3",
        params![claim.id, paper, amount.to_string()],
        |row| row.get(0),
    )?;
    if known == 0 {
        return Ok(());
    }
    Err(BookError::refused(format!(
        "credit `{paper}` of {amount} has been counted for claim `{}` already",
        claim.number
    ))
    .hint("another credit has a number of its own"))
}

/// Refuses a pickup where nothing stands here to be fetched.
fn fetchable(papers: &Papers, after: &Answer, claim: &Claim) -> Result<(), BookError> {
    let Some(now) = papers.claims.iter().find(|one| one.number == claim.number) else {
        return Ok(());
    };
    if standing::is_anything_to_fetch(after, now) {
        return Ok(());
    }
    let number = &claim.number;
    let why = if now.came.collected.is_some() {
        format!("the goods of claim `{number}` have been collected already")
    } else {
        format!("claim `{number}` is about no goods that are to be collected")
    };
    Err(BookError::refused(why).hint(claim.state.next(number)))
}

/// Returns what other claims took of the goods that came for a claim too, by line: a receipt counts first for the
/// claim that it was noted for first.
fn taken(
    connection: &Connection,
    claim: &Claim,
    after: &Answer,
) -> Result<Vec<(String, Decimal)>, BookError> {
    let shared: Vec<(String, String)> = connection
        .prepare_cached(
            "SELECT DISTINCT c.number, r.number FROM settlements mine \
             JOIN settlements other ON other.receipt_id = mine.receipt_id AND other.claim_id <> mine.claim_id \
               AND other.id < mine.id \
             JOIN claims c ON c.id = other.claim_id JOIN receipts r ON r.id = other.receipt_id \
             WHERE mine.claim_id = ?1 AND c.state <> ?2 ORDER BY c.id",
        )?
        .query_map(params![claim.id, State::Withdrawn.name()], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })?
        .collect::<Result<_, _>>()?;
    let mut out: Vec<(String, Decimal)> = Vec::new();
    for of_one in shared.chunk_by(|a, b| a.0 == b.0) {
        let other = find(connection, &of_one[0].0)?;
        let receipts = came(connection, other.id)?.receipts;
        for part in other.parts()? {
            let (Some(line), true) = (&part.wanted.line, part.wanted.remedy.sends_goods()) else {
                continue;
            };
            let good = |here: bool| -> Decimal {
                receipts
                    .iter()
                    .filter(|receipt| of_one.iter().any(|(_, shared)| shared == *receipt) == here)
                    .flat_map(|receipt| lots_on(after, std::slice::from_ref(line), receipt))
                    .map(|lot| lot.amount - lot.rejected)
                    .sum()
            };
            let missing = (part.wanted.amount.amount - good(false)).max(Decimal::ZERO);
            out.push((line.clone(), missing.min(good(true))));
        }
    }
    Ok(out)
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
        let state = state_of(&judged);
        let changed = match claim.state {
            State::Right | State::PartlyRight | State::WrongAgain => state != claim.state,
            // Told of what was wrong, and waiting: only what makes all of it right changes that.
            State::MayHaveGone | State::Sent | State::Promised | State::Refused => {
                state == State::Right
            }
            State::Drafted | State::Withdrawn => false,
        };
        if !changed {
            continue;
        }
        let newest = papers.receipts.last().map(|receipt| receipt.date);
        let closed = newest.filter(|_| state.is_closed());
        set_state(work, &claim, state, closed)?;
        for receipt in came(work, claim.id)?.receipts {
            work.execute(
                "UPDATE settlements SET made_right = ?3, judged = ?4 \
                 WHERE claim_id = ?1 AND receipt_id = (SELECT id FROM receipts WHERE number = ?2)",
                params![
                    claim.id,
                    receipt,
                    is_right_in(&answer, &claim, &receipt)?,
                    told(&judged)
                ],
            )?;
        }
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
    let came = Came {
        taken: taken(connection, claim, after)?,
        ..came(connection, claim.id)?
    };
    Ok(judge(&wanted, claim.value, &came, after))
}

/// Returns the state of a claim once something came. A claim made right stays so when its goods are collected, and
/// money or a pickup do not make wrong again what they were told of already.
fn state_after(claim: &Claim, arrived: &Arrived, judged: &Judged) -> State {
    let state = state_of(judged);
    match arrived {
        _ if claim.state == State::Right => State::Right,
        Arrived::Credit { .. } if state == State::WrongAgain && claim.state != state => {
            State::PartlyRight
        }
        Arrived::Collection | Arrived::Enough { .. } if state == State::WrongAgain => claim.state,
        Arrived::Replacement { .. }
        | Arrived::Credit { .. }
        | Arrived::Collection
        | Arrived::Enough { .. } => state,
    }
}

fn state_of(judged: &Judged) -> State {
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
