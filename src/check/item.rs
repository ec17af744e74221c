//! Item: is it the thing that was ordered? Says nothing of how much or how good.

use crate::check::case::Case;
use crate::check::found::{Found, Touch};
use crate::check::pair::Pair;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;

/// Finds lots that were sent for the line but carry another item's code.
///
/// # Errors
/// None; the signature is the aspects'.
pub fn look(case: &Case<'_>, pair: &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>> {
    let Some(wanted) = pair.line.item.as_deref() else {
        return Ok(Vec::new());
    };
    let mut found = Vec::new();
    for (place, lot) in pair.lots.iter().enumerate() {
        let Some(code) = lot.line.item.as_deref() else {
            continue;
        };
        if same_item(case, wanted, code) || lot.amount.is_zero() {
            continue;
        }
        let amount = Quantity::new(lot.amount, pair.line.quantity.unit);
        let mut finding = Finding::new(
            Kind::WrongItem,
            lot.amount,
            pair.line.quantity.unit,
            format!("wrong item: {amount} marked {code} came for {wanted}"),
        )
        .compared(wanted, code);
        finding.receipts = vec![lot.receipt.number.value.clone()];
        found.push(Found {
            finding,
            touches: vec![Touch {
                lot: place,
                amount: lot.amount,
            }],
        });
    }
    Ok(found)
}

/// Returns whether two codes, of either side, name one item.
pub fn same_item(case: &Case<'_>, wanted: &str, found: &str) -> bool {
    let (wanted, found) = (wanted.trim(), found.trim());
    wanted.eq_ignore_ascii_case(found)
        || case
            .our_item(wanted)
            .eq_ignore_ascii_case(case.our_item(found))
}

/// Returns what is equal for two codes, of either side, that name one item.
pub fn item_key(case: &Case<'_>, code: &str) -> String {
    case.our_item(code.trim()).to_ascii_lowercase()
}
