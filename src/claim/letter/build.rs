//! Says a draft in the words of a letter. Renders nothing; what is to be looked at again never comes here.

use crate::check::case::Case;
use crate::claim::deadlines;
use crate::claim::draft::{ClaimDraft, ClaimItem, Part};
use crate::claim::letter::data::{
    EarlierData, EnclosureData, FindingData, HeldData, ItemData, LetterData, PartData, PartyData,
    ReceiptData, RowData, ShipmentData, SignsData,
};
use crate::claim::letter::locale::Locale;
use crate::claim::letter::words::{ask, choices, leaf_runs, sentence};
use crate::claim::letter::{Beside, LetterKind};
use crate::claim::loss::touched;
use crate::claim::remedy::{Against, Remedy};
use crate::model::answer::{Answer, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::{Aspect, Effect, Kind};
use crate::model::money::Money;
use crate::model::order::Freight;
use crate::model::quantity::Quantity;
use crate::model::receipt::Receipt;
use crate::model::shop::Shop;
use crate::model::supplier::Supplier;
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
            contact: Some("Claims".to_owned()),
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
    let items = draft.items.iter().enumerate();
    Ok(LetterData {
        subject: kind.subject(&draft.order, beside.claim.as_deref()),
        date: locale.date(today),
        claim: beside.claim.clone(),
        shop: shop_party(shop),
        copy_to,
        order: draft.order.clone(),
        order_date: locale.date(case.order.date),
        job: case.order.job.clone(),
        purpose: purpose(kind, draft, &locale.date(today)),
        table: table(answer, draft),
        items: items
            .map(|(place, item)| item_data(case, answer, draft, place, item, locale))
            .collect(),
        costs: draft
            .costs
            .iter()
            .map(|cost| locale.grouped(&cost.arithmetic))
            .collect(),
        unpriced: draft.unpriced.clone(),
        held: held(case, answer, draft),
        risk: risk(draft.against).to_owned(),
        answer_by: locale.date(answer_by),
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
                amount: value.clone().unwrap_or_else(|| {
                    "the invoice value of the goods stated below, which the invoice determines"
                        .to_owned()
                }),
                acknowledge_by: day(0),
                settle_by: day(1),
            }
        }),
        value,
        receipts: receipts
            .iter()
            .map(|receipt| receipt_data(receipt, locale))
            .collect(),
        earlier: beside
            .earlier
            .iter()
            .map(|(date, what)| EarlierData {
                date: locale.date(*date),
                what: what.clone(),
            })
            .collect(),
        offer: beside.offer.clone(),
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

