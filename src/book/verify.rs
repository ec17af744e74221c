//! Is the book sound? Looks at every page, every reference, every hash, and works all rows out again. Mends nothing.

use crate::book::Book;
use crate::book::derive::{cents, derive, effect_name, millionths, month, plain};
use crate::book::document::sha256;
use crate::book::error::BookError;
use crate::book::papers::{order_row, papers};
use crate::book::reader::Reader;
use crate::check::verdict::Verdict;
use crate::model::finding::Finding;
use crate::model::money::Money;
use rusqlite::{Connection, params};

/// What `verify` looked at and what it found wrong.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Verified {
    /// Documents and letters whose hash was worked out again.
    pub documents: usize,
    /// Orders whose rows were worked out again.
    pub orders: usize,
    /// Receipts among them.
    pub receipts: usize,
    /// Receipt lines among them.
    pub receipt_lines: usize,
    /// What is wrong, a sentence each; empty when the book is sound.
    pub wrong: Vec<String>,
}

impl Book {
    /// Verifies the book. `progress` is told how many of how many orders are done.
    ///
    /// # Errors
    /// The book cannot be read at all; what is wrong in it is no error but the answer.
    pub fn verify(&self, progress: &mut dyn FnMut(usize, usize)) -> Result<Verified, BookError> {
        let mut done = Verified::default();
        // Everything is read as of one moment: what is recorded meanwhile is not seen.
        let snapshot = self.connection.unchecked_transaction()?;
        match pages(&self.connection) {
            Ok(wrong) => done.wrong.extend(wrong),
            Err(error) if crate::book::open::is_damage(&error) => {
                done.wrong
                    .push("the file is damaged or cut short: its pages cannot be read".to_owned());
                return Ok(done);
            }
            Err(error) => return Err(error.into()),
        }
        // Pages that are damaged make every later word doubtful.
        if !done.wrong.is_empty() {
            return Ok(done);
        }
        references(&self.connection, &mut done.wrong)?;
        triggers(&self.connection, &mut done.wrong)?;
        hashes(&self.connection, &mut done)?;
        for claim in self.claims(false)? {
            if claim.parts().is_err() {
                done.wrong.push(format!(
                    "what claim `{}` asks for cannot be read",
                    claim.number
                ));
            }
        }
        let numbers: Vec<String> = self
            .connection
            .prepare("SELECT number FROM orders ORDER BY number")?
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        for (place, number) in numbers.iter().enumerate() {
            progress(place, numbers.len());
            accounting(&self.connection, &self.reader, number, &mut done)?;
        }
        if !self.sums_are_right()? {
            done.wrong.push(
                "the lines added up month by month, which reviews read, are not those of the lines"
                    .to_owned(),
            );
        }
        progress(numbers.len(), numbers.len());
        drop(snapshot);
        Ok(done)
    }
}

fn pages(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut statement = connection.prepare("PRAGMA integrity_check")?;
    let rows = statement.query_map([], |row| row.get::<_, String>(0))?;
    rows.filter(|row| !matches!(row, Ok(text) if text == "ok"))
        .map(|row| row.map(|text| format!("pages: {text}")))
        .collect()
}

fn references(connection: &Connection, wrong: &mut Vec<String>) -> Result<(), BookError> {
    let mut statement = connection.prepare("PRAGMA foreign_key_check")?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let (table, id, parent): (String, Option<i64>, String) =
            (row.get(0)?, row.get(1)?, row.get(2)?);
        wrong.push(format!(
            "row {} of `{table}` refers to a row of `{parent}` that is not there",
            id.unwrap_or_default()
        ));
    }
    Ok(())
}

fn triggers(connection: &Connection, wrong: &mut Vec<String>) -> Result<(), BookError> {
    let count: i64 = connection.query_row(
        "SELECT count(*) FROM sqlite_schema WHERE type = 'trigger' \
         AND (name GLOB 'journal_is_kept_[123]' OR name GLOB 'documents_are_kept_[123]')",
        [],
        |row| row.get(0),
    )?;
    if count != 6 {
        wrong.push("the journal is no longer guarded: a trigger is missing".to_owned());
    }
    let (rows, last): (i64, Option<i64>) =
        connection.query_row("SELECT count(*), max(id) FROM journal", [], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })?;
    if last.unwrap_or(0) != rows {
        wrong.push(format!(
            "the journal has {rows} entries and the last is number {}: entries were taken out",
            last.unwrap_or(0)
        ));
    }
    Ok(())
}

