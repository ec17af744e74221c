//! Which order line does a receipt line belong to? Judges nothing.

use crate::check::case::Case;
use crate::check::item::same_item;
use crate::check::measure;
use crate::check::pair::{Pair, PairedLot};
use crate::check::validate;
use crate::model::answer::Stray;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::receipt::{Receipt, ReceiptLine};
use crate::model::unit::Unit;
use rust_decimal::Decimal;
use std::collections::HashMap;

/// Every order line with its lots, and what no line asked for.
#[derive(Debug)]
pub struct Paired<'a> {
    /// One pair an order line, in the order of the order; a line for which nothing came has no lots.
    pub pairs: Vec<Pair<'a>>,
    /// Goods that no line asked for.
    pub strays: Vec<Stray>,
}

/// Puts every receipt line to an order line, or among the strays.
///
/// # Errors
/// Amounts that cannot be converted to the line's unit, grades that a line's scale does not have.
pub fn pair<'a>(case: &Case<'a>, receipts: &[&'a Receipt]) -> Result<Paired<'a>, Vec<Problem>> {
    let by_number: HashMap<&str, usize> = case
        .order
        .lines
        .iter()
        .enumerate()
        .map(|(place, line)| (line.line.as_str(), place))
        .collect();
    let mut pairs: Vec<Pair<'a>> = case
        .order
        .lines
        .iter()
        .map(|line| Pair {
            line,
            lots: Vec::new(),
        })
        .collect();
    let mut strays = Vec::new();
    let mut problems = Vec::new();
    for receipt in receipts {
        for (index, line) in receipt.lines.iter().enumerate() {
            let named = line
                .line
                .as_ref()
                .and_then(|number| by_number.get(number.value.as_str()).copied());
            let (place, paired_by) = match named {
                Some(place) => (Some(place), None),
                None => match by_item(case, line) {
                    Some((place, why)) => (Some(place), Some(why)),
                    None => (None, None),
                },
            };
            let Some(place) = place else {
                strays.push(stray(receipt, index, line));
                continue;
            };
            match measure::in_unit(pairs[place].line, line) {
                Ok(amount) => pairs[place].lots.push(PairedLot {
                    receipt,
                    index,
                    line,
                    amount,
                    paired_by,
                }),
                Err(problem) => problems.push(problem),
            }
        }
    }
    if let Err(more) = validate::pairs(case, &pairs) {
        problems.extend(more);
    }
    if problems.is_empty() {
        Ok(Paired { pairs, strays })
    } else {
        problems.sort();
        Err(problems)
    }
}

/// Finds the order line with the item's code.
fn by_item(case: &Case<'_>, line: &ReceiptLine) -> Option<(usize, String)> {
    let code = line.item.as_deref()?;
    let place = case.order.lines.iter().position(|ordered| {
        ordered
            .item
            .as_deref()
            .is_some_and(|wanted| same_item(case, wanted, code))
    })?;
    Some((place, format!("item {code}")))
}

fn stray(receipt: &Receipt, index: usize, line: &ReceiptLine) -> Stray {
    let quantity = match &line.quantity {
        Some(quantity) => quantity.value,
        None => Quantity::new(Decimal::from(line.leaves.len()), Unit::Leaf),
    };
    let what = line
        .item
        .clone()
        .or_else(|| line.description.clone())
        .unwrap_or_else(|| "goods without a code or a description".to_owned());
    let mut finding = Finding::new(
        Kind::NotOrdered,
        quantity.amount,
        quantity.unit,
        format!("not ordered: {quantity} of {what}"),
    )
    .compared("nothing", what);
    finding.receipts = vec![receipt.number.value.clone()];
    Stray {
        receipt: receipt.number.value.clone(),
        index: index + 1,
        item: line.item.clone(),
        description: line.description.clone(),
        amount: quantity.amount.normalize(),
        unit: quantity.unit,
        findings: vec![finding],
    }
}
