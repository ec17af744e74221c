//! Says a draft in the words of a letter. Renders nothing; what is to be looked at again never comes here.

use crate::check::case::Case;
use crate::check::measure;
use crate::claim::deadlines;
use crate::claim::draft::{ClaimDraft, ClaimItem, Part};
use crate::claim::letter::data::{
    EnclosureData, FindingData, ItemData, LetterData, PartData, PartyData, ReceiptData,
    ShipmentData, SignsData,
};
use crate::claim::letter::held::held;
use crate::claim::letter::locale::Locale;
use crate::claim::letter::purpose::{Story, otherwise, purpose};
use crate::claim::letter::since::PartSince;
use crate::claim::letter::table::table;
use crate::claim::letter::words::{
    ask, billed_first, capital, choices, leaf_runs, salutation, sentence,
};
use crate::claim::letter::{Beside, LetterKind};
use crate::claim::remedy::{Against, Remedy};
use crate::model::answer::{Answer, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::Aspect;
use crate::model::money::Money;
use crate::model::quantity::Quantity;
use crate::model::receipt::Receipt;
use crate::model::shop::Shop;
use crate::model::supplier::Supplier;
use crate::model::words::listed;
use crate::trade::grades;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// Returns the data of a letter of a kind, dated `today`.
///
/// # Errors
/// What a letter cannot do without: the shop's and the supplier's files.
pub fn data(
    case: &Case<'_>,
    answer: &Answer,
    draft: &ClaimDraft,
    kind: LetterKind,
    beside: &Beside,
    today: NaiveDate,
) -> Result<LetterData, Vec<String>> {
    let (Some(shop), Some(supplier)) = (case.shop, case.supplier) else {
        let mut missing = Vec::new();
        if case.shop.is_none() {
            missing.push("a letter needs the shop's file, shop.yaml".to_owned());
        }
        if case.supplier.is_none() {
            missing.push(format!(
                "a letter needs the supplier's file, suppliers/{}.yaml",
                case.order.supplier
            ));
        }
        return Err(missing);
    };
    let locale = Locale::of(shop.locale.as_deref());
    let receipts: Vec<&Receipt> = draft
        .receipts
        .iter()
        .filter_map(|number| {
            case.receipts
                .iter()
                .find(|receipt| receipt.number.value == *number)
        })
        .collect();
    let carrier = receipts.iter().find_map(|receipt| receipt.carrier.as_ref());
    let carrier_name = carrier.map_or("the carrier", |carrier| carrier.name.as_str());
    let to = match draft.against {
        Against::Supplier => supplier_party(supplier),
        Against::Carrier => PartyData {
            name: carrier_name.to_owned(),
            contact: Some("Claims department".to_owned()),
            email: beside.carrier_email.clone(),
            address: Vec::new(),
        },
    };
    let copy_to = draft.also_told.and_then(|told| match told {
        Against::Supplier => Some(supplier.name.clone()),
        Against::Carrier => carrier.map(|carrier| carrier.name.clone()),
    });
    let value = draft
        .value
        .filter(|value| *value > Money::ZERO)
        .map(|value| locale.money(value, &draft.currency));
    let answer_by = match draft.against {
        Against::Supplier => deadlines::answer_by(case, today),
        Against::Carrier => deadlines::carrier_answer_by(today),
    };
    let story = Story {
        beside,
        against: draft.against,
        order: &draft.order,
        locale,
        today,
    };
    // Where the parts stand is told in their order, item by item.
    let mut since = beside.since.as_slice();
    let items: Vec<ItemData> = draft
        .items
        .iter()
        .enumerate()
        .map(|(place, item)| {
            let (mine, rest) = since.split_at(item.parts.len().min(since.len()));
            since = rest;
            item_data(case, answer, draft, place, item, locale, mine)
        })
        .collect();
    Ok(LetterData {
        subject: kind.subject(&draft.order, beside.claim.as_deref(), draft.against),
        date: locale.date(today),
        claim: beside.claim.clone(),
        shop: shop_party(shop),
        copy_to,
        order: draft.order.clone(),
        order_date: locale.date(case.order.date),
        job: case.order.job.clone(),
        salutation: salutation(match draft.against {
            Against::Supplier => to.contact.as_deref(),
            Against::Carrier => None,
        }),
        purpose: purpose(kind, draft, &story),
        table: table(case, answer, draft),
        items,
        costs: draft
            .costs
            .iter()
            .map(|cost| capital(&locale.spelled(&locale.grouped(&cost.arithmetic))))
            .collect(),
        unpriced: draft.unpriced.clone(),
        withheld: withheld(answer, draft, locale),
        held: if beside.is_collected() {
            Vec::new()
        } else {
            held(case, answer, draft, &beside.since)
        },
        risk: risk(draft.against).to_owned(),
        answer_by: locale.date(answer_by),
        otherwise: otherwise(draft.against, &locale.date(answer_by)),
        closing: locale.closing().to_owned(),
        shipment: (draft.against == Against::Carrier).then(|| {
            let follow_up = deadlines::carrier_follow_up(today);
            let day = |place: usize| {
                let deadline = follow_up.get(place);
                locale.date(deadline.map_or(today, |deadline| deadline.date))
            };
            ShipmentData {
                carrier: carrier_name.to_owned(),
                pro: carrier.and_then(|carrier| carrier.pro.clone()),
                from: supplier.name.clone(),
                delivered: receipts
                    .first()
                    .map(|receipt| locale.date(receipt.date))
                    .unwrap_or_default(),
                noted: carrier.and_then(|carrier| carrier.noted.clone()),
                amount: value.clone().unwrap_or_else(|| determinable(draft)),
                acknowledge_by: day(0),
                settle_by: day(1),
            }
        }),
        value,
        receipts: receipts
            .iter()
            .map(|receipt| receipt_data(receipt, locale))
            .collect(),
        earlier: story.entries(&draft.currency),
        offer: story.offer(kind, &draft.currency),
        enclosures: beside
            .enclosures
            .iter()
            .enumerate()
            .map(|(place, enclosure)| EnclosureData {
                number: (place + 1).to_string(),
                name: enclosure.name.clone(),
                about: enclosure.about.clone(),
                hash: enclosure.hash.clone(),
            })
            .collect(),
        signs: shop.signs.as_ref().map(|signs| SignsData {
            name: signs.name.clone(),
            role: signs.role.clone(),
        }),
        to,
    })
}

fn supplier_party(supplier: &Supplier) -> PartyData {
    PartyData {
        name: supplier.name.clone(),
        contact: supplier.contact.name.clone(),
        address: supplier.address.clone(),
        email: supplier.contact.email.clone(),
    }
}

fn shop_party(shop: &Shop) -> PartyData {
    PartyData {
        name: shop.name.clone(),
        contact: None,
        address: shop.address.clone(),
        email: shop.mail.as_ref().map(|mail| mail.from.clone()),
    }
}

fn receipt_data(receipt: &Receipt, locale: Locale) -> ReceiptData {
    let carrier = receipt.carrier.as_ref();
    ReceiptData {
        number: receipt.number.value.clone(),
        date: locale.date(receipt.date),
        slip: receipt.packing_slip.clone(),
        carrier: carrier.map(|carrier| carrier.name.clone()),
        pro: carrier.and_then(|carrier| carrier.pro.clone()),
        noted: carrier.and_then(|carrier| carrier.noted.clone()),
    }
}

const fn risk(against: Against) -> &'static str {
    match against {
        Against::Supplier => {
            "They are set apart and kept with reasonable care, not cut, pressed or otherwise used, at your disposal \
             and at your risk."
        }
        Against::Carrier => {
            "They are set apart with their packaging and kept for your inspection, which we invite."
        }
    }
}

