//! Condition: damage, and leaves that cannot yield the clear piece. Does not ask who bears the risk; that is `claim`.

use crate::check::case::Case;
use crate::check::found::{Found, Touch};
use crate::check::measure;
use crate::check::pair::{Pair, PairedLot};
use crate::check::sequence::extent::{clear_extent, solver_leaf};
use crate::check::sequence::window::common_window;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::receipt::Damage;
use rust_decimal::Decimal;

/// Finds damaged goods and leaves that are not clear.
///
/// # Errors
/// A damaged amount that cannot be converted, or is more than the lot.
pub fn look(_case: &Case<'_>, pair: &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>> {
    let mut found = Vec::new();
    let mut problems = Vec::new();
    for (place, lot) in pair.lots.iter().enumerate() {
        match damaged(pair, place, lot) {
            Ok(more) => found.extend(more),
            Err(problem) => problems.push(problem),
        }
    }
    found.extend(not_clear(pair));
    if problems.is_empty() {
        Ok(found)
    } else {
        Err(problems)
    }
}

fn damaged(pair: &Pair<'_>, place: usize, lot: &PairedLot<'_>) -> Result<Option<Found>, Problem> {
    let Some(damaged) = lot.line.damaged.filter(|damaged| !damaged.amount.is_zero()) else {
        return Ok(None);
    };
    let unit = pair.line.quantity.unit;
    let amount = measure::convert(damaged, unit, pair.line, Some(lot.line), &lot.line.spot)?;
    if amount > lot.amount {
        return Err(Problem::new(
            &lot.line.spot,
            format!(
                "{damaged} damaged of {} that arrived",
                Quantity::new(lot.amount, unit)
            ),
        )
        .hint("`damaged` is part of `quantity`"));
    }
    let noted = lot
        .receipt
        .carrier
        .as_ref()
        .and_then(|carrier| carrier.noted.as_ref());
    let when = match (lot.line.damage, noted) {
        (Some(Damage::Concealed), _) => ", found after unpacking",
        (Some(Damage::Visible), Some(_)) | (None, Some(_)) => ", noted on the delivery receipt",
        // That it was seen and not noted is the shop's own affair; its advice says what to do.
        (Some(Damage::Visible) | None, None) => "",
    };
    let note = lot
        .line
        .note
        .as_ref()
        .map(|note| format!(": {note}"))
        .unwrap_or_default();
    let mut finding = Finding::new(
        Kind::Damaged,
        amount,
        unit,
        format!("{} damaged{when}{note}", Quantity::new(amount, unit)),
    );
    finding.receipts = vec![lot.receipt.number.value.clone()];
    finding.found = lot.line.note.clone();
    finding.advice = advice(pair, lot, noted.is_some());
    Ok(Some(Found {
        finding,
        touches: vec![Touch { lot: place, amount }],
    }))
}

/// What must be done with damaged goods before anything else.
fn advice(pair: &Pair<'_>, lot: &PairedLot<'_>, noted: bool) -> Option<String> {
    let mut advice = Vec::new();
    if runs_on_energy(&pair.line.finish) || runs_on_energy(&lot.line.finish) {
        advice.push("isolate it and never connect it, neither to gas nor to power");
    }
    match lot.line.damage {
        Some(Damage::Concealed) => {
            advice.push("keep the packaging with the goods for inspection, and photograph both");
        }
        Some(Damage::Visible) if !noted => {
            advice.push("have it noted on the delivery receipt, and photograph it");
        }
        Some(Damage::Visible) | None => {}
    }
    (!advice.is_empty()).then(|| advice.join("; "))
}

/// An appliance is told by the property `energy` (gas, electric), on the order or as found: connecting a damaged one
/// can kill, so the words must not depend on a guess from its description.
fn runs_on_energy(finish: &[(String, String)]) -> bool {
    finish
        .iter()
        .any(|(name, _)| name.eq_ignore_ascii_case("energy"))
}

/// Finds leaves that have no clear piece of the size needed, each on its own.
fn not_clear(pair: &Pair<'_>) -> Option<Found> {
    let clear = clear_extent(pair.line)?;
    let mut leaves = Vec::new();
    let mut touches = Vec::new();
    for (place, lot) in pair.lots.iter().enumerate() {
        let bad: Vec<String> = lot
            .line
            .leaves
            .iter()
            .filter(|leaf| {
                let leaf = solver_leaf(pair.line, lot.line, leaf, 1);
                common_window(clear, &[&leaf]).is_none()
            })
            .map(|leaf| match &leaf.flitch {
                Some(flitch) => format!("{flitch}/{}", leaf.name()),
                None => leaf.name(),
            })
            .collect();
        if !bad.is_empty() {
            touches.push(Touch {
                lot: place,
                amount: Decimal::from(bad.len()),
            });
            leaves.extend(bad);
        }
    }
    if leaves.is_empty() {
        return None;
    }
    let unit = pair.line.quantity.unit;
    let amount = Decimal::from(leaves.len());
    let piece = pair
        .line
        .clear
        .as_ref()
        .map(ToString::to_string)
        .unwrap_or_default();
    let mut finding = Finding::new(
        Kind::NotClear,
        amount,
        unit,
        format!(
            "{} without a clear piece of {piece}: {}",
            Quantity::new(amount, unit),
            leaves.join(", ")
        ),
    )
    .compared(piece, "defects in the way");
    finding.receipts = pair.receipts_of(&touches);
    finding.leaves = leaves;
    Some(Found { finding, touches })
}
