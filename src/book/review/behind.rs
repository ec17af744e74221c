//! What stands behind a figure: every receipt, line, order, finding and claim that was counted. Works out no figure.

use crate::book::Book;
use crate::book::claims::unreadable;
use crate::book::error::BookError;
use crate::review::measures::Span;
use crate::review::measures::names::Name;
use rusqlite::{Connection, Row, params};
use rust_decimal::Decimal;

/// One thing that a figure counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Behind {
    /// The day it belongs to.
    pub day: String,
    /// The supplier's identifier.
    pub supplier: String,
    /// What it is, by its numbers: `receipt RG-311, line 2, order PO-2107`.
    pub what: String,
    /// How it was counted: `as ordered`, `late`, `rejected 2 of 8 sheet`.
    pub counted: String,
    /// Whether it is in the part, not only in the whole.
    pub part: bool,
    /// The findings and claims on it, a sentence each.
    pub under: Vec<String>,
}

const MONTHS: &str = "month BETWEEN ?2 AND ?3";

impl Book {
    /// Returns what stands behind a figure that is counted from receipts, orders or findings, oldest first, of one
    /// supplier by its identifier or of all; nothing for a figure of claims.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn behind(
        &self,
        name: &Name,
        supplier: Option<&str>,
        span: Span,
    ) -> Result<Vec<Behind>, BookError> {
        let ask = Ask {
            connection: self.connection(),
            supplier,
            span,
        };
        match name {
            Name::Deliveries => ask.deliveries(false),
            Name::ReplacementsRight => ask.deliveries(true),
            Name::Lines => ask.lines(None),
            Name::Rejected(unit) => ask.lines(Some(unit)),
            Name::Found(kind) => ask.findings(kind.aspect().name(), kind.name()),
            Name::OnTime | Name::InFull | Name::OnTimeInFull => ask.orders(name),
            Name::Sets => ask.sets(),
            Name::Opened
            | Name::Settled
            | Name::Open
            | Name::NoticeInTime
            | Name::DaysToSettle
            | Name::Claimed(_)
            | Name::Costs(_)
            | Name::Recovered(_)
            | Name::Net(_) => Ok(Vec::new()),
        }
    }
}

struct Ask<'a> {
    connection: &'a Connection,
    supplier: Option<&'a str>,
    span: Span,
}

