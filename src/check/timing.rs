//! Timing: did it come when promised? Logged; claimed only when the owner says so.

use crate::check::case::Case;
use crate::check::found::Found;
use crate::check::pair::{Pair, PairedLot};
use crate::check::quantity;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::trade::notices;
use chrono::NaiveDate;
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
/// A back order in a unit that cannot be converted.
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
        if kind == Kind::Early {
            finding.advice =
                Some("take it or refuse it; an early invoice need not be paid early".to_owned());
        }
        found.push(Found::whole(finding));
    }
    if let Some(today) = case.today.filter(|today| *today > promised) {
        found.extend(still_to_come(pair, promised, today)?);
    }
    Ok(found)
}

/// A declared back order is no fault until its day has passed.
fn still_to_come(
    pair: &Pair<'_>,
    promised: NaiveDate,
    today: NaiveDate,
) -> Result<Option<Found>, Vec<Problem>> {
    let open = quantity::open(pair)?;
    if open.is_zero() {
        return Ok(None);
    }
    let unit = pair.line.quantity.unit;
    let days = (today - promised).num_days();
    let day_word = if days == 1 { "day" } else { "days" };
    let finding = Finding::new(
        Kind::Late,
        open,
        unit,
        format!(
            "{} still to come, {days} {day_word} after the date promised, {promised}",
            Quantity::new(open, unit)
        ),
    )
    .compared(promised.to_string(), format!("not come by {today}"));
    Ok(Some(Found::whole(finding)))
}