fn hashes(connection: &Connection, done: &mut Verified) -> Result<(), BookError> {
    for (sql, what) in [
        (
            "SELECT kind || ' ' || number, text, sha256 FROM documents",
            "document",
        ),
        (
            "SELECT kind || ' ' || id, text, sha256 FROM letters",
            "letter",
        ),
    ] {
        let mut statement = connection.prepare(sql)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let (name, text, kept): (String, String, String) =
                (row.get(0)?, row.get(1)?, row.get(2)?);
            done.documents += 1;
            if sha256(text.as_bytes()) != kept {
                done.wrong.push(format!(
                    "{what} `{name}` is not what was recorded: its hash differs"
                ));
            }
        }
    }
    Ok(())
}

/// Line, item, unit, ordered, sets ordered, sets filled.
type LineRow = (String, Option<String>, String, String, i64, i64);

/// As ordered, complete, claimable, waiting, pickup, the day something came first, the day all had come.
type Marks = (bool, bool, bool, i64, bool, Option<String>, Option<String>);

/// Works the rows of an order out again and compares them with those that stand in the book.
fn accounting(
    connection: &Connection,
    reader: &Reader,
    number: &str,
    done: &mut Verified,
) -> Result<(), BookError> {
    let Some(row) = order_row(connection, number)? else {
        return Ok(());
    };
    done.orders += 1;
    let papers = match papers(connection, reader, &row) {
        Ok(papers) => papers,
        Err(error) => {
            done.wrong.push(format!(
                "order `{number}`: a document cannot be read again: {}",
                words(&error)
            ));
            return Ok(());
        }
    };
    let derived = match derive(&papers, 0) {
        Ok(derived) => derived,
        Err(problems) => {
            done.wrong.push(format!(
                "order `{number}` cannot be checked again: {}",
                words(&BookError::Problems(problems))
            ));
            return Ok(());
        }
    };
    let mut differs = |what: &str| {
        done.wrong.push(format!(
            "order `{number}`: {what} are not what its documents say"
        ))
    };
    let kept: Marks = connection
        .prepare_cached(
            "SELECT as_ordered, complete, claimable, waiting, pickup, first_date, completed FROM orders WHERE id = ?1",
        )?
        .query_row([row.id], |row| {
            Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?, row.get(5)?, row.get(6)?))
        })?;
    let again = (
        derived.as_ordered,
        derived.complete,
        derived.claimable,
        derived.waiting,
        derived.pickup,
        derived.first_date.map(|day| day.to_string()),
        derived.completed.map(|day| day.to_string()),
    );
    if kept != again {
        differs("its marks");
    }
    let head: (String, Option<String>, String, Option<String>) = connection
        .prepare_cached("SELECT date, promised, currency, job FROM orders WHERE id = ?1")?
        .query_row([row.id], |row| {
            Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
        })?;
    let order = &papers.order;
    let again = (
        order.date.to_string(),
        order.promised.map(|day| day.to_string()),
        order.currency.clone(),
        order.job.clone(),
    );
    if head != again {
        differs("its head");
    }
    let lines: Vec<LineRow> = connection
        .prepare_cached(
            "SELECT line, item, unit, ordered, sets_ordered, sets_filled FROM order_lines \
             WHERE order_id = ?1 ORDER BY place",
        )?
        .query_map([row.id], |row| {
            Ok((
                row.get(0)?,
                row.get(1)?,
                row.get(2)?,
                row.get(3)?,
                row.get(4)?,
                row.get(5)?,
            ))
        })?
        .collect::<Result<_, _>>()?;
    let again: Vec<_> = derived
        .lines
        .iter()
        .map(|line| {
            (
                line.line.clone(),
                line.item.clone(),
                line.unit.name().to_owned(),
                plain(line.ordered),
                line.sets_ordered,
                line.sets_filled,
            )
        })
        .collect();
    if lines != again {
        differs("its lines");
    }
    for (receipt, verdict) in papers.receipts.iter().zip(&derived.verdicts) {
        done.receipts += 1;
        done.receipt_lines += verdict.lots.len();
        if receipt.lines.len() != verdict.lots.len() {
            differs("the lots of a receipt");
        }
        let number = &receipt.number.value;
        if lots(connection, number)? != lots_again(verdict, month(receipt.date)) {
            differs(&format!("the lots of receipt `{number}`"));
        }
        let again: Vec<_> = verdict
            .findings
            .iter()
            .map(|found| finding_again(&found.finding, found.cost, month(receipt.date)))
            .collect();
        if findings(connection, number)? != again {
            differs(&format!("the findings of receipt `{number}`"));
        }
        let again = (
            receipt.date.to_string(),
            month(receipt.date),
            verdict.on_time,
            verdict.as_ordered,
        );
        if receipt_row(connection, number)? != again {
            differs(&format!("the marks of receipt `{number}`"));
        }
    }
    let again: Vec<_> = papers
        .invoices
        .iter()
        .map(|invoice| {
            (
                invoice.number.value.clone(),
                invoice.date.to_string(),
                invoice.total.as_ref().map(|total| total.value.to_string()),
            )
        })
        .collect();
    if invoices(connection, row.id)? != again {
        differs("its invoices");
    }
    let again: Vec<_> = derived
        .billed
        .iter()
        .map(|billed| finding_again(&billed.finding, billed.cost, billed.month))
        .collect();
    if billed(connection, row.id)? != again {
        differs("the findings of its bills");
    }
    Ok(())
}