impl Ask<'_> {
    fn months(&self) -> (Option<&str>, i64, i64) {
        (
            self.supplier,
            self.span.from.number(),
            self.span.to.number(),
        )
    }

    fn days(&self) -> (Option<&str>, String, String) {
        (
            self.supplier,
            self.span.from.first().to_string(),
            self.span.as_of.min(self.span.to.last()).to_string(),
        )
    }

    fn deliveries(&self, replacement: bool) -> Result<Vec<Behind>, BookError> {
        let mut statement = self.connection.prepare(&format!(
            "SELECT r.date, s.code, r.number, o.number, \
               coalesce((SELECT min(t.made_right) FROM settlements t WHERE t.receipt_id = r.id), r.as_ordered), r.id \
             FROM receipts r \
             JOIN suppliers s ON s.id = r.supplier_id JOIN orders o ON o.id = r.order_id \
             WHERE (?1 IS NULL OR s.code = ?1) AND r.{MONTHS} \
               AND ?4 = EXISTS (SELECT 1 FROM settlements t WHERE t.receipt_id = r.id) \
             ORDER BY r.date, r.number"
        ))?;
        let (supplier, from, to) = self.months();
        let mut rows = statement.query(params![supplier, from, to, replacement])?;
        let mut out = Vec::new();
        while let Some(row) = rows.next()? {
            let part: bool = row.get(4)?;
            let receipt: i64 = row.get(5)?;
            let mut under = Vec::new();
            if !part {
                under = self.texts(
                    "SELECT effect, text FROM findings WHERE receipt_id = ?1 ORDER BY id",
                    receipt,
                )?;
                under.extend(self.claims_on(receipt)?);
            }
            out.push(Behind {
                day: row.get(0)?,
                supplier: row.get(1)?,
                what: format!("receipt {}, order {}", text(row, 2)?, text(row, 3)?),
                counted: match (replacement, part) {
                    (true, true) => "made it right".to_owned(),
                    (true, false) => "did not make it right".to_owned(),
                    (false, _) => verdict(part),
                },
                part,
                under,
            });
        }
        Ok(out)
    }

    fn lines(&self, unit: Option<&str>) -> Result<Vec<Behind>, BookError> {
        let mut statement = self.connection.prepare(&format!(
            "SELECT r.date, s.code, r.number, l.place, o.number, l.as_ordered, l.arrived_u, l.rejected_u, l.unit, l.id, \
               r.id, l.order_line_id \
             FROM receipt_lines l JOIN receipts r ON r.id = l.receipt_id JOIN orders o ON o.id = r.order_id \
             JOIN suppliers s ON s.id = r.supplier_id \
             WHERE (?1 IS NULL OR s.code = ?1) AND r.{MONTHS} AND (?4 IS NULL OR l.unit = ?4) \
               AND NOT EXISTS (SELECT 1 FROM settlements t WHERE t.receipt_id = r.id) \
             ORDER BY r.date, r.number, l.place"
        ))?;
        let (supplier, from, to) = self.months();
        let mut rows = statement.query(params![supplier, from, to, unit])?;
        let mut out = Vec::new();
        while let Some(row) = rows.next()? {
            let as_ordered: bool = row.get(5)?;
            let (arrived, rejected) = (millionths(row, 6)?, millionths(row, 7)?);
            let under = if as_ordered {
                Vec::new()
            } else {
                self.on_line(row.get(9)?, row.get(10)?, row.get(11)?)?
            };
            out.push(Behind {
                day: row.get(0)?,
                supplier: row.get(1)?,
                what: format!(
                    "receipt {}, line {}, order {}",
                    text(row, 2)?,
                    row.get::<_, i64>(3)?,
                    text(row, 4)?
                ),
                counted: match unit {
                    Some(unit) => format!("{rejected} of {arrived} {unit} rejected"),
                    None => verdict(as_ordered),
                },
                part: if unit.is_some() {
                    !rejected.is_zero()
                } else {
                    as_ordered
                },
                under,
            });
        }
        Ok(out)
    }

    /// What was found on one lot, and on its order line where it is no single lot's.
    fn on_line(&self, lot: i64, receipt: i64, line: Option<i64>) -> Result<Vec<String>, BookError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT effect, text FROM findings \
             WHERE receipt_id = ?2 AND (receipt_line_id = ?1 OR (receipt_line_id IS NULL AND order_line_id = ?3)) \
             ORDER BY id",
        )?;
        let rows = statement.query_map(params![lot, receipt, line], finding)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    fn findings(&self, aspect: &str, kind: &str) -> Result<Vec<Behind>, BookError> {
        let mut statement = self.connection.prepare(&format!(
            "SELECT coalesce(r.date, printf('%d-%02d', f.month / 100, f.month % 100)), s.code, r.number, o.number, \
               f.amount, f.unit, f.cost_cents, o.currency, f.text, r.id \
             FROM findings f JOIN suppliers s ON s.id = f.supplier_id JOIN orders o ON o.id = f.order_id \
             LEFT JOIN receipts r ON r.id = f.receipt_id \
             WHERE (?1 IS NULL OR s.code = ?1) AND f.{MONTHS} AND f.aspect = ?4 AND f.kind = ?5 \
               AND NOT EXISTS (SELECT 1 FROM settlements t WHERE t.receipt_id = f.receipt_id) ORDER BY 1, f.id"
        ))?;
        let (supplier, from, to) = self.months();
        let mut rows = statement.query(params![supplier, from, to, aspect, kind])?;
        let mut out = Vec::new();
        while let Some(row) = rows.next()? {
            let receipt: Option<String> = row.get(2)?;
            let cost: Option<i64> = row.get(6)?;
            let cost = match cost {
                Some(cents) => format!("{:.2} {}", Decimal::new(cents, 2), text(row, 7)?),
                None => "no price".to_owned(),
            };
            let mut under = vec![text(row, 8)?];
            if let Some(receipt) = row.get(9)? {
                under.extend(self.claims_on(receipt)?);
            }
            out.push(Behind {
                day: row.get(0)?,
                supplier: row.get(1)?,
                what: match receipt {
                    Some(receipt) => format!("receipt {receipt}, order {}", text(row, 3)?),
                    None => format!("the bills of order {}", text(row, 3)?),
                },
                counted: format!("{} {}, {cost}", text(row, 4)?, text(row, 5)?),
                part: true,
                under,
            });
        }
        Ok(out)
    }

    fn orders(&self, name: &Name) -> Result<Vec<Behind>, BookError> {
        let mut statement = self.connection.prepare(
            "SELECT coalesce(o.promised, o.first_date), s.code, o.number, o.promised, o.first_date, o.completed \
             FROM orders o JOIN suppliers s ON s.id = o.supplier_id \
             WHERE (?1 IS NULL OR s.code = ?1) AND coalesce(o.promised, o.first_date) BETWEEN ?2 AND ?3 \
               AND (?4 OR o.promised IS NOT NULL) ORDER BY 1, o.number",
        )?;
        let (supplier, from, to) = self.days();
        let mut rows = statement.query(params![supplier, from, to, *name == Name::InFull])?;
        let mut out = Vec::new();
        while let Some(row) = rows.next()? {
            let (promised, first, completed): (Option<String>, Option<String>, Option<String>) =
                (row.get(3)?, row.get(4)?, row.get(5)?);
            let on_time = first.is_some() && promised.is_some() && first <= promised;
            let in_full = completed.is_some() && completed == first;
            let part = match name {
                Name::OnTime => on_time,
                Name::InFull => in_full,
                _ => on_time && in_full,
            };
            let came = match (&first, &completed) {
                (None, _) => "nothing came yet".to_owned(),
                (Some(first), Some(done)) if first == done => format!("came in full {first}"),
                (Some(first), Some(done)) => format!("first came {first}, all of it {done}"),
                (Some(first), None) => format!("first came {first}, something is owed"),
            };
            out.push(Behind {
                day: row.get(0)?,
                supplier: row.get(1)?,
                what: format!("order {}", text(row, 2)?),
                counted: match promised {
                    Some(promised) => format!("promised {promised}, {came}"),
                    None => came,
                },
                part,
                under: Vec::new(),
            });
        }
        Ok(out)
    }

    fn sets(&self) -> Result<Vec<Behind>, BookError> {
        let mut statement = self.connection.prepare(
            "SELECT coalesce(o.promised, o.first_date), s.code, o.number, l.line, l.sets_filled, l.sets_ordered \
             FROM order_lines l JOIN orders o ON o.id = l.order_id JOIN suppliers s ON s.id = o.supplier_id \
             WHERE l.sets_ordered > 0 AND (?1 IS NULL OR s.code = ?1) \
               AND coalesce(o.promised, o.first_date) BETWEEN ?2 AND ?3 ORDER BY 1, o.number, l.place",
        )?;
        let (supplier, from, to) = self.days();
        let mut rows = statement.query(params![supplier, from, to])?;
        let mut out = Vec::new();
        while let Some(row) = rows.next()? {
            let (filled, ordered): (i64, i64) = (row.get(4)?, row.get(5)?);
            out.push(Behind {
                day: row.get(0)?,
                supplier: row.get(1)?,
                what: format!("order {}, line {}", text(row, 2)?, text(row, 3)?),
                counted: format!("{filled} of {ordered} sets"),
                part: filled >= ordered,
                under: Vec::new(),
            });
        }
        Ok(out)
    }

    fn texts(&self, sql: &str, of: i64) -> Result<Vec<String>, BookError> {
        let mut statement = self.connection.prepare_cached(sql)?;
        let rows = statement.query_map([of], finding)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    fn claims_on(&self, receipt: i64) -> Result<Vec<String>, BookError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT c.number, c.state FROM claim_receipts r JOIN claims c ON c.id = r.claim_id \
             WHERE r.receipt_id = ?1 ORDER BY c.id",
        )?;
        let rows = statement.query_map([receipt], |row| {
            Ok(format!("claim {}: {}", text(row, 0)?, text(row, 1)?))
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

fn finding(row: &Row<'_>) -> rusqlite::Result<String> {
    let effect = text(row, 0)?;
    let said = text(row, 1)?;
    Ok(if effect == "claimed" {
        said
    } else {
        format!("{said} ({effect})")
    })
}

fn verdict(as_ordered: bool) -> String {
    if as_ordered {
        "as ordered"
    } else {
        "not as ordered"
    }
    .to_owned()
}

fn text(row: &Row<'_>, column: usize) -> rusqlite::Result<String> {
    row.get(column)
}

fn millionths(row: &Row<'_>, column: usize) -> rusqlite::Result<Decimal> {
    let sum: i64 = row.get(column)?;
    Decimal::try_from_i128_with_scale(i128::from(sum), 6)
        .map(|amount| amount.normalize())
        .map_err(|_| unreadable(column))
}
