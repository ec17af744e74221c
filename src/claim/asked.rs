//! What a claim asks for, as it is kept: written once when the claim is drafted, read for as long as it lives.
//! Decides nothing.

use crate::claim::draft::{ClaimDraft, ClaimItem, Part};
use crate::claim::remedy::{Against, Remedy};
use crate::claim::replacement::Wanted;
use crate::claim::value::Worth;
use crate::claim::wishes::{self, Chosen, Wishes};
use crate::model::answer::Answer;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::money::Money;
use crate::model::quantity::Quantity;
use crate::model::unit::Unit;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde_json::{Value, json};

/// One thing asked for, with the findings it answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AskedPart {
    /// What is wanted.
    pub wanted: Wanted,
    /// The item's code, where known.
    pub item: Option<String>,
    /// The arithmetic of its value, in words.
    pub arithmetic: String,
    /// The findings: kind, amount and sentence.
    pub findings: Vec<AskedFinding>,
}

/// A finding as it stood in the claim.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AskedFinding {
    /// Its kind.
    pub kind: Kind,
    /// How much.
    pub amount: Decimal,
    /// The sentence.
    pub text: String,
    /// The receipts whose goods it is about; empty where it is about no goods that came.
    pub receipts: Vec<String>,
    /// The paper, invoice or scale it is about.
    pub about: Option<String>,
    /// The invoice that billed it first, where it is billed a second time.
    pub billed_first: Option<String>,
    /// The leaves it is about.
    pub leaves: Vec<String>,
}

/// Writes what a draft asks for.
pub fn to_json(draft: &ClaimDraft) -> Value {
    let parts: Vec<Value> = draft
        .items
        .iter()
        .flat_map(|item| &item.parts)
        .map(|part| {
            json!({
                "place": part.place,
                "line": part.line,
                "item": part.item,
                "description": part.description,
                "remedy": part.remedy.name(),
                "amount": part.amount.amount.normalize().to_string(),
                "unit": part.amount.unit.name(),
                "value": part.worth.value.map(|value| value.to_string()),
                "arithmetic": part.worth.arithmetic,
                "findings": part.findings.iter().map(|finding| json!({
                    "aspect": finding.kind.aspect().name(),
                    "kind": finding.kind.name(),
                    "amount": finding.amount.normalize().to_string(),
                    "unit": finding.unit.name(),
                    "text": finding.text,
                    "receipts": if finding.touches.is_empty() { Vec::new() } else { finding.receipts.clone() },
                    "about": finding.about,
                    "billed_first": finding.billed_first,
                    "leaves": finding.leaves,
                })).collect::<Vec<_>>(),
            })
        })
        .collect();
    json!({
        "party": draft.against.name(),
        "carrier": draft.carrier,
        "parts": parts,
        "costs": draft.costs.iter().map(|cost| json!({
            "value": cost.value.map(|value| value.to_string()),
            "arithmetic": cost.arithmetic,
        })).collect::<Vec<_>>(),
        "unpriced": draft.unpriced,
        "notify_why": draft.notify_by.as_ref().map(|deadline| deadline.why.clone()),
        "follow_up": draft.follow_up.iter().map(|deadline| json!({
            "date": deadline.date.to_string(),
            "why": deadline.why,
        })).collect::<Vec<_>>(),
        "also_told": draft.also_told.map(|party| party.name()),
    })
}

/// Writes what a draft asks for together with what the owner decided, so that one decision can be changed later and
/// the others stand.
pub fn with_wishes(draft: &ClaimDraft, wishes: &Wishes) -> Value {
    let mut value = to_json(draft);
    value["wishes"] = json!({
        "remedies": wishes.remedies.iter().map(|chosen| json!([
            chosen.place, chosen.kind.name(), chosen.remedy.name()
        ])).collect::<Vec<_>>(),
        "also": wishes.also.iter().map(|(place, kind)| json!([place, kind.name()])).collect::<Vec<_>>(),
        "return_freight": wishes.return_freight.map(|money| money.0.to_string()),
        "labour_hours": wishes.labour_hours.map(|hours| hours.to_string()),
    });
    value
}

/// Reads what the owner decided; nothing where nothing was.
pub fn wishes_of(text: &str) -> Wishes {
    let value: Value = serde_json::from_str(text).unwrap_or(Value::Null);
    let wishes = &value["wishes"];
    let amount = |name: &str| -> Option<Decimal> { wishes[name].as_str()?.parse().ok() };
    let list = |name: &str| wishes[name].as_array().cloned().unwrap_or_default();
    let place_and_kind = |row: &Value| -> Option<(String, Kind)> {
        wishes::place_and_kind(&format!("{}/{}", row[0].as_str()?, row[1].as_str()?))
    };
    Wishes {
        remedies: list("remedies")
            .iter()
            .filter_map(|row| {
                let (place, kind) = place_and_kind(row)?;
                let remedy = Remedy::named(row[2].as_str()?)?;
                Some(Chosen {
                    place,
                    kind,
                    remedy,
                })
            })
            .collect(),
        also: list("also").iter().filter_map(place_and_kind).collect(),
        return_freight: amount("return_freight").map(Money),
        labour_hours: amount("labour_hours"),
        ..Wishes::default()
    }
}

