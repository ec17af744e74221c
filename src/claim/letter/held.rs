//! Which goods a letter says are held, and where they stand. Holds nothing itself.

use crate::check::case::Case;
use crate::check::measure;
use crate::claim::draft::ClaimDraft;
use crate::claim::letter::build::line_of;
use crate::claim::letter::data::HeldData;
use crate::claim::letter::since::PartSince;
use crate::claim::loss::{touched, touched_alone};
use crate::claim::remedy::Against;
use crate::model::answer::Answer;
use crate::model::answer::LineAnswer;
use crate::model::finding::Finding;
use crate::model::kind::{Effect, Kind};
use crate::model::order::Freight;
use crate::model::quantity::Quantity;
use rust_decimal::Decimal;

/// Returns the goods that are held for what a draft claims, and what came since and is held.
pub(crate) fn held(
    case: &Case<'_>,
    answer: &Answer,
    draft: &ClaimDraft,
    since: &[PartSince],
) -> Vec<HeldData> {
    let mut held: Vec<HeldData> = Vec::new();
    let mut seen: Vec<&str> = Vec::new();
    for part in draft.items.iter().flat_map(|item| &item.parts) {
        match line_of(answer, part) {
            Some(line) if !seen.contains(&line.line.as_str()) => {
                seen.push(&line.line);
                held.extend(of_line(case, line, draft));
            }
            Some(_) => {}
            None => held.push(HeldData {
                what: format!("{} that no line of the order asks for", part.amount),
                place: stray_place(case, &part.place),
            }),
        }
    }
    held.extend(since.iter().filter_map(|since| since.held.clone()));
    held
}

fn of_line(case: &Case<'_>, line: &LineAnswer, draft: &ClaimDraft) -> Option<HeldData> {
    let claimed: Vec<&Finding> = draft
        .items
        .iter()
        .flat_map(|item| &item.parts)
        .filter(|part| part.line.as_deref() == Some(line.line.as_str()))
        .flat_map(|part| &part.findings)
        .collect();
    // What was damaged while the shop bore the risk is held for the carrier, the rest for the supplier.
    let damaged: Decimal = line
        .findings
        .iter()
        .filter(|finding| finding.kind == Kind::Damaged && case.order.freight == Freight::Origin)
        .map(|finding| touched_alone(line, finding))
        .sum();
    let amount = match draft.against {
        Against::Carrier => claimed
            .iter()
            .filter(|finding| finding.kind == Kind::Damaged)
            .map(|finding| finding.amount)
            .sum(),
        Against::Supplier => of_supplier(line, &claimed, damaged),
    };
    if amount.is_zero() {
        return None;
    }
    // What is only to be looked at again is held as well, but is no word to the supplier.
    let unsure = line
        .findings
        .iter()
        .any(|finding| finding.kind.effect() == Effect::LookAgain);
    let over: Decimal = line
        .findings
        .iter()
        .filter(|finding| finding.kind == Kind::Over)
        .map(|finding| finding.amount)
        .sum();
    let broken = line
        .findings
        .iter()
        .any(|finding| finding.kind == Kind::SetsMissing);
    if unsure && (line.rejected() + over).is_zero() && !broken {
        return None;
    }
    let what = if unsure {
        format!("the goods of line {} that are stated above", line.line)
    } else {
        let ordered = case
            .order
            .lines
            .iter()
            .find(|other| other.line == line.line);
        let said = match ordered {
            Some(ordered) => measure::said(ordered, amount),
            None => Quantity::new(amount, line.unit),
        };
        format!("{said} of line {}", line.line)
    };
    let mut places: Vec<&str> = Vec::new();
    let lots: Vec<usize> = line.findings.iter().flat_map(touched).collect();
    for (index, lot) in line.lots.iter().enumerate() {
        let concerned = lots.is_empty() || lots.contains(&index);
        if let Some(place) = lot.place.as_deref().filter(|_| concerned)
            && !places.contains(&place)
        {
            places.push(place);
        }
    }
    Some(HeldData {
        what,
        place: (!places.is_empty()).then(|| places.join(", ")),
    })
}

/// Returns what is held for the supplier: what may not be used, but no more than the claim is about, and nothing for
/// what is only short or only billed otherwise.
fn of_supplier(line: &LineAnswer, claimed: &[&Finding], damaged: Decimal) -> Decimal {
    let all = (line.arrived - line.usable - damaged).max(Decimal::ZERO);
    let is = |kind: Kind| claimed.iter().any(|finding| finding.kind == kind);
    let most: Decimal = claimed
        .iter()
        .filter(|finding| {
            finding.kind.rejects_units() || matches!(finding.kind, Kind::Over | Kind::PaperMissing)
        })
        .map(|finding| finding.amount)
        .sum();
    if is(Kind::SetsMissing) {
        all
    } else {
        all.min(most)
    }
}

fn stray_place(case: &Case<'_>, place: &str) -> Option<String> {
    let (number, index) = place.rsplit_once(':')?;
    let receipt = case
        .receipts
        .iter()
        .find(|receipt| receipt.number.value == number)?;
    let line = receipt
        .lines
        .get(index.parse::<usize>().ok()?.checked_sub(1)?)?;
    line.place.clone().or_else(|| receipt.place.clone())
}
