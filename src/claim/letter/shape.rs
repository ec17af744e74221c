//! The shape of a letter's data, for authors of templates: what `asordered schema letter` prints and what templates
//! are checked against. Renders nothing.

use serde_json::{Map, Value, json};

/// What stands at a name.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// A text, always there.
    Text,
    /// A text that may be missing: ask with `{{#if}}`.
    MaybeText,
    /// A list: `{{#each}}`.
    List(&'static Shape),
    /// A record: `{{#with}}` or `name.field`.
    Record(&'static [Field]),
    /// A record that may be missing.
    MaybeRecord(&'static [Field]),
}

/// A name of the data.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// The name.
    pub name: &'static str,
    /// What stands there.
    pub shape: Shape,
    /// What it is.
    pub about: &'static str,
}

const fn field(name: &'static str, shape: Shape, about: &'static str) -> Field {
    Field { name, shape, about }
}

/// The data of a letter.
pub const LETTER: &[Field] = &[
    field("subject", Shape::Text, "the subject, one line"),
    field("date", Shape::Text, "the letter's date"),
    field(
        "claim",
        Shape::MaybeText,
        "the claim's number, once it is recorded",
    ),
    field("shop", Shape::Record(PARTY), "who writes"),
    field("to", Shape::Record(PARTY), "who is written to"),
    field(
        "copy_to",
        Shape::MaybeText,
        "who else gets a copy, where damage in transit makes two parties of it",
    ),
    field("order", Shape::Text, "the order's number"),
    field("order_date", Shape::Text, "the order's date"),
    field("job", Shape::MaybeText, "the job the goods are for"),
    field(
        "receipts",
        Shape::List(&Shape::Record(RECEIPT)),
        "the deliveries claimed about",
    ),
    field(
        "salutation",
        Shape::Text,
        "whom it addresses: `To the claims department,`",
    ),
    field(
        "purpose",
        Shape::Text,
        "one sentence: what the letter is for",
    ),
    field(
        "table",
        Shape::List(&Shape::Record(ROW)),
        "ordered, received, difference, a row a line",
    ),
    field(
        "items",
        Shape::List(&Shape::Record(ITEM)),
        "every item of the claim",
    ),
    field(
        "costs",
        Shape::List(&Shape::Text),
        "the shop's own costs with their arithmetic",
    ),
    field(
        "value",
        Shape::MaybeText,
        "what is claimed in money, with its currency; missing where no money is asked or no price is known",
    ),
    field(
        "unpriced",
        Shape::List(&Shape::Text),
        "losses whose value is not known",
    ),
    field(
        "withheld",
        Shape::MaybeText,
        "one sentence: what is withheld on which invoice, and so not asked for again in money",
    ),
    field(
        "held",
        Shape::List(&Shape::Record(HELD)),
        "goods that are set apart",
    ),
    field(
        "risk",
        Shape::Text,
        "one sentence: how the goods are held and at whose risk",
    ),
    field(
        "answer_by",
        Shape::Text,
        "the day by which an answer is asked",
    ),
    field(
        "otherwise",
        Shape::Text,
        "one sentence: what we do without an answer by that day",
    ),
    field(
        "shipment",
        Shape::MaybeRecord(SHIPMENT),
        "the shipment, in a letter to a carrier",
    ),
    field(
        "earlier",
        Shape::List(&Shape::Record(EARLIER)),
        "what was written, answered and sent before, oldest first",
    ),
    field(
        "offer",
        Shape::MaybeText,
        "the offer that is accepted, or how the claim was settled",
    ),
    field(
        "enclosures",
        Shape::List(&Shape::Record(ENCLOSURE)),
        "what goes with the letter",
    ),
    field("closing", Shape::Text, "`Sincerely,` in the United States"),
    field("signs", Shape::MaybeRecord(SIGNS), "who signs"),
];

/// The name of the covering letter of a review, without `.txt` or `.html`.
pub const REVIEW_TEMPLATE: &str = "review-letter";

/// Returns the shape of the data that a template is given, by its name such as `letter.txt`.
pub fn of_template(name: &str) -> &'static [Field] {
    match name.rsplit_once('.') {
        Some((REVIEW_TEMPLATE, _)) => REVIEW,
        Some(_) | None => LETTER,
    }
}

