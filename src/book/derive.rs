//! The rows of an order, worked out from its documents. Pure: the same documents make the same rows, and `verify`
//! counts on it.

use crate::check::case::Case;
use crate::check::verdict::{self, Verdict, verdict};
use crate::claim::replaced;
use crate::claim::standing::{self, ClaimNow};
use crate::model::answer::{Answer, LineAnswer};
use crate::model::finding::Finding;
use crate::model::invoice::Invoice;
use crate::model::kind::{Aspect, Effect, Kind};
use crate::model::money::Money;
use crate::model::order::{Order, OrderLine};
use crate::model::problem::Problem;
use crate::model::receipt::Receipt;
use crate::model::shop::Shop;
use crate::model::supplier::Supplier;
use crate::model::unit::Unit;
use chrono::{Datelike, NaiveDate};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::sync::Arc;

/// The documents of an order, read. Receipts stand in order of time: by date, then number.
#[derive(Debug)]
pub struct Papers {
    /// The order.
    pub order: Arc<Order>,
    /// Its receipts.
    pub receipts: Vec<Receipt>,
    /// Its invoices.
    pub invoices: Vec<Invoice>,
    /// Its claims, oldest first.
    pub claims: Vec<ClaimNow>,
    /// The supplier, where its file was known.
    pub supplier: Option<Arc<Supplier>>,
    /// The shop, where its file was known.
    pub shop: Option<Arc<Shop>>,
}

impl Papers {
    /// Makes the case of these papers. `today` where lateness of what has not come is to be told.
    pub fn case(&self, today: Option<NaiveDate>) -> Case<'_> {
        Case {
            order: &self.order,
            receipts: &self.receipts,
            invoices: &self.invoices,
            supplier: self.supplier.as_deref(),
            shop: self.shop.as_deref(),
            today,
        }
    }
}

/// The rows of an order.
#[derive(Debug, PartialEq, Eq)]
pub struct Derived {
    /// Nothing differs, over all receipts.
    pub as_ordered: bool,
    /// Everything ordered has come, tolerance granted, or was made right otherwise.
    pub complete: bool,
    /// Something can be claimed that no claim asks for.
    pub claimable: bool,
    /// The first day something came.
    pub first_date: Option<NaiveDate>,
    /// The day everything had come and conformed; `None` while something is owed.
    pub completed: Option<NaiveDate>,
    /// How many lines wait for goods once claims that are made right are counted in.
    pub waiting: i64,
    /// Goods wait here to be collected though their claim is made right.
    pub pickup: bool,
    /// Its lines.
    pub lines: Vec<LineRow>,
    /// The verdicts of its receipts, from the one asked for.
    pub verdicts: Vec<Verdict>,
    /// Findings of the bills.
    pub billed: Vec<BilledRow>,
}

/// The row of an order line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineRow {
    /// Its number.
    pub line: String,
    /// Its item.
    pub item: Option<String>,
    /// Its unit.
    pub unit: Unit,
    /// How much was ordered.
    pub ordered: Decimal,
    /// How many sets were ordered.
    pub sets_ordered: i64,
    /// How many can be made.
    pub sets_filled: i64,
}

/// A finding of the bills.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BilledRow {
    /// The order line.
    pub line: String,
    /// The finding.
    pub finding: Finding,
    /// The money that is billed otherwise, less that of goods which are counted as over already.
    pub cost: Option<Money>,
    /// The month of the newest invoice.
    pub month: i64,
}

/// Works out the rows of an order, with the verdicts of its receipts from place `from` on.
///
/// # Errors
/// Problems that only the documents together show.
pub fn derive(papers: &Papers, from: usize) -> Result<Derived, Vec<Problem>> {
    let answer = replaced::answer(&papers.case(None), &papers.claims)?;
    let mut verdicts = Vec::with_capacity(papers.receipts.len().saturating_sub(from));
    for place in from..papers.receipts.len() {
        let case = Case {
            receipts: &papers.receipts[..=place],
            invoices: &[],
            ..papers.case(None)
        };
        let last = place + 1 == papers.receipts.len();
        if last && papers.invoices.is_empty() {
            verdicts.push(verdict(&case, &answer)?);
        } else {
            verdicts.push(verdict(&case, &replaced::answer(&case, &papers.claims)?)?);
        }
    }
    let lines: Vec<LineRow> = papers
        .order
        .lines
        .iter()
        .zip(&answer.lines)
        .map(|(ordered, answer)| line_row(ordered, answer))
        .collect();
    let filled: Vec<Option<NaiveDate>> = papers
        .order
        .lines
        .iter()
        .zip(&answer.lines)
        .map(|(ordered, answer)| verdict::filled(ordered, answer, |number| day(papers, number)))
        .collect();
    let waiting = standing::waiting(
        filled.iter().map(Option::is_some).zip(&answer.lines),
        &papers.claims,
    );
    let some = !papers.receipts.is_empty();
    let all_came = some
        && answer
            .lines
            .iter()
            .flat_map(|line| &line.findings)
            .all(|finding| !owes(finding.kind));
    Ok(Derived {
        as_ordered: some && answer.as_ordered,
        complete: all_came || waiting == 0 && standing::right(&papers.claims).next().is_some(),
        claimable: some && is_anything_unclaimed(&answer, &papers.claims),
        first_date: papers.receipts.first().map(|receipt| receipt.date),
        completed: filled
            .into_iter()
            .collect::<Option<Vec<_>>>()
            .and_then(|days| days.into_iter().max()),
        waiting: count(waiting),
        pickup: !standing::pickups(&answer, &papers.claims).is_empty(),
        billed: billed(papers, &answer),
        lines,
        verdicts,
    })
}

