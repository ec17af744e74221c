//! Quantity: did as much arrive as was ordered? Converts nothing; that is `measure`.

use crate::check::case::Case;
use crate::check::found::{Found, Touch};
use crate::check::measure;
use crate::check::pair::Pair;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use rust_decimal::Decimal;

/// Finds what is short, over, back-ordered, or told otherwise by the packing slip.
///
/// There is no tolerance unless the order states one (UCC 2-601). A difference within it is no finding; one beyond
/// it is told whole, against what was ordered (UBL 2.1: short is against ordered).
///
/// # Errors
/// A slip or back order in a unit that cannot be converted.
pub fn look(_case: &Case<'_>, pair: &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>> {
    let line = pair.line;
    let unit = line.quantity.unit;
    let ordered = line.quantity.amount;
    let arrived = pair.arrived();
    let say = |amount: Decimal| measure::said(line, amount);
    // After `8 sheets ordered` a bare `6 arrived` is clear; another unit is said.
    let bare = |amount: Decimal| match say(amount) {
        said if said.unit == unit => amount.normalize().to_string(),
        said => said.to_string(),
    };
    let mut found = Vec::new();

    let missing = ordered - arrived;
    let open = open(pair)?;
    if missing > line.tolerance.under.of(ordered) {
        let undeclared = missing - open;
        if open > Decimal::ZERO {
            let finding = Finding::new(
                Kind::BackOrdered,
                open,
                unit,
                format!("{} to follow: the slip says so", say(open)),
            )
            .compared(say(ordered).to_string(), say(arrived).to_string());
            found.push(Found::whole(finding));
        }
        if undeclared > Decimal::ZERO {
            let text = if open > Decimal::ZERO {
                format!(
                    "short by {}: {} ordered, {} arrived, {} back-ordered",
                    say(undeclared),
                    say(ordered),
                    bare(arrived),
                    bare(open)
                )
            } else {
                format!(
                    "short by {}: {} ordered, {} arrived",
                    say(undeclared),
                    say(ordered),
                    bare(arrived)
                )
            };
            let finding = Finding::new(Kind::Short, undeclared, unit, text)
                .compared(say(ordered).to_string(), say(arrived).to_string());
            found.push(Found::whole(finding));
        }
    }
    let excess = arrived - ordered;
    if excess > line.tolerance.over.of(ordered) {
        let finding = Finding::new(
            Kind::Over,
            excess,
            unit,
            format!(
                "over by {}: {} ordered, {} arrived",
                say(excess),
                say(ordered),
                bare(arrived)
            ),
        )
        .compared(say(ordered).to_string(), say(arrived).to_string())
        .advised("set the excess apart unused; it goes back, or is kept at the order price");
        found.push(Found::whole(finding));
    }
    found.extend(slips(pair)?);
    for found in &mut found {
        if found.finding.receipts.is_empty() {
            found.finding.receipts = every_receipt(pair);
        }
    }
    Ok(found)
}

fn every_receipt(pair: &Pair<'_>) -> Vec<String> {
    let all: Vec<Touch> = (0..pair.lots.len())
        .map(|lot| Touch {
            lot,
            amount: Decimal::ZERO,
        })
        .collect();
    pair.receipts_of(&all)
}

/// Compares each receipt's slip with its count. The count is what arrived; the slip only informs. A slip states the
/// line once, however many lots it was counted in, so the lots of a receipt are taken together.
fn slips(pair: &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>> {
    let unit = pair.line.quantity.unit;
    let mut found = Vec::new();
    for lots in pair
        .lots
        .chunk_by(|a, b| a.receipt.number.value == b.receipt.number.value)
    {
        let mut told: Option<Decimal> = None;
        for lot in lots {
            if let Some(slip) = lot.line.slip {
                let amount = measure::convert(slip, unit, pair.line, None, &lot.line.spot)
                    .map_err(|problem| vec![problem])?;
                told = Some(told.unwrap_or_default() + amount);
            }
        }
        let counted: Decimal = lots.iter().map(|lot| lot.amount).sum();
        let Some(told) = told.filter(|told| *told != counted) else {
            continue;
        };
        let (told, counted) = (Quantity::new(told, unit), Quantity::new(counted, unit));
        let mut finding = Finding::new(
            Kind::SlipDiffers,
            (told.amount - counted.amount).abs(),
            unit,
            format!(
                "the slip says {told}, counted {}",
                counted.amount.normalize()
            ),
        )
        .compared(told.to_string(), counted.to_string());
        finding.receipts = lots
            .iter()
            .take(1)
            .map(|lot| lot.receipt.number.value.clone())
            .collect();
        found.push(Found::whole(finding));
    }
    Ok(found)
}

/// Returns the amount that the supplier says will follow and that has not arrived, in the line's unit: what the
/// newest receipt that has the line declares, not more than is missing. A later delivery for the line that declares
/// nothing closes the back order: what is then missing is short.
///
/// # Errors
/// A back order in a unit that cannot be converted.
pub fn open(pair: &Pair<'_>) -> Result<Decimal, Vec<Problem>> {
    let missing = pair.line.quantity.amount - pair.arrived();
    let Some(newest) = pair.lots.last().map(|lot| &lot.receipt.number.value) else {
        return Ok(Decimal::ZERO);
    };
    let mut declared = Decimal::ZERO;
    for lot in pair
        .lots
        .iter()
        .filter(|lot| lot.receipt.number.value == *newest)
    {
        if let Some(back_order) = lot.line.back_order {
            declared += measure::convert(
                back_order,
                pair.line.quantity.unit,
                pair.line,
                None,
                &lot.line.spot,
            )
            .map_err(|problem| vec![problem])?;
        }
    }
    Ok(declared.min(missing).max(Decimal::ZERO))
}
