//! Timing: did it come when promised? Logged; claimed only when the owner says so.

use crate::check::case::Case;
use crate::check::found::Found;
use crate::check::pair::{Pair, PairedLot};
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::trade::notices;
use rust_decimal::Decimal;

/// Returns how many days before the promise goods may come without a word (`practice-early` in `trade/notices.yaml`). A
/// truck that comes a day or two sooner is put away as planned; sooner than that the buyer may accept or refuse.
fn early_days() -> i64 {
    notices::named("practice-early")
        .and_then(|notice| notice.period)
        .map_or(0, |period| i64::from(period.count))
}

/// Finds what came late or well before its time.
///
/// # Errors
/// None; the signature is the aspects'.
pub fn look(case: &Case<'_>, pair: &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>> {
    let Some(promised) = case.order.promised else {
        return Ok(Vec::new());
    };
    let unit = pair.line.quantity.unit;
    let mut found = Vec::new();
    for lots in pair
        .lots
        .chunk_by(|one, other| one.receipt.number.value == other.receipt.number.value)
    {
        let amount: Decimal = lots.iter().map(|lot: &PairedLot<'_>| lot.amount).sum();
        let receipt = lots[0].receipt;
        let days = (receipt.date - promised).num_days();
        let (kind, word) = if days > 0 {
            (Kind::Late, "after")
        } else if days < 0 && -days > early_days() {
            (Kind::Early, "before")
        } else {
            continue;
        };
        if amount.is_zero() {
            continue;
        }
        let count = days.abs();
        let day_word = if count == 1 { "day" } else { "days" };
        let mut finding = Finding::new(
            kind,
            amount,
            unit,
            format!(
                "{} came {}, {count} {day_word} {word} the date promised, {promised}",
                Quantity::new(amount, unit),
                receipt.date
            ),
        )
        .compared(promised.to_string(), receipt.date.to_string());
        finding.receipts = vec![receipt.number.value.clone()];
        found.push(Found::whole(finding));
    }
    Ok(found)
}