fn is_anything_unclaimed(answer: &Answer, claims: &[ClaimNow]) -> bool {
    if claims.is_empty() {
        standing::is_claimable(answer)
    } else {
        standing::is_claimable(&standing::unclaimed(answer, claims))
    }
}

fn owes(kind: Kind) -> bool {
    matches!(kind, Kind::Short | Kind::BackOrdered)
}

fn line_row(ordered: &OrderLine, answer: &LineAnswer) -> LineRow {
    let sequence = answer.sequence.as_ref();
    LineRow {
        line: ordered.line.clone(),
        item: ordered.item.clone(),
        unit: ordered.quantity.unit,
        ordered: answer.ordered,
        sets_ordered: sequence.map_or(0, |sequence| count(sequence.wanted.len())),
        sets_filled: sequence.map_or(0, |sequence| count(sequence.filled.len())),
    }
}

/// Returns the day of a receipt.
fn day(papers: &Papers, receipt: &str) -> Option<NaiveDate> {
    papers
        .receipts
        .iter()
        .find(|one| one.number.value == receipt)
        .map(|one| one.date)
}

fn billed(papers: &Papers, answer: &Answer) -> Vec<BilledRow> {
    let Some(newest) = papers.invoices.iter().map(|invoice| invoice.date).max() else {
        return Vec::new();
    };
    papers
        .order
        .lines
        .iter()
        .zip(&answer.lines)
        .flat_map(|(ordered, line)| {
            // Goods that came over are counted with their receipt: the second bill for them costs only what it asks
            // beyond them.
            let mut counted: Money = line
                .findings
                .iter()
                .filter(|finding| finding.kind == Kind::Over)
                .filter_map(|finding| verdict::cost(ordered, finding))
                .sum();
            line.findings
                .iter()
                .filter(|finding| finding.kind.aspect() == Aspect::Price)
                .map(move |finding| {
                    let mut cost = verdict::cost(ordered, finding);
                    if let Some(cost) = cost.as_mut().filter(|_| finding.billed_first.is_some()) {
                        let both = counted.min(*cost);
                        counted = counted - both;
                        *cost = *cost - both;
                    }
                    BilledRow {
                        line: line.line.clone(),
                        finding: finding.clone(),
                        cost,
                        month: month(newest),
                    }
                })
        })
        .collect()
}

fn count(many: usize) -> i64 {
    i64::try_from(many).unwrap_or(i64::MAX)
}

/// Returns an amount as the book keeps it: a decimal without trailing zeros.
pub fn plain(amount: Decimal) -> String {
    amount.normalize().to_string()
}

/// Returns whole millionths, for columns that SQL adds up. No amount that intake lets in comes near the limit.
pub fn millionths(amount: Decimal) -> i64 {
    amount
        .checked_mul(Decimal::from(1_000_000))
        .and_then(|millionths| millionths.round().to_i64())
        .unwrap_or(i64::MAX)
}

/// Returns whole cents.
pub fn cents(money: Money) -> i64 {
    millionths(money.rounded().0) / 10_000
}

/// Returns a month as the book keeps it: 202603 for March 2026.
pub fn month(date: NaiveDate) -> i64 {
    i64::from(date.year()) * 100 + i64::from(date.month())
}

/// Returns the name that the book keeps for what a finding does.
pub const fn effect_name(effect: Effect) -> &'static str {
    match effect {
        Effect::Claimed => "claimed",
        Effect::LookAgain => "look-again",
        Effect::Informs => "informs",
        Effect::Logged => "logged",
    }
}

#[cfg(test)]
mod tests {
    use super::{cents, millionths, month};
    use crate::model::money::Money;
    use rust_decimal::Decimal;

    #[test]
    fn millionths_and_cents_are_whole() {
        assert_eq!(millionths("2.5".parse().unwrap()), 2_500_000);
        assert_eq!(millionths(Decimal::ONE / Decimal::from(3)), 333_333);
        assert_eq!(cents(Money("10.005".parse().unwrap())), 1001);
        assert_eq!(cents(Money("0.1".parse().unwrap())), 10);
    }

    #[test]
    fn a_month_is_year_and_month_in_one_number() {
        assert_eq!(month("2026-03-31".parse().unwrap()), 202_603);
    }
}