fn purpose(kind: LetterKind, draft: &ClaimDraft, today: &str) -> String {
    let count: usize = draft
        .items
        .iter()
        .flat_map(|item| &item.parts)
        .map(|part| part.findings.len())
        .sum();
    let respects = if count == 1 {
        "in one respect, stated".to_owned()
    } else {
        format!("in {count} respects, each stated")
    };
    match kind {
        LetterKind::Notice => format!(
            "This is to notify you that the goods delivered on order {} are not as ordered \
             {respects} below with what we ask of you.",
            draft.order
        ),
        LetterKind::CarrierClaim => format!(
            "We claim from you the loss on the shipment below, which was delivered damaged under order {}.",
            draft.order
        ),
        LetterKind::Reminder => format!(
            "We have had no answer to our notice on order {}; this is a reminder, and the notice stands in full.",
            draft.order
        ),
        LetterKind::FinalReminder => format!(
            "We have had no answer to our notice and reminder on order {}; this is the last reminder before we \
             look to the remedies that the contract and the law give us.",
            draft.order
        ),
        LetterKind::Acceptance => format!(
            "We accept your offer on our claim on order {}, as of {today}.",
            draft.order
        ),
        LetterKind::Thanks => format!(
            "Our claim on order {} is settled, and we thank you for putting it right.",
            draft.order
        ),
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

fn table(answer: &Answer, draft: &ClaimDraft) -> Vec<RowData> {
    let claimed = |line: &str| {
        draft
            .items
            .iter()
            .flat_map(|item| &item.parts)
            .any(|part| part.line.as_deref() == Some(line))
    };
    let mut rows: Vec<RowData> = answer
        .lines
        .iter()
        .filter(|line| claimed(&line.line))
        .map(|line| RowData {
            line: line.line.clone(),
            what: short_name(line.item.as_ref(), line.description.as_ref()),
            ordered: Quantity::new(line.ordered, line.unit).to_string(),
            received: Quantity::new(line.arrived, line.unit).to_string(),
            difference: if draft.against == Against::Carrier {
                let damaged = damaged_in(draft, &line.line);
                format!("{} damaged", damaged.normalize())
            } else if line.arrived < line.ordered {
                format!("{} short", (line.ordered - line.arrived).normalize())
            } else if line.arrived > line.ordered {
                format!("{} over", (line.arrived - line.ordered).normalize())
            } else {
                "none in number".to_owned()
            },
        })
        .collect();
    for part in draft.items.iter().flat_map(|item| &item.parts) {
        if part.line.is_none() {
            rows.push(RowData {
                line: "none".to_owned(),
                what: short_name(part.item.as_ref(), part.description.as_ref()),
                ordered: "nothing".to_owned(),
                received: part.amount.to_string(),
                difference: format!("{} not ordered", part.amount.amount.normalize()),
            });
        }
    }
    rows
}

/// Returns how much of a line a draft claims as damaged.
fn damaged_in(draft: &ClaimDraft, line: &str) -> Decimal {
    draft
        .items
        .iter()
        .flat_map(|item| &item.parts)
        .filter(|part| part.line.as_deref() == Some(line))
        .flat_map(|part| &part.findings)
        .filter(|finding| finding.kind == Kind::Damaged)
        .map(|finding| finding.amount)
        .sum()
}

/// Returns the code, else the words: a table has little room.
fn short_name(item: Option<&String>, description: Option<&String>) -> String {
    item.or(description).cloned().unwrap_or_default()
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
) -> ItemData {
    ItemData {
        number: (place + 1).to_string(),
        cause: item.cause.as_ref().map(|cause| sentence(&cause.text)),
        parts: item
            .parts
            .iter()
            .map(|part| {
                let line = line_of(answer, part);
                PartData {
                    place: match &part.line {
                        Some(line) => format!("Line {line}"),
                        None => "Not ordered".to_owned(),
                    },
                    what: what(part.item.as_deref(), part.description.as_deref()),
                    findings: part
                        .findings
                        .iter()
                        .map(|finding| finding_data(case, finding, draft.receipts.len() > 1))
                        .collect(),
                    ask: locale.grouped(&ask(part, line)),
                    choices: choices(part, line)
                        .iter()
                        .map(|choice| locale.grouped(choice))
                        .collect(),
                    arithmetic: says_money(part).then(|| locale.grouped(&part.worth.arithmetic)),
                    value: part
                        .worth
                        .value
                        .filter(|value| *value > Money::ZERO)
                        .map(|value| locale.money(value, &draft.currency)),
                }
            })
            .collect(),
    }
}

fn line_of<'a>(answer: &'a Answer, part: &Part) -> Option<&'a LineAnswer> {
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
fn finding_data(case: &Case<'_>, finding: &Finding, several: bool) -> FindingData {
    let mut identifiers = Vec::new();
    if !finding.leaves.is_empty() {
        identifiers.push(leaf_runs(&finding.leaves));
    }
    let told = |about: &str| finding.text.to_lowercase().contains(&about.to_lowercase());
    if let Some(about) = finding.about.as_ref().filter(|about| !told(about)) {
        identifiers.push(match finding.kind.aspect() {
            Aspect::Grade => format!("scale {about}"),
            Aspect::Price => format!("invoice {about}"),
            Aspect::Item
            | Aspect::Quantity
            | Aspect::Size
            | Aspect::Finish
            | Aspect::Sequence
            | Aspect::Condition
            | Aspect::Papers
            | Aspect::Timing => about.clone(),
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
        text: sentence(&finding.text),
        amount: Quantity::new(finding.amount.normalize(), finding.unit).to_string(),
        identifiers: (!identifiers.is_empty()).then(|| identifiers.join("; ")),
    }
}

/// Returns the goods that are held for what is claimed, and where they stand.
fn held(case: &Case<'_>, answer: &Answer, draft: &ClaimDraft) -> Vec<HeldData> {
    let mut held: Vec<HeldData> = Vec::new();
    let mut seen: Vec<&str> = Vec::new();
    for part in draft.items.iter().flat_map(|item| &item.parts) {
        match line_of(answer, part) {
            Some(line) if !seen.contains(&line.line.as_str()) => {
                seen.push(&line.line);
                held.extend(held_of(line, draft.against, case.order.freight));
            }
            Some(_) => {}
            None => held.push(HeldData {
                what: format!("{} that no line of the order asks for", part.amount),
                place: stray_place(case, &part.place),
            }),
        }
    }
    held
}

fn held_of(line: &LineAnswer, against: Against, freight: Freight) -> Option<HeldData> {
    // What was damaged while the shop bore the risk is held for the carrier, the rest for the supplier.
    let damaged: Decimal = line
        .findings
        .iter()
        .filter(|finding| finding.kind == Kind::Damaged && freight == Freight::Origin)
        .map(|finding| finding.amount)
        .sum();
    let amount = match against {
        Against::Carrier => damaged,
        Against::Supplier => (line.arrived - line.usable - damaged).max(Decimal::ZERO),
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
        format!("{} of line {}", Quantity::new(amount, line.unit), line.line)
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