/// The data of the covering letter of a review.
pub const REVIEW: &[Field] = &[
    field("subject", Shape::Text, "the subject, one line"),
    field("date", Shape::Text, "the letter's date"),
    field("month", Shape::Text, "the month it is about: `March 2026`"),
    field(
        "from",
        Shape::Text,
        "the first of the twelve months that end with it",
    ),
    field("shop", Shape::Record(PARTY), "who writes"),
    field("to", Shape::Record(PARTY), "who is written to"),
    field("salutation", Shape::Text, "whom it addresses"),
    field("facts", Shape::List(&Shape::Text), "figures of the month"),
    field(
        "year",
        Shape::List(&Shape::Text),
        "the same of the twelve months",
    ),
    field(
        "sentences",
        Shape::List(&Shape::Text),
        "three sentences drawn from the figures",
    ),
    field(
        "claims",
        Shape::List(&Shape::Record(REVIEW_CLAIM)),
        "the claims that are open",
    ),
    field("closing", Shape::Text, "`Sincerely,` in the United States"),
    field("signs", Shape::MaybeRecord(SIGNS), "who signs"),
];

const REVIEW_CLAIM: &[Field] = &[
    field("number", Shape::Text, "the claim's number"),
    field("order", Shape::Text, "the order's number"),
    field("date", Shape::Text, "the day it was drafted"),
    field("about", Shape::Text, "what it is about"),
    field(
        "value",
        Shape::MaybeText,
        "what is claimed in money, with its currency",
    ),
];

const PARTY: &[Field] = &[
    field("name", Shape::Text, "name"),
    field("contact", Shape::MaybeText, "the person or desk"),
    field(
        "address",
        Shape::List(&Shape::Text),
        "postal address, line by line",
    ),
    field("email", Shape::MaybeText, "e-mail address"),
];

const RECEIPT: &[Field] = &[
    field("number", Shape::Text, "our receipt's number"),
    field("date", Shape::Text, "the day the goods came"),
    field("slip", Shape::MaybeText, "the packing slip's number"),
    field("carrier", Shape::MaybeText, "the carrier's name"),
    field("pro", Shape::MaybeText, "the carrier's shipment number"),
    field(
        "noted",
        Shape::MaybeText,
        "what was noted on the delivery receipt",
    ),
];

const ROW: &[Field] = &[
    field("line", Shape::Text, "the order line"),
    field(
        "what",
        Shape::Text,
        "the item, by its code where it has one",
    ),
    field("ordered", Shape::Text, "amount ordered"),
    field("received", Shape::Text, "amount received"),
    field(
        "difference",
        Shape::Text,
        "`2 short`, `2 over`, `none in number`",
    ),
];

const ITEM: &[Field] = &[
    field("number", Shape::Text, "from 1"),
    field(
        "cause",
        Shape::MaybeText,
        "one sentence: what links the parts",
    ),
    field(
        "parts",
        Shape::List(&Shape::Record(PART)),
        "each loss and its remedy",
    ),
];

const PART: &[Field] = &[
    field("place", Shape::Text, "`Line 1`, or `Not ordered`"),
    field("what", Shape::MaybeText, "item and description"),
    field(
        "findings",
        Shape::List(&Shape::Record(FINDING)),
        "every finding",
    ),
    field("ask", Shape::Text, "what is asked, a sentence"),
    field(
        "choices",
        Shape::List(&Shape::Text),
        "what would do as well, a sentence each",
    ),
    field("arithmetic", Shape::MaybeText, "how the value comes about"),
    field(
        "value",
        Shape::MaybeText,
        "the value, where it is known and not nothing",
    ),
    field(
        "came",
        Shape::List(&Shape::Text),
        "what came for it since, in a later letter",
    ),
    field(
        "wrong",
        Shape::List(&Shape::Text),
        "what of that is not as ordered, a sentence each",
    ),
    field(
        "open",
        Shape::MaybeText,
        "what is still asked, where something came: a sentence or two",
    ),
];

const FINDING: &[Field] = &[
    field("kind", Shape::Text, "the kind's name, such as `short`"),
    field(
        "text",
        Shape::Text,
        "the finding as a sentence with its numbers",
    ),
    field("amount", Shape::Text, "how much, with its unit"),
    field(
        "identifiers",
        Shape::MaybeText,
        "leaves, papers, receipts and slips it is about",
    ),
];

const HELD: &[Field] = &[
    field("what", Shape::Text, "which goods"),
    field("place", Shape::MaybeText, "where they stand"),
];

const SHIPMENT: &[Field] = &[
    field("carrier", Shape::Text, "the carrier's name"),
    field("pro", Shape::MaybeText, "its shipment number"),
    field("from", Shape::Text, "the shipper"),
    field("delivered", Shape::Text, "the day of delivery"),
    field(
        "noted",
        Shape::MaybeText,
        "what was noted on the delivery receipt",
    ),
    field(
        "amount",
        Shape::Text,
        "the amount claimed, or how it is determined",
    ),
    field("acknowledge_by", Shape::Text, "30 days on"),
    field("settle_by", Shape::Text, "120 days on"),
];

