//! Adds up what the review needs: the lines' sums, which the book keeps month by month, and deliveries, findings,
//! sets and claims, each in one walk over an index; orders due in one walk over all orders. Only reads. Works out no figure; that is
//! `review/measures`.

pub mod behind;

use crate::book::Book;
use crate::book::claims::{parsed, parsed_or_none, unreadable};
use crate::book::error::BookError;
use crate::claim::asked;
use crate::claim::cycle::State;
use crate::claim::remedy::Against;
use crate::model::money::Money;
use crate::review::facts::{ClaimFact, Deliveries, Due, Facts, Found, Lines, Sets};
use crate::review::measures::kinds;
use crate::review::month::{Month, Period};
use chrono::NaiveDate;
use rusqlite::{Connection, Row, params};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// A supplier's id in the book.
type Id = i64;

impl Book {
    /// Adds up the twelve months of a period for every supplier.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn review(&self, period: Period) -> Result<Vec<Facts>, BookError> {
        let connection = self.connection();
        // Everything is read as of one moment: what is recorded meanwhile is not seen.
        let snapshot = connection.unchecked_transaction()?;
        let mut replaced = replacements(connection, period)?;
        let mut replaced_lines = replaced_lines(connection, period)?;
        let mut due = due(connection, period)?;
        let mut sets = sets(connection, period)?;
        let facts = suppliers(connection)?
            .into_iter()
            .map(|(id, facts)| {
                let replacements = replaced.remove(&id).unwrap_or_default();
                let mut lines = lines_of(connection, id, period)?;
                without(&mut lines, &replaced_lines.remove(&id).unwrap_or_default());
                Ok(Facts {
                    lines,
                    deliveries: deliveries(connection, id, period, &replacements)?,
                    found: found(connection, id, period)?,
                    due: due.remove(&id).unwrap_or_default(),
                    sets: sets.remove(&id).unwrap_or_default(),
                    claims: claims(connection, id, period)?,
                    ..facts
                })
            })
            .collect();
        drop(snapshot);
        facts
    }

    /// Tells whether the sums that the book keeps of its lines month by month are those of the lines.
    ///
    /// # Errors
    /// The book does not answer.
    pub(crate) fn sums_are_right(&self) -> Result<bool, BookError> {
        let anew = "SELECT supplier_id, month, unit, as_ordered, count(*), sum(arrived_u), sum(rejected_u) \
             FROM receipt_lines GROUP BY 1, 2, 3, 4";
        let kept =
            "SELECT * FROM line_months WHERE lines <> 0 OR arrived_u <> 0 OR rejected_u <> 0";
        let differ: bool = self.connection().query_row(
            &format!(
                "SELECT EXISTS (SELECT * FROM ({anew}) EXCEPT {kept}) OR EXISTS ({kept} EXCEPT SELECT * FROM ({anew}))"
            ),
            [],
            |row| row.get(0),
        )?;
        Ok(!differ)
    }

    /// Returns the newest month in which something was received; `None` for a book without receipts.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn newest_month(&self) -> Result<Option<Month>, BookError> {
        let mut newest = None;
        for (id, _) in suppliers(self.connection())? {
            let month: Option<i64> = self
                .connection()
                .prepare_cached("SELECT max(month) FROM receipts WHERE supplier_id = ?1")?
                .query_row([id], |row| row.get(0))?;
            newest = newest.max(month.and_then(Month::numbered));
        }
        Ok(newest)
    }

    /// Returns the kept text of the shop's file, and of a supplier's by its identifier.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn kept_parties(
        &self,
        supplier: &str,
    ) -> Result<(Option<String>, Option<String>), BookError> {
        let one = |sql: &str, of: &[&str]| -> Result<Option<String>, BookError> {
            let mut statement = self.connection().prepare(sql)?;
            let mut rows = statement.query(rusqlite::params_from_iter(of))?;
            Ok(match rows.next()? {
                Some(row) => Some(row.get(0)?),
                None => None,
            })
        };
        Ok((
            one(
                "SELECT d.text FROM shop s JOIN documents d ON d.id = s.document",
                &[],
            )?,
            one(
                "SELECT d.text FROM suppliers s JOIN documents d ON d.id = s.document WHERE s.code = ?1",
                &[supplier],
            )?,
        ))
    }
}

