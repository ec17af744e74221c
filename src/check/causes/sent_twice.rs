//! Sent twice: two receipts hold the same goods, and what is over is what came again.

use crate::check::case::Case;
use crate::check::pairing::Paired;
use crate::model::answer::{Cause, CauseKind, LineAnswer};
use crate::model::kind::Kind;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Finds a later receipt that repeats an earlier one line for line and amount for amount, on lines that are over.
pub fn look(_case: &Case<'_>, paired: &Paired<'_>, lines: &[LineAnswer]) -> Vec<Cause> {
    // What each receipt brought, by order line; in order of time.
    let mut brought: Vec<(&str, BTreeMap<usize, Decimal>)> = Vec::new();
    for (place, pair) in paired.pairs.iter().enumerate() {
        for lot in pair.lots.iter().filter(|lot| !lot.amount.is_zero()) {
            let number = lot.receipt.number.value.as_str();
            let at = brought
                .iter()
                .position(|(known, _)| *known == number)
                .unwrap_or_else(|| {
                    brought.push((number, BTreeMap::new()));
                    brought.len() - 1
                });
            *brought[at].1.entry(place).or_default() += lot.amount;
        }
    }
    brought.sort_by_key(|(number, _)| time_of(paired, number));
    let over = |place: &usize| {
        lines[*place]
            .findings
            .iter()
            .any(|finding| finding.kind == Kind::Over)
    };
    let mut causes = Vec::new();
    for later in 1..brought.len() {
        let twin = brought[..later].iter().find(|(_, goods)| {
            !goods.is_empty() && *goods == brought[later].1 && goods.keys().all(over)
        });
        if let Some((first, goods)) = twin {
            causes.push(Cause {
                kind: CauseKind::SentTwice,
                advice: Some("set the second shipment apart unopened"),
                lines: goods
                    .keys()
                    .map(|place| lines[*place].line.clone())
                    .collect(),
                text: format!(
                    "{} repeats {first} line for line: the shipment looks sent twice",
                    brought[later].0
                ),
            });
        }
    }
    causes
}

fn time_of(paired: &Paired<'_>, number: &str) -> Option<(chrono::NaiveDate, String)> {
    paired
        .pairs
        .iter()
        .flat_map(|pair| &pair.lots)
        .find(|lot| lot.receipt.number.value == number)
        .map(|lot| (lot.receipt.date, number.to_owned()))
}