/// Returns how a carrier's amount is determined where none is stated.
fn determinable(draft: &ClaimDraft) -> String {
    let elsewhere = draft.value.is_some_and(|value| value == Money::ZERO);
    if elsewhere {
        "the value of the goods stated below, as far as the supplier does not make it good"
    } else {
        "the invoice value of the goods stated below, which the invoice determines"
    }
    .to_owned()
}

/// Says what is withheld on the invoices: it is not asked for again in money.
fn withheld(answer: &Answer, draft: &ClaimDraft, locale: Locale) -> Option<String> {
    let billing = answer.billing.as_ref()?;
    let concerned: Vec<&Part> = draft
        .items
        .iter()
        .flat_map(|item| &item.parts)
        .filter(|part| {
            unpaid(answer, draft, part).is_some() || part.remedy == Remedy::CorrectInvoice
        })
        .collect();
    if billing.withhold.is_zero() || concerned.is_empty() {
        return None;
    }
    let only_twice = concerned.iter().all(|part| billed_first(part).is_some());
    Some(format!(
        "We withhold {} of invoice {} until this is settled. What is withheld is not asked for again in money: please \
         {}.",
        locale.money(Money(billing.withhold), &draft.currency),
        listed(&billing.withheld_of),
        if only_twice {
            "cancel what is billed twice"
        } else {
            "send what we ask, or a corrected invoice"
        }
    ))
}

/// Returns the invoices of a part whose goods are billed and not paid.
fn unpaid(answer: &Answer, draft: &ClaimDraft, part: &Part) -> Option<String> {
    let billing = answer.billing.as_ref()?;
    let line = line_of(answer, part)?;
    let billed: Decimal = billing
        .billed
        .iter()
        .filter(|(number, _)| *number == line.line)
        .map(|(_, amount)| *amount)
        .sum();
    (draft.against == Against::Supplier && !billing.withhold.is_zero() && billed > line.usable)
        .then(|| listed(&billing.withheld_of))
}

