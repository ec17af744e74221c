//! Finish and every other named property: cut, species, colour, hand, model, an approved sample; and moisture content.
//! Must match exactly; equivalent finish codes stand in `trade/finishes.yaml`.

use crate::check::case::Case;
use crate::check::found::{Found, Touch};
use crate::check::pair::Pair;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::trade::finishes::{self, Likeness};
use rust_decimal::Decimal;

/// Finds properties that differ or were not recorded.
///
/// # Errors
/// None; the signature is the aspects'.
pub fn look(_case: &Case<'_>, pair: &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>> {
    let mut found = Vec::new();
    for (name, wanted) in &pair.line.finish {
        found.extend(property(pair, name, wanted));
    }
    if let Some(range) = pair.line.moisture {
        found.extend(moisture(pair, range));
    }
    Ok(found)
}

/// What a property that came is against the one wanted, where it is not the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Judged<'a> {
    Differs(&'a str),
    /// A finish number that can mean several finishes, one of them the one wanted.
    Unsure(&'a str),
    NotRecorded,
}

fn property(pair: &Pair<'_>, name: &str, wanted: &str) -> Vec<Found> {
    let mut groups: Vec<(Judged<'_>, Vec<Touch>)> = Vec::new();
    for (place, lot) in pair
        .lots
        .iter()
        .enumerate()
        .filter(|(_, lot)| !lot.amount.is_zero())
    {
        let came = lot
            .line
            .finish
            .iter()
            .find(|(known, _)| known.eq_ignore_ascii_case(name))
            .map(|(_, value)| value.as_str());
        let Some(judged) = judge(wanted, came) else {
            continue;
        };
        let touch = Touch {
            lot: place,
            amount: lot.amount,
        };
        match groups.iter_mut().find(|(known, _)| *known == judged) {
            Some((_, touches)) => touches.push(touch),
            None => groups.push((judged, vec![touch])),
        }
    }
    groups
        .into_iter()
        .map(|(judged, touches)| {
            let amount: Decimal = touches.iter().map(|touch| touch.amount).sum();
            let unit = pair.line.quantity.unit;
            let said = Quantity::new(amount, unit);
            let (kind, text, came) = match judged {
                Judged::Differs(came) => (
                    Kind::FinishDiffers,
                    format!("{said} with {name} {came}; {wanted} was ordered"),
                    Some(came),
                ),
                Judged::Unsure(came) => (
                    Kind::FinishNotRecorded,
                    format!("{name} {came} of {said} can mean several finishes; {wanted} was ordered: compare with a sample"),
                    Some(came),
                ),
                Judged::NotRecorded => (
                    Kind::FinishNotRecorded,
                    format!("{name} of {said} not recorded; {wanted} was ordered"),
                    None,
                ),
            };
            let mut finding = Finding::new(kind, amount, unit, text).about(name);
            finding.wanted = Some(wanted.to_owned());
            finding.found = came.map(ToOwned::to_owned);
            finding.receipts = pair.receipts_of(&touches);
            Found { finding, touches }
        })
        .collect()
}

/// Two values of a property are the same when they read the same, or are finish numbers that mean the same.
fn judge<'a>(wanted: &str, came: Option<&'a str>) -> Option<Judged<'a>> {
    let Some(came) = came else {
        return Some(Judged::NotRecorded);
    };
    if plain(wanted) == plain(came) {
        return None;
    }
    match finishes::compare(wanted, came) {
        Some(Likeness::Same) => None,
        Some(Likeness::Unsure) => Some(Judged::Unsure(came)),
        Some(Likeness::Different) | None => Some(Judged::Differs(came)),
    }
}

fn plain(text: &str) -> String {
    text.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .to_lowercase()
}

/// Moisture outside the range is a difference; before it is claimed it is measured again, so it is told as something
/// to look at: a meter is easily wrong, and wood takes up moisture on the dock (common practice).
fn moisture(pair: &Pair<'_>, (low, high): (Decimal, Decimal)) -> Vec<Found> {
    let unit = pair.line.quantity.unit;
    let wanted = format!("{}-{} %", low.normalize(), high.normalize());
    pair.lots
        .iter()
        .enumerate()
        .filter(|(_, lot)| !lot.amount.is_zero())
        .filter_map(|(place, lot)| {
            let said = Quantity::new(lot.amount, unit);
            let text = match lot.line.moisture {
                Some(came) if came >= low && came <= high => return None,
                Some(came) => format!(
                    "moisture of {said} {} %, {wanted} was ordered: hold, measure again",
                    came.normalize()
                ),
                None => format!("moisture of {said} not recorded; {wanted} was ordered"),
            };
            let kind = match lot.line.moisture {
                Some(_) => Kind::FinishDiffers,
                None => Kind::FinishNotRecorded,
            };
            let mut finding = Finding::new(kind, lot.amount, unit, text).about("moisture");
            finding.wanted = Some(wanted.clone());
            finding.found = lot
                .line
                .moisture
                .map(|came| format!("{} %", came.normalize()));
            finding.receipts = vec![lot.receipt.number.value.clone()];
            Some(Found {
                finding,
                touches: vec![Touch {
                    lot: place,
                    amount: lot.amount,
                }],
            })
        })
        .collect()
}