const EARLIER: &[Field] = &[
    field("date", Shape::Text, "when"),
    field("what", Shape::Text, "what"),
];

const ENCLOSURE: &[Field] = &[
    field("number", Shape::Text, "from 1"),
    field("name", Shape::Text, "the file's name"),
    field("about", Shape::Text, "what it shows"),
    field(
        "hash",
        Shape::MaybeText,
        "SHA-256 of the file as it is kept, in hexadecimal",
    ),
];

const SIGNS: &[Field] = &[
    field("name", Shape::Text, "name"),
    field("role", Shape::MaybeText, "role"),
];

/// Returns the shape as a JSON Schema, for authors and editors.
pub fn schema() -> Value {
    let mut schema = record(LETTER);
    if let Value::Object(map) = &mut schema {
        map.shift_insert(
            0,
            "$schema".into(),
            json!("https://json-schema.org/draft/2020-12/schema"),
        );
        map.shift_insert(1, "title".into(), json!("asordered letter"));
    }
    schema
}

fn record(fields: &[Field]) -> Value {
    let mut properties = Map::new();
    for field in fields {
        let mut shape = of(field.shape);
        if let Value::Object(map) = &mut shape {
            map.insert("description".into(), json!(field.about));
        }
        properties.insert(field.name.into(), shape);
    }
    let names: Vec<&str> = fields.iter().map(|field| field.name).collect();
    json!({
        "type": "object",
        "properties": properties,
        "required": names,
        "additionalProperties": false,
    })
}

fn of(shape: Shape) -> Value {
    match shape {
        Shape::Text => json!({"type": "string"}),
        Shape::MaybeText => json!({"type": ["string", "null"]}),
        Shape::List(items) => json!({"type": "array", "items": of(*items)}),
        Shape::Record(fields) => record(fields),
        Shape::MaybeRecord(fields) => json!({"anyOf": [record(fields), {"type": "null"}]}),
    }
}

#[cfg(test)]
mod tests {
    use super::{LETTER, Shape};
    use crate::claim::letter::data::{
        EarlierData, EnclosureData, FindingData, HeldData, ItemData, LetterData, PartData,
        ReceiptData, RowData, ShipmentData, SignsData,
    };
    use serde_json::Value;

    /// Every list with one member and every option there, so that the shape can be held against all of it.
    fn full() -> LetterData {
        LetterData {
            claim: Some(String::new()),
            copy_to: Some(String::new()),
            job: Some(String::new()),
            receipts: vec![ReceiptData::default()],
            table: vec![RowData::default()],
            items: vec![ItemData {
                parts: vec![PartData {
                    findings: vec![FindingData::default()],
                    choices: vec![String::new()],
                    came: vec![String::new()],
                    wrong: vec![String::new()],
                    ..PartData::default()
                }],
                ..ItemData::default()
            }],
            costs: vec![String::new()],
            unpriced: vec![String::new()],
            held: vec![HeldData::default()],
            shipment: Some(ShipmentData::default()),
            earlier: vec![EarlierData::default()],
            enclosures: vec![EnclosureData::default()],
            signs: Some(SignsData::default()),
            ..LetterData::default()
        }
    }

    fn holds(shape: Shape, value: &Value, place: &str) {
        match (shape, value) {
            (Shape::Text, Value::String(_)) => {}
            (Shape::MaybeText, Value::String(_) | Value::Null) => {}
            (Shape::List(items), Value::Array(values)) => {
                for value in values {
                    holds(*items, value, place);
                }
            }
            (Shape::Record(fields) | Shape::MaybeRecord(fields), Value::Object(map)) => {
                let names: Vec<&str> = fields.iter().map(|field| field.name).collect();
                let keys: Vec<&str> = map.keys().map(String::as_str).collect();
                assert_eq!(names, keys, "{place}");
                for field in fields {
                    holds(
                        field.shape,
                        &map[field.name],
                        &format!("{place}.{}", field.name),
                    );
                }
            }
            (shape, value) => panic!("{place}: {value} is no {shape:?}"),
        }
    }

    #[test]
    fn the_shape_told_to_authors_is_the_shape_of_the_data() {
        let value = serde_json::to_value(full()).unwrap();
        holds(Shape::Record(LETTER), &value, "letter");
    }
}
