//! The table of a letter: ordered, received, difference. Says of the difference what the claim says, no more.

use crate::check::case::Case;
use crate::check::measure;
use crate::claim::draft::ClaimDraft;
use crate::claim::letter::data::RowData;
use crate::claim::remedy::Against;
use crate::model::answer::{Answer, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::quantity::Quantity;
use rust_decimal::Decimal;

/// Returns a row for each line that is claimed about, then one for what no line asked for.
pub(crate) fn table(case: &Case<'_>, answer: &Answer, draft: &ClaimDraft) -> Vec<RowData> {
    let parts = || draft.items.iter().flat_map(|item| &item.parts);
    let mut rows: Vec<RowData> = Vec::new();
    for line in &answer.lines {
        let claimed: Vec<&Finding> = parts()
            .filter(|part| part.line.as_deref() == Some(line.line.as_str()))
            .flat_map(|part| &part.findings)
            .collect();
        if claimed.is_empty() {
            continue;
        }
        let ordered = case
            .order
            .lines
            .iter()
            .find(|other| other.line == line.line);
        let said = |amount: Decimal| match ordered {
            Some(ordered) => measure::said(ordered, amount),
            None => Quantity::new(amount, line.unit),
        };
        rows.push(RowData {
            line: line.line.clone(),
            what: short_name(line.item.as_ref(), line.description.as_ref()),
            ordered: Quantity::new(line.ordered, line.unit).to_string(),
            received: said(line.arrived).to_string(),
            difference: difference(line, &claimed, draft.against, &said),
        });
    }
    for part in parts().filter(|part| part.line.is_none()) {
        rows.push(RowData {
            line: "none".to_owned(),
            what: short_name(part.item.as_ref(), part.description.as_ref()),
            ordered: "nothing".to_owned(),
            received: part.amount.to_string(),
            difference: format!("{} not ordered", part.amount.amount.normalize()),
        });
    }
    rows
}

fn difference(
    line: &LineAnswer,
    claimed: &[&Finding],
    against: Against,
    said: &dyn Fn(Decimal) -> Quantity,
) -> String {
    let amount = |kind: Kind| -> Decimal {
        claimed
            .iter()
            .filter(|finding| finding.kind == kind)
            .map(|finding| finding.amount)
            .sum()
    };
    // The unit stands in the columns before, where it is the same.
    let words = |amount: Decimal, what: &str| {
        let said = said(amount);
        if said.unit == line.unit {
            format!("{} {what}", amount.normalize())
        } else {
            format!("{said} {what}")
        }
    };
    let (short, over) = (amount(Kind::Short), amount(Kind::Over));
    if against == Against::Carrier {
        words(amount(Kind::Damaged), "damaged")
    } else if !short.is_zero() {
        words(short, "short")
    } else if !over.is_zero() {
        words(over, "over")
    } else if line.arrived == line.ordered {
        "none in number".to_owned()
    } else {
        match claimed.first() {
            Some(finding) if finding.kind.rejects_units() => {
                words(finding.amount, finding.kind.held_because())
            }
            Some(_) | None => "stated below".to_owned(),
        }
    }
}

/// Returns the code, else the words: a table has little room.
fn short_name(item: Option<&String>, description: Option<&String>) -> String {
    item.or(description).cloned().unwrap_or_default()
}
