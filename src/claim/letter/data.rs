//! What a letter's template is given: plain text, ready to print. The shapes are described for authors in `shape`.

use serde::Serialize;

/// All that a letter says. Dates and money are written out by the shop's locale.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(
    missing_docs,
    reason = "each field is described for authors in `shape`, which a test holds to this"
)]
pub struct LetterData {
    pub subject: String,
    pub date: String,
    pub claim: Option<String>,
    pub shop: PartyData,
    pub to: PartyData,
    pub copy_to: Option<String>,
    pub order: String,
    pub order_date: String,
    pub job: Option<String>,
    pub receipts: Vec<ReceiptData>,
    pub salutation: String,
    pub purpose: String,
    pub table: Vec<RowData>,
    pub items: Vec<ItemData>,
    pub costs: Vec<String>,
    pub value: Option<String>,
    pub unpriced: Vec<String>,
    pub withheld: Option<String>,
    pub held: Vec<HeldData>,
    pub risk: String,
    pub answer_by: String,
    pub otherwise: String,
    pub shipment: Option<ShipmentData>,
    pub earlier: Vec<EarlierData>,
    pub offer: Option<String>,
    pub enclosures: Vec<EnclosureData>,
    pub closing: String,
    pub signs: Option<SignsData>,
}

/// A party to the letter.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct PartyData {
    pub name: String,
    pub contact: Option<String>,
    pub address: Vec<String>,
    pub email: Option<String>,
}

/// A delivery.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct ReceiptData {
    pub number: String,
    pub date: String,
    pub slip: Option<String>,
    pub carrier: Option<String>,
    pub pro: Option<String>,
    pub noted: Option<String>,
}

/// A row of the table ordered, received, difference.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct RowData {
    pub line: String,
    pub what: String,
    pub ordered: String,
    pub received: String,
    pub difference: String,
}

/// One linked item of the claim.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct ItemData {
    pub number: String,
    pub cause: Option<String>,
    pub parts: Vec<PartData>,
}

/// One loss of an item and its remedy.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct PartData {
    pub place: String,
    pub what: Option<String>,
    pub findings: Vec<FindingData>,
    pub ask: String,
    pub choices: Vec<String>,
    pub arithmetic: Option<String>,
    pub value: Option<String>,
    pub came: Vec<String>,
    pub wrong: Vec<String>,
    pub open: Option<String>,
}

/// One finding, stated particularly.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct FindingData {
    pub kind: String,
    pub text: String,
    pub amount: String,
    pub identifiers: Option<String>,
}

/// Goods that are held.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct HeldData {
    pub what: String,
    pub place: Option<String>,
}

/// The shipment, in a letter to a carrier.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct ShipmentData {
    pub carrier: String,
    pub pro: Option<String>,
    pub from: String,
    pub delivered: String,
    pub noted: Option<String>,
    pub amount: String,
    pub acknowledge_by: String,
    pub settle_by: String,
}

/// What was written before.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct EarlierData {
    pub date: String,
    pub what: String,
}

/// An enclosure.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct EnclosureData {
    pub number: String,
    pub name: String,
    pub about: String,
    pub hash: Option<String>,
}

/// Who signs.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct SignsData {
    pub name: String,
    pub role: Option<String>,
}

/// All that the covering letter of a review says.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct ReviewLetterData {
    pub subject: String,
    pub date: String,
    pub month: String,
    pub from: String,
    pub shop: PartyData,
    pub to: PartyData,
    pub salutation: String,
    pub facts: Vec<String>,
    pub year: Vec<String>,
    pub sentences: Vec<String>,
    pub claims: Vec<ReviewClaimData>,
    pub closing: String,
    pub signs: Option<SignsData>,
}

/// A claim that is open, in the covering letter of a review.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `shape`")]
pub struct ReviewClaimData {
    pub number: String,
    pub order: String,
    pub date: String,
    pub about: String,
    pub value: Option<String>,
}
