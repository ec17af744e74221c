//! What a person should look at again though it differs from nothing: it may have been recorded wrong.

use crate::check::pairing::Paired;
use crate::model::quantity::Quantity;
use crate::model::receipt::Receipt;
use crate::model::unit::Dimension;
use crate::trade::units;

/// Returns the notes of a delivery.
pub fn all(receipts: &[&Receipt], paired: &Paired<'_>) -> Vec<String> {
    let mut notes = same_slip(receipts);
    notes.extend(part_of_a_piece(paired));
    notes
}

/// Two receipts that name one packing slip are likely one delivery recorded twice.
fn same_slip(receipts: &[&Receipt]) -> Vec<String> {
    let mut notes = Vec::new();
    for (place, receipt) in receipts.iter().enumerate() {
        let Some(slip) = &receipt.packing_slip else {
            continue;
        };
        if let Some(first) = receipts[..place]
            .iter()
            .find(|first| first.packing_slip.as_ref() == Some(slip))
        {
            notes.push(format!(
                "{} and {} name the same packing slip, {slip}: was one delivery recorded twice?",
                first.number.value, receipt.number.value
            ));
        }
    }
    notes
}

/// A length or an area of goods that are ordered by the piece should make whole pieces.
fn part_of_a_piece(paired: &Paired<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    for pair in &paired.pairs {
        let unit = pair.line.quantity.unit;
        if units::dimension(unit) != Dimension::Count {
            continue;
        }
        for lot in &pair.lots {
            let Some(counted) = &lot.line.quantity else {
                continue;
            };
            if units::dimension(counted.value.unit) != Dimension::Count && !lot.amount.is_integer()
            {
                notes.push(format!(
                    "{}, line {}: {} make {}, and a part of a {unit} was not ordered: count them by the {unit}",
                    lot.receipt.number.value,
                    pair.line.line,
                    counted.value,
                    Quantity::new(lot.amount, unit)
                ));
            }
        }
    }
    notes
}