/// Place, order line, unit, arrived, rejected, as ordered, month.
type LotRow = (i64, Option<String>, String, i64, i64, bool, i64);

fn lots(connection: &Connection, receipt: &str) -> Result<Vec<LotRow>, BookError> {
    let mut statement = connection.prepare_cached(
        "SELECT l.place, o.line, l.unit, l.arrived_u, l.rejected_u, l.as_ordered, l.month FROM receipts r \
         JOIN receipt_lines l ON l.receipt_id = r.id LEFT JOIN order_lines o ON o.id = l.order_line_id \
         WHERE r.number = ?1 ORDER BY l.place",
    )?;
    let rows = statement.query_map(params![receipt], |row| {
        Ok((
            row.get(0)?,
            row.get(1)?,
            row.get(2)?,
            row.get(3)?,
            row.get(4)?,
            row.get(5)?,
            row.get(6)?,
        ))
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

fn lots_again(verdict: &Verdict, month: i64) -> Vec<LotRow> {
    verdict
        .lots
        .iter()
        .map(|lot| {
            (
                i64::try_from(lot.index).unwrap_or(i64::MAX),
                lot.line.clone(),
                lot.unit.name().to_owned(),
                millionths(lot.arrived),
                millionths(lot.rejected),
                lot.as_ordered,
                month,
            )
        })
        .collect()
}

/// Aspect, kind, effect, amount, unit, text, month, amount in millionths, cost in cents.
type FindingRow = (
    String,
    String,
    String,
    String,
    String,
    String,
    i64,
    i64,
    Option<i64>,
);

const FINDING: &str = "SELECT f.aspect, f.kind, f.effect, f.amount, f.unit, f.text, f.month, f.amount_u, f.cost_cents \
     FROM findings f";

fn findings(connection: &Connection, receipt: &str) -> Result<Vec<FindingRow>, BookError> {
    finding_rows(
        connection,
        &format!(
            "{FINDING} JOIN receipts r ON r.id = f.receipt_id WHERE r.number = ?1 ORDER BY f.id"
        ),
        params![receipt],
    )
}

/// Returns the findings of the bills of an order.
fn billed(connection: &Connection, order: i64) -> Result<Vec<FindingRow>, BookError> {
    finding_rows(
        connection,
        &format!("{FINDING} WHERE f.order_id = ?1 AND f.receipt_id IS NULL ORDER BY f.id"),
        params![order],
    )
}

fn finding_rows(
    connection: &Connection,
    sql: &str,
    params: impl rusqlite::Params,
) -> Result<Vec<FindingRow>, BookError> {
    let mut statement = connection.prepare_cached(sql)?;
    let rows = statement.query_map(params, |row| {
        Ok((
            row.get(0)?,
            row.get(1)?,
            row.get(2)?,
            row.get(3)?,
            row.get(4)?,
            row.get(5)?,
            row.get(6)?,
            row.get(7)?,
            row.get(8)?,
        ))
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

fn finding_again(finding: &Finding, cost: Option<Money>, month: i64) -> FindingRow {
    (
        finding.kind.aspect().name().to_owned(),
        finding.kind.name().to_owned(),
        effect_name(finding.kind.effect()).to_owned(),
        plain(finding.amount),
        finding.unit.name().to_owned(),
        finding.text.clone(),
        month,
        millionths(finding.amount),
        cost.map(cents),
    )
}

/// Date, month, on time, as ordered.
type ReceiptRow = (String, i64, Option<bool>, bool);

fn receipt_row(connection: &Connection, receipt: &str) -> Result<ReceiptRow, BookError> {
    Ok(connection
        .prepare_cached("SELECT date, month, on_time, as_ordered FROM receipts WHERE number = ?1")?
        .query_row([receipt], |row| {
            Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
        })?)
}

/// Number, date, total.
type InvoiceRow = (String, String, Option<String>);

fn invoices(connection: &Connection, order: i64) -> Result<Vec<InvoiceRow>, BookError> {
    let mut statement = connection.prepare_cached(
        "SELECT number, date, total FROM invoices WHERE order_id = ?1 ORDER BY date, number",
    )?;
    let rows = statement.query_map([order], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

fn words(error: &BookError) -> String {
    match error {
        BookError::Problems(problems) => problems
            .first()
            .map(|problem| format!("{}: {}", problem.spot, problem.text))
            .unwrap_or_default(),
        BookError::Refused { text, .. } => text.clone(),
    }
}