/// Returns `RWO-48x120, rift white oak veneer`.
fn what(item: Option<&str>, description: Option<&str>) -> Option<String> {
    let parts: Vec<&str> = [item, description].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

fn item_data(
    case: &Case<'_>,
    answer: &Answer,
    draft: &ClaimDraft,
    place: usize,
    item: &ClaimItem,
    locale: Locale,
    since: &[PartSince],
) -> ItemData {
    ItemData {
        number: (place + 1).to_string(),
        cause: item
            .cause
            .as_ref()
            .map(|cause| sentence(&locale.dated(&cause.text))),
        parts: item
            .parts
            .iter()
            .enumerate()
            .map(|(place, part)| {
                let line = line_of(answer, part);
                let said = said(case, part);
                let unpaid = unpaid(answer, draft, part);
                let since = since.get(place).cloned().unwrap_or_default();
                PartData {
                    place: match &part.line {
                        Some(line) => format!("Line {line}"),
                        None => "Not ordered".to_owned(),
                    },
                    what: what(part.item.as_deref(), part.description.as_deref()),
                    findings: part
                        .findings
                        .iter()
                        .map(|finding| {
                            finding_data(case, finding, draft.receipts.len() > 1, locale)
                        })
                        .collect(),
                    ask: locale.grouped(&ask(part, line, said, unpaid.as_deref())),
                    choices: choices(part, line, said, unpaid.as_deref())
                        .iter()
                        .map(|choice| locale.grouped(choice))
                        .collect(),
                    arithmetic: says_money(part).then(|| locale.grouped(&part.worth.arithmetic)),
                    value: part
                        .worth
                        .value
                        .filter(|value| *value > Money::ZERO)
                        .map(|value| locale.money(value, &draft.currency)),
                    came: since.came,
                    wrong: since.wrong,
                    open: since.open,
                }
            })
            .collect(),
    }
}

/// Returns a part's amount as a person says it: part of a pack by what it holds.
pub(crate) fn said(case: &Case<'_>, part: &Part) -> Quantity {
    let ordered = case
        .order
        .lines
        .iter()
        .find(|line| part.line.as_deref() == Some(line.line.as_str()))
        .filter(|line| line.quantity.unit == part.amount.unit);
    match ordered {
        Some(line) => measure::said(line, part.amount.amount),
        None => part.amount,
    }
}

pub(crate) fn line_of<'a>(answer: &'a Answer, part: &Part) -> Option<&'a LineAnswer> {
    answer
        .lines
        .iter()
        .find(|line| part.line.as_deref() == Some(line.line.as_str()))
}

/// Whether a part says anything of money: goods to be collected or papers to be sent do not.
const fn says_money(part: &Part) -> bool {
    match part.remedy {
        Remedy::Collect | Remedy::Keep | Remedy::SendPapers | Remedy::Explain => false,
        Remedy::Send
        | Remedy::SendLeaves
        | Remedy::NewSet
        | Remedy::Replace
        | Remedy::Buy
        | Remedy::Credit
        | Remedy::Reduce
        | Remedy::CorrectInvoice
        | Remedy::Pay => true,
    }
}

/// `several` receipts: then each finding says which one it is about; a single one is named above.
fn finding_data(case: &Case<'_>, finding: &Finding, several: bool, locale: Locale) -> FindingData {
    let mut identifiers = Vec::new();
    if !finding.leaves.is_empty() {
        identifiers.push(leaf_runs(&finding.leaves));
    }
    let told = |about: &str| finding.text.to_lowercase().contains(&about.to_lowercase());
    if let Some(about) = finding.about.as_ref().filter(|about| !told(about)) {
        identifiers.extend(match finding.kind.aspect() {
            Aspect::Grade => grade_scale(about),
            Aspect::Price => Some(format!("invoice {about}")),
            Aspect::Papers => Some(about.clone()),
            // The property's name is the shop's own; the sentence says what differs.
            Aspect::Item
            | Aspect::Quantity
            | Aspect::Size
            | Aspect::Finish
            | Aspect::Sequence
            | Aspect::Condition
            | Aspect::Timing => None,
        });
    }
    for number in finding.receipts.iter().filter(|_| several) {
        let slip = case
            .receipts
            .iter()
            .find(|receipt| receipt.number.value == *number)
            .and_then(|receipt| receipt.packing_slip.as_ref());
        identifiers.push(match slip {
            Some(slip) => format!("receipt {number}, packing slip {slip}"),
            None => format!("receipt {number}"),
        });
    }
    FindingData {
        kind: finding.kind.name().to_owned(),
        text: sentence(&locale.dated(&finding.text)),
        amount: Quantity::new(finding.amount.normalize(), finding.unit).to_string(),
        identifiers: (!identifiers.is_empty()).then(|| identifiers.join("; ")),
    }
}

/// Names a grade scale as the other side knows it: by its standard.
fn grade_scale(name: &str) -> Option<String> {
    let source = &grades::scale(name)?.source;
    let standard = source.split([';', ',']).next().unwrap_or(source).trim();
    Some(format!("grade scale {standard}"))
}
