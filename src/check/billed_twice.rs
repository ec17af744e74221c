//! Which invoices bill again what another has billed. The one place that decides it; what it costs is `price`, what is
//! paid `billing`.

use crate::check::case::Case;
use crate::check::measure;
use crate::check::pair::Pair;
use crate::model::invoice::Invoice;
use rust_decimal::Decimal;

/// An invoice that bills again what an earlier one has billed.
#[derive(Debug, Clone, Copy)]
pub struct BilledTwice<'a> {
    /// The later one.
    pub again: &'a Invoice,
    /// The one that billed it first.
    pub first: &'a Invoice,
}

/// Returns the invoices in order of date and number: which of two is the earlier one.
pub fn in_order<'a>(case: &Case<'a>) -> Vec<&'a Invoice> {
    let mut invoices: Vec<&Invoice> = case.invoices.iter().collect();
    invoices.sort_by(|a, b| (a.date, &a.number.value).cmp(&(b.date, &b.number.value)));
    invoices
}

/// Finds them, by order lines and what came for them. Equal deliveries make equal bills, and one of them may be on its
/// way: it is a bill for the same goods only where all that came is billed and the order does not ask for more. A unit
/// that cannot be converted counts as nothing: it is a problem elsewhere.
pub fn find<'a>(case: &Case<'a>, pairs: &[Pair<'_>]) -> Vec<BilledTwice<'a>> {
    let mut found = Vec::new();
    if case.invoices.len() < 2 {
        return found;
    }
    // What may be billed at most, per order line, and what was billed so far.
    let most: Vec<Decimal> = pairs
        .iter()
        .map(|pair| {
            let ordered = pair.line.quantity.amount;
            ordered + pair.line.tolerance.over.of(ordered)
        })
        .collect();
    let due: Vec<Decimal> = pairs
        .iter()
        .zip(&most)
        .map(|(pair, most)| pair.arrived().min(*most))
        .collect();
    let mut billed = vec![Decimal::ZERO; pairs.len()];
    let place = |line: &str| pairs.iter().position(|pair| pair.line.line == line);
    let mut earlier: Vec<&Invoice> = Vec::new();
    for invoice in in_order(case) {
        let nothing_more_due = invoice
            .lines
            .iter()
            .all(|line| place(&line.line.value).is_some_and(|place| billed[place] >= due[place]));
        let mut with_it = billed.clone();
        for line in &invoice.lines {
            let Some(place) = place(&line.line.value) else {
                continue;
            };
            let ordered = pairs[place].line;
            let unit = ordered.quantity.unit;
            let spot = &line.quantity.spot;
            with_it[place] += measure::convert(line.quantity.value, unit, ordered, None, spot)
                .unwrap_or_default();
        }
        let too_much = with_it.iter().zip(&most).any(|(all, most)| all > most);
        match earlier.iter().find(|other| same_bill(other, invoice)) {
            Some(first) if nothing_more_due && too_much => found.push(BilledTwice {
                again: invoice,
                first,
            }),
            Some(_) | None => billed = with_it,
        }
        earlier.push(invoice);
    }
    found
}

/// Returns the invoice that billed first what an invoice bills again.
pub fn first_of<'a>(twice: &[BilledTwice<'a>], invoice: &Invoice) -> Option<&'a Invoice> {
    twice
        .iter()
        .find(|twice| std::ptr::eq(twice.again, invoice))
        .map(|twice| twice.first)
}

/// Two invoices bill the same when every line and amount is the same, whatever their numbers and prices.
fn same_bill(one: &Invoice, other: &Invoice) -> bool {
    let lines = |invoice: &Invoice| {
        let mut lines: Vec<_> = invoice
            .lines
            .iter()
            .map(|line| {
                let billed = &line.quantity.value;
                (
                    line.line.value.clone(),
                    billed.amount.normalize(),
                    billed.unit,
                )
            })
            .collect();
        lines.sort();
        lines
    };
    lines(one) == lines(other)
}