fn suppliers(connection: &Connection) -> Result<Vec<(Id, Facts)>, BookError> {
    let mut statement = connection.prepare("SELECT id, code, name FROM suppliers ORDER BY id")?;
    let rows = statement.query_map([], |row| {
        let facts = Facts {
            supplier: row.get(1)?,
            name: row.get(2)?,
            ..Facts::default()
        };
        Ok((row.get(0)?, facts))
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

fn lines_of(
    connection: &Connection,
    supplier: Id,
    period: Period,
) -> Result<Vec<Lines>, BookError> {
    let mut statement = connection.prepare_cached(
        "SELECT month, unit, as_ordered, lines, arrived_u, rejected_u FROM line_months \
         WHERE supplier_id = ?1 AND month BETWEEN ?2 AND ?3 AND lines > 0",
    )?;
    let rows = statement.query_map(span(supplier, period), |row| {
        Ok(Lines {
            month: month(row, 0)?,
            unit: row.get(1)?,
            as_ordered: row.get(2)?,
            lines: count(row, 3)?,
            arrived: amount(row, 4)?,
            rejected: amount(row, 5)?,
        })
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

fn span(supplier: Id, period: Period) -> (Id, i64, i64) {
    (supplier, period.from().number(), period.month.number())
}

/// Deliveries that came to make a claim right, by month, whether as ordered, and whether they did make it right.
///
/// The book's verdict counts what they replace as arrived too, so that a right replacement is over; what they were
/// judged to be for the claim is the truth about them. They are therefore counted apart, with their lines and findings.
type Replaced = BTreeMap<(Month, bool, bool), u64>;

const REPLACEMENTS: &str = "(SELECT receipt_id AS id, min(made_right) AS made_right FROM settlements \
     WHERE receipt_id IS NOT NULL GROUP BY receipt_id)";

/// Adds up the lines of replacements; few beside all lines, so they are looked up one by one.
fn replaced_lines(
    connection: &Connection,
    period: Period,
) -> Result<BTreeMap<Id, Vec<Lines>>, BookError> {
    let mut statement = connection.prepare(&format!(
        "SELECT l.supplier_id, l.month, l.unit, l.as_ordered, count(*), sum(l.arrived_u), sum(l.rejected_u) \
         FROM {REPLACEMENTS} s CROSS JOIN receipt_lines l ON l.receipt_id = s.id \
         WHERE l.month BETWEEN ?1 AND ?2 GROUP BY 1, 2, 3, 4"
    ))?;
    let mut rows = statement.query(params![period.from().number(), period.month.number()])?;
    let mut out = BTreeMap::<Id, Vec<Lines>>::new();
    while let Some(row) = rows.next()? {
        out.entry(row.get(0)?).or_default().push(Lines {
            month: month(row, 1)?,
            unit: row.get(2)?,
            as_ordered: row.get(3)?,
            lines: count(row, 4)?,
            arrived: amount(row, 5)?,
            rejected: amount(row, 6)?,
        });
    }
    Ok(out)
}

/// Takes the lines of replacements out of all lines.
fn without(lines: &mut Vec<Lines>, replaced: &[Lines]) {
    for gone in replaced {
        let same = lines.iter_mut().find(|row| {
            (row.month, &row.unit, row.as_ordered) == (gone.month, &gone.unit, gone.as_ordered)
        });
        if let Some(row) = same {
            row.lines -= gone.lines;
            row.arrived -= gone.arrived;
            row.rejected -= gone.rejected;
        }
    }
    lines.retain(|row| row.lines > 0);
}

fn replacements(
    connection: &Connection,
    period: Period,
) -> Result<BTreeMap<Id, Replaced>, BookError> {
    let mut statement = connection.prepare(&format!(
        "SELECT r.supplier_id, r.month, r.as_ordered, s.made_right, count(*) \
         FROM {REPLACEMENTS} s CROSS JOIN receipts r ON r.id = s.id \
         WHERE r.month BETWEEN ?1 AND ?2 GROUP BY 1, 2, 3, 4"
    ))?;
    let mut rows = statement.query(params![period.from().number(), period.month.number()])?;
    let mut out = BTreeMap::<Id, Replaced>::new();
    while let Some(row) = rows.next()? {
        out.entry(row.get(0)?)
            .or_default()
            .insert((month(row, 1)?, row.get(2)?, row.get(3)?), count(row, 4)?);
    }
    Ok(out)
}

fn deliveries(
    connection: &Connection,
    supplier: Id,
    period: Period,
    replaced: &Replaced,
) -> Result<Vec<Deliveries>, BookError> {
    let mut statement = connection.prepare_cached(
        "SELECT month, as_ordered, count(*) FROM receipts \
         WHERE supplier_id = ?1 AND month BETWEEN ?2 AND ?3 GROUP BY month, as_ordered",
    )?;
    let mut rows = statement.query(span(supplier, period))?;
    let mut out = Vec::new();
    while let Some(row) = rows.next()? {
        let (month, as_ordered, all): (_, bool, _) = (month(row, 0)?, row.get(1)?, count(row, 2)?);
        let again = |right| {
            replaced
                .get(&(month, as_ordered, right))
                .copied()
                .unwrap_or(0)
        };
        for (replacement, as_ordered, deliveries) in [
            (false, as_ordered, all - again(true) - again(false)),
            (true, true, again(true)),
            (true, false, again(false)),
        ] {
            if deliveries > 0 {
                out.push(Deliveries {
                    month,
                    as_ordered,
                    replacement,
                    deliveries,
                });
            }
        }
    }
    Ok(out)
}

fn found(connection: &Connection, supplier: Id, period: Period) -> Result<Vec<Found>, BookError> {
    let mut statement = connection.prepare_cached(
        "SELECT f.month, f.aspect, f.kind, f.unit, o.currency, count(*), sum(f.amount_u), count(f.cost_cents), \
           coalesce(sum(f.cost_cents), 0) \
         FROM findings f JOIN orders o ON o.id = f.order_id \
         WHERE f.supplier_id = ?1 AND f.month BETWEEN ?2 AND ?3 \
           AND NOT EXISTS (SELECT 1 FROM settlements s WHERE s.receipt_id = f.receipt_id) GROUP BY 1, 2, 3, 4, 5",
    )?;
    let rows = statement.query_map(span(supplier, period), |row| {
        let (aspect, kind): (String, String) = (row.get(1)?, row.get(2)?);
        Ok(Found {
            month: month(row, 0)?,
            kind: kinds::named(&aspect, &kind).ok_or_else(|| unreadable(2))?,
            unit: row.get(3)?,
            currency: row.get(4)?,
            findings: count(row, 5)?,
            amount: amount(row, 6)?,
            priced: count(row, 7)?,
            cost: Money(Decimal::new(row.get(8)?, 2)),
        })
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Adds up the orders due. An order counts in the month it was promised for, if that day is past; one without a
/// promised day in the month goods first came. One walk over all orders: the days goods came change with every
/// receipt, and an index that holds them would be written with each.
fn due(connection: &Connection, period: Period) -> Result<BTreeMap<Id, Vec<Due>>, BookError> {
    let mut statement = connection.prepare(
        "SELECT supplier_id, promised, first_date, completed FROM orders \
         WHERE coalesce(promised, first_date) BETWEEN ?1 AND ?2",
    )?;
    let mut rows = statement.query(params![
        period.from().first().to_string(),
        period.as_of.to_string()
    ])?;
    let mut sums = BTreeMap::<(Id, Month, bool), Due>::new();
    while let Some(row) = rows.next()? {
        let day = |column| {
            row.get_ref(column)?
                .as_str_or_null()
                .map_err(rusqlite::Error::from)
        };
        let (promised, first, completed) = (day(1)?, day(2)?, day(3)?);
        let month = promised
            .or(first)
            .and_then(|day| day.get(..7)?.parse().ok())
            .ok_or_else(|| unreadable(1))?;
        let due = sums
            .entry((row.get(0)?, month, promised.is_some()))
            .or_insert(Due {
                month,
                promised: promised.is_some(),
                orders: 0,
                on_time: 0,
                in_full: 0,
                both: 0,
            });
        let on_time = first.is_some() && promised.is_some() && first <= promised;
        let in_full = completed.is_some() && completed == first;
        due.orders += 1;
        due.on_time += u64::from(on_time);
        due.in_full += u64::from(in_full);
        due.both += u64::from(on_time && in_full);
    }
    let mut out = BTreeMap::<Id, Vec<Due>>::new();
    for ((supplier, ..), due) in sums {
        out.entry(supplier).or_default().push(due);
    }
    Ok(out)
}

fn sets(connection: &Connection, period: Period) -> Result<BTreeMap<Id, Vec<Sets>>, BookError> {
    let mut statement = connection.prepare(
        "SELECT o.supplier_id, substr(coalesce(o.promised, o.first_date), 1, 7), sum(l.sets_ordered), \
           sum(l.sets_filled) \
         FROM order_lines l CROSS JOIN orders o ON o.id = l.order_id \
         WHERE l.sets_ordered > 0 AND coalesce(o.promised, o.first_date) BETWEEN ?1 AND ?2 GROUP BY 1, 2",
    )?;
    let mut rows = statement.query(params![
        period.from().first().to_string(),
        period.as_of.to_string()
    ])?;
    let mut out = BTreeMap::<Id, Vec<Sets>>::new();
    while let Some(row) = rows.next()? {
        out.entry(row.get(0)?).or_default().push(Sets {
            month: parsed(row, 1)?,
            ordered: count(row, 2)?,
            filled: count(row, 3)?,
        });
    }
    Ok(out)
}

/// Claims drafted by the end of the period that were opened, open or closed in it.
fn claims(
    connection: &Connection,
    supplier: Id,
    period: Period,
) -> Result<Vec<ClaimFact>, BookError> {
    let mut statement = connection.prepare_cached(
        "SELECT c.id, c.number, o.number, c.party, c.state, c.drafted, c.sent, c.notify_by, c.closed, c.currency, \
           c.value, c.asked \
         FROM claims c JOIN orders o ON o.id = c.order_id \
         WHERE c.supplier_id = ?1 AND c.drafted <= ?3 AND (c.drafted >= ?2 OR c.closed IS NULL OR c.closed >= ?2) \
         ORDER BY c.drafted, c.number",
    )?;
    let mut rows = statement.query(params![
        supplier,
        period.from().first().to_string(),
        period.as_of.to_string()
    ])?;
    let mut out = Vec::new();
    while let Some(row) = rows.next()? {
        let (party, state, asked): (String, String, String) =
            (row.get(3)?, row.get(4)?, row.get(11)?);
        let (credited, let_go, goods) = settled(connection, row.get(0)?, period.as_of)?;
        out.push(ClaimFact {
            number: row.get(1)?,
            order: row.get(2)?,
            on_supplier: party == Against::Supplier.name(),
            state: State::named(&state).ok_or_else(|| unreadable(4))?,
            drafted: parsed(row, 5)?,
            sent: parsed_or_none(row, 6)?,
            notify_by: parsed_or_none(row, 7)?,
            closed: parsed_or_none(row, 8)?,
            currency: row.get(9)?,
            value: parsed_or_none(row, 10)?.map(Money),
            costs: costs(&asked),
            credited,
            let_go,
            goods,
            about: about(&asked),
        });
    }
    Ok(out)
}

/// Returns what was credited for a claim by that day, what was let go, and whether goods came or were collected.
fn settled(
    connection: &Connection,
    claim: i64,
    day: NaiveDate,
) -> Result<(Money, Money, bool), BookError> {
    let mut statement = connection.prepare_cached(
        "SELECT kind, amount FROM settlements WHERE claim_id = ?1 AND date <= ?2",
    )?;
    let mut rows = statement.query(params![claim, day.to_string()])?;
    let (mut credited, mut let_go, mut goods) = (Money::ZERO, Money::ZERO, false);
    while let Some(row) = rows.next()? {
        let kind: String = row.get(0)?;
        let amount = Money(parsed_or_none(row, 1)?.unwrap_or_default());
        match kind.as_str() {
            "credit" => credited = credited + amount,
            "enough" => let_go = let_go + amount,
            _ => goods = true,
        }
    }
    Ok((credited, let_go, goods))
}

fn costs(asked: &str) -> Money {
    let Ok(asked) = serde_json::from_str::<serde_json::Value>(asked) else {
        return Money::ZERO;
    };
    asked["costs"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|cost| cost["value"].as_str()?.parse().ok())
        .map(Money)
        .sum()
}

/// Returns what a claim is about: `short 2 sheet; damaged 1 sheet`.
fn about(asked: &str) -> String {
    let mut parts: Vec<String> = Vec::new();
    for part in asked::from_json(asked).unwrap_or_default() {
        for finding in &part.findings {
            let said = format!(
                "{} {} {}",
                finding.kind.name(),
                finding.amount.normalize(),
                part.wanted.amount.unit.name()
            );
            if !parts.contains(&said) {
                parts.push(said);
            }
        }
    }
    parts.join("; ")
}

fn month(row: &Row<'_>, column: usize) -> rusqlite::Result<Month> {
    Month::numbered(row.get(column)?).ok_or_else(|| unreadable(column))
}

fn count(row: &Row<'_>, column: usize) -> rusqlite::Result<u64> {
    let count: i64 = row.get(column)?;
    u64::try_from(count).map_err(|_| unreadable(column))
}

fn amount(row: &Row<'_>, column: usize) -> rusqlite::Result<Decimal> {
    Ok(Decimal::new(row.get(column)?, 6).normalize())
}
