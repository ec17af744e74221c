//! Finish and every other named property: cut, species, colour, hand, model, an approved sample; flatness and moisture
//! content. Must match exactly; equivalent finish codes stand in `trade/finishes.yaml`.

use crate::check::case::Case;
use crate::check::found::{Found, Touch};
use crate::check::pair::{Pair, PairedLot};
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::receipt::Storage;
use crate::trade::finishes::{self, Likeness};
use rust_decimal::Decimal;

/// What panels are ordered to be, whether the order says so or not.
const FLAT: &str = "flat";

/// Finds properties that differ or were not recorded.
///
/// Flatness counts also where the order does not name it, because nobody orders a bowed panel; but then it need not be
/// recorded.
///
/// # Errors
/// None; the signature is the aspects'.
pub fn look(_case: &Case<'_>, pair: &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>> {
    let mut found = Vec::new();
    for (name, wanted) in &pair.line.finish {
        found.extend(property(pair, name, wanted, true));
    }
    let flatness = Storage::Flatness.name();
    let named = |(name, _): &(String, String)| name.eq_ignore_ascii_case(flatness);
    if !pair.line.finish.iter().any(named) {
        found.extend(property(pair, flatness, FLAT, false));
    }
    if let Some(range) = pair.line.moisture {
        found.extend(moisture(pair, range));
    }
    Ok(found)
}

/// What a property that came is against the one wanted, where it is not the same.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Judged {
    Differs(String),
    /// A finish number that can mean several finishes, one of them the one wanted.
    Unsure(String),
    /// It differs, but the shop's own storage can be why.
    Stored(String),
    NotRecorded,
}

fn property(pair: &Pair<'_>, name: &str, wanted: &str, required: bool) -> Vec<Found> {
    let mut groups: Vec<(Judged, Vec<Touch>)> = Vec::new();
    for (place, lot) in pair
        .lots
        .iter()
        .enumerate()
        .filter(|(_, lot)| !lot.amount.is_zero())
    {
        let came = recorded(lot, name);
        if came.is_none() && !required {
            continue;
        }
        let Some(mut judged) = judge(wanted, came) else {
            continue;
        };
        if let Judged::Differs(came) = &judged
            && name.eq_ignore_ascii_case(Storage::Flatness.name())
            && !lot.line.checked_again.contains(&Storage::Flatness)
        {
            judged = Judged::Stored(came.clone());
        }
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
            let mut finding = match judged {
                Judged::Differs(came) => Finding::new(
                    Kind::FinishDiffers,
                    amount,
                    unit,
                    format!("{said} with {name} {came}; {wanted} was ordered"),
                )
                .compared(wanted, came),
                Judged::Unsure(came) => Finding::new(
                    Kind::FinishNotRecorded,
                    amount,
                    unit,
                    format!("{name} {came} of {said} can mean several finishes; {wanted} was ordered"),
                )
                .compared(wanted, came)
                .advised("compare it with a sample of the finish ordered"),
                Judged::Stored(came) => Finding::new(
                    Kind::FinishNotRecorded,
                    amount,
                    unit,
                    format!("{said} {came}, not {wanted}: look again before it is claimed, then write `checked_again: [flatness]`"),
                )
                .compared(wanted, came)
                .advised(
                    "check your own storage first: lay them flat, out of draught and damp",
                ),
                Judged::NotRecorded => {
                    let mut finding = Finding::new(
                        Kind::FinishNotRecorded,
                        amount,
                        unit,
                        format!("{name} of {said} not recorded; {wanted} was ordered"),
                    );
                    finding.wanted = Some(wanted.to_owned());
                    finding
                }
            }
            .about(name);
            finding.receipts = pair.receipts_of(&touches);
            Found { finding, touches }
        })
        .collect()
}

/// Returns a property as it was recorded. The thickness of lumber stands in its tally.
fn recorded(lot: &PairedLot<'_>, name: &str) -> Option<String> {
    let written = lot
        .line
        .finish
        .iter()
        .find(|(known, _)| known.eq_ignore_ascii_case(name))
        .map(|(_, value)| value.clone());
    let tallied = lot
        .line
        .tally
        .as_ref()
        .filter(|_| name.eq_ignore_ascii_case("thickness"));
    written.or_else(|| tallied.map(|tally| format!("{}/4", tally.quarters)))
}

/// Two values of a property are the same when they read the same, or are finish numbers that mean the same.
fn judge(wanted: &str, came: Option<String>) -> Option<Judged> {
    let Some(came) = came else {
        return Some(Judged::NotRecorded);
    };
    if plain(wanted) == plain(&came) {
        return None;
    }
    match finishes::compare(wanted, &came) {
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

/// Moisture outside the range is measured again before it is claimed, so it is first told as something to look at: a
/// meter is easily wrong, and wood takes up moisture on the dock (common practice). Measured again and still outside,
/// it differs.
fn moisture(pair: &Pair<'_>, (low, high): (Decimal, Decimal)) -> Vec<Found> {
    let unit = pair.line.quantity.unit;
    let wanted = format!("{}-{} %", low.normalize(), high.normalize());
    pair.lots
        .iter()
        .enumerate()
        .filter(|(_, lot)| !lot.amount.is_zero())
        .filter_map(|(place, lot)| {
            let said = Quantity::new(lot.amount, unit);
            let again = lot.line.checked_again.contains(&Storage::Moisture);
            let mut finding = match lot.line.moisture {
                Some(came) if came >= low && came <= high => return None,
                Some(came) => {
                    let came = format!("{} %", came.normalize());
                    if again {
                        let text = format!("moisture of {said} {came}, measured again; {wanted} was ordered");
                        Finding::new(Kind::FinishDiffers, lot.amount, unit, text)
                    } else {
                        let text = format!("moisture of {said} {came}; {wanted} was ordered: measure again before it is claimed, then write `checked_again: [moisture]`");
                        Finding::new(Kind::FinishNotRecorded, lot.amount, unit, text).advised(
                            "let it lie in the shop's climate and measure again with a second meter",
                        )
                    }
                    .compared(wanted.clone(), came)
                }
                None => {
                    let text = format!("moisture of {said} not recorded; {wanted} was ordered");
                    let mut finding = Finding::new(Kind::FinishNotRecorded, lot.amount, unit, text);
                    finding.wanted = Some(wanted.clone());
                    finding
                }
            }
            .about(Storage::Moisture.name());
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