/// Reads what a claim asks for; `None` where the text is not what [`to_json`] wrote.
pub fn from_json(text: &str) -> Option<Vec<AskedPart>> {
    let value: Value = serde_json::from_str(text).ok()?;
    value["parts"].as_array()?.iter().map(part).collect()
}

/// Makes a draft again from what [`to_json`] wrote, for the later letters of a claim: what was asked stands as it was
/// asked, whatever came since. `None` where the text is not what was written.
pub fn draft_again(
    text: &str,
    answer: &Answer,
    currency: &str,
    today: NaiveDate,
) -> Option<ClaimDraft> {
    let value: Value = serde_json::from_str(text).ok()?;
    let against = match value["party"].as_str()? {
        "supplier" => Against::Supplier,
        "carrier" => Against::Carrier,
        _ => return None,
    };
    let parts = from_json(text)?;
    let described = value["parts"].as_array()?;
    let costs = costs(text);
    let known: Vec<Money> = parts
        .iter()
        .filter_map(|part| part.wanted.value)
        .chain(costs.iter().filter_map(|cost| cost.value))
        .collect();
    let items = parts
        .iter()
        .zip(described)
        .map(|(asked, described)| ClaimItem {
            cause: None,
            parts: vec![Part {
                line: asked.wanted.line.clone(),
                place: asked.wanted.place.clone(),
                item: asked.item.clone(),
                description: described["description"].as_str().map(str::to_owned),
                findings: asked
                    .findings
                    .iter()
                    .map(|found| {
                        let unit = asked.wanted.amount.unit;
                        let mut finding =
                            Finding::new(found.kind, found.amount, unit, found.text.clone());
                        finding.about.clone_from(&found.about);
                        finding.billed_first.clone_from(&found.billed_first);
                        finding.leaves.clone_from(&found.leaves);
                        finding.receipts.clone_from(&found.receipts);
                        finding
                    })
                    .collect(),
                amount: asked.wanted.amount,
                remedy: asked.wanted.remedy,
                worth: Worth {
                    value: asked.wanted.value,
                    arithmetic: asked.arithmetic.clone(),
                },
                alternatives: Vec::new(),
            }],
        })
        .collect();
    Some(ClaimDraft {
        against,
        carrier: carrier(text),
        order: answer.order.clone(),
        receipts: answer.receipts.clone(),
        currency: currency.to_owned(),
        items,
        costs,
        value: (!known.is_empty()).then(|| known.into_iter().sum::<Money>().rounded()),
        unpriced: Vec::new(),
        notify_by: None,
        answer_by: today,
        follow_up: Vec::new(),
        also_told: None,
    })
}

/// Reads the name of the carrier that a claim is on.
pub fn carrier(text: &str) -> Option<String> {
    let value: Value = serde_json::from_str(text).ok()?;
    value["carrier"].as_str().map(str::to_owned)
}

/// Reads the shop's own costs that a claim asks for.
pub fn costs(text: &str) -> Vec<Worth> {
    let value: Value = serde_json::from_str(text).unwrap_or(Value::Null);
    let costs = value["costs"].as_array().cloned().unwrap_or_default();
    costs
        .iter()
        .filter_map(|cost| {
            Some(Worth {
                value: cost["value"]
                    .as_str()
                    .and_then(|value| value.parse().ok())
                    .map(Money),
                arithmetic: cost["arithmetic"].as_str()?.to_owned(),
            })
        })
        .collect()
}

fn part(value: &Value) -> Option<AskedPart> {
    let unit = value["unit"].as_str()?;
    let unit = Unit::ALL.into_iter().find(|known| known.name() == unit)?;
    Some(AskedPart {
        wanted: Wanted {
            place: value["place"].as_str()?.to_owned(),
            line: value["line"].as_str().map(str::to_owned),
            remedy: Remedy::named(value["remedy"].as_str()?)?,
            amount: Quantity::new(value["amount"].as_str()?.parse().ok()?, unit),
            value: match &value["value"] {
                Value::Null => None,
                value => Some(Money(value.as_str()?.parse().ok()?)),
            },
        },
        item: value["item"].as_str().map(str::to_owned),
        arithmetic: value["arithmetic"].as_str()?.to_owned(),
        findings: value["findings"]
            .as_array()?
            .iter()
            .map(finding)
            .collect::<Option<_>>()?,
    })
}

fn finding(value: &Value) -> Option<AskedFinding> {
    let (aspect, name) = (value["aspect"].as_str()?, value["kind"].as_str()?);
    Some(AskedFinding {
        kind: Kind::ALL
            .into_iter()
            .find(|kind| kind.aspect().name() == aspect && kind.name() == name)?,
        amount: value["amount"].as_str()?.parse().ok()?,
        text: value["text"].as_str()?.to_owned(),
        receipts: texts(&value["receipts"]),
        about: value["about"].as_str().map(str::to_owned),
        billed_first: value["billed_first"].as_str().map(str::to_owned),
        leaves: texts(&value["leaves"]),
    })
}

fn texts(value: &Value) -> Vec<String> {
    value
        .as_array()
        .map(|list| {
            list.iter()
                .filter_map(Value::as_str)
                .map(str::to_owned)
                .collect()
        })
        .unwrap_or_default()
}
