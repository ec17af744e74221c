//! Which kinds cost most: sorted amounts with cumulative shares. Converts no currency; give it one only.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// One kind with its amount.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The kind.
    pub kind: String,
    /// Its amount.
    pub amount: Decimal,
    /// Its share of the total, 0 to 1.
    pub share: f64,
    /// The share of this and all rows above it, 0 to 1.
    pub cumulative: f64,
}

/// Returns the kinds by falling amount, equal ones by name; a kind given twice is added up.
///
/// What is not above zero after adding up has no share of a total and is left out. Shares are cut from exact decimals.
pub fn pareto<'a>(amounts: impl IntoIterator<Item = (&'a str, Decimal)>) -> Vec<Row> {
    let mut by_kind = BTreeMap::<&str, Decimal>::new();
    for (kind, amount) in amounts {
        let sum = by_kind.entry(kind).or_default();
        *sum = sum.saturating_add(amount);
    }
    let mut sorted: Vec<(&str, Decimal)> = by_kind
        .into_iter()
        .filter(|(_, amount)| *amount > Decimal::ZERO)
        .collect();
    sorted.sort_by_key(|(_, amount)| Reverse(*amount));
    let total = sorted.iter().fold(Decimal::ZERO, |sum, (_, amount)| {
        sum.saturating_add(*amount)
    });
    let share = |part: Decimal| (part / total).to_f64().unwrap_or(0.0);
    let mut so_far = Decimal::ZERO;
    sorted
        .into_iter()
        .map(|(kind, amount)| {
            so_far = so_far.saturating_add(amount);
            Row {
                kind: kind.to_owned(),
                amount,
                share: share(amount),
                cumulative: share(so_far),
            }
        })
        .collect()
}
