//! Reads a supplier file.

use crate::intake::amount::period;
use crate::intake::fields::{Field, Fields, Problems, Shape, Table};
use crate::intake::node::Node;
use crate::intake::text::{id, names, slug};
use crate::model::problem::Problem;
use crate::model::supplier::{Contact, Notice, Supplier};
use crate::model::words::shortened;

/// The keys of a supplier.
pub const SUPPLIER: Table = Table {
    what: "a supplier",
    fields: &[
        Field::must(
            "supplier",
            Shape::Text("harrow-veneer"),
            "the name of this file, without .yaml",
        ),
        Field::must("name", Shape::Text("Harrow Veneer Co."), "its name"),
        Field::may("contact", Shape::Record(&CONTACT), "whom to write to"),
        Field::may(
            "address",
            Shape::List(&Shape::Text("12 Kiln Road")),
            "postal address, line by line",
        ),
        Field::may(
            "notice",
            Shape::Record(&NOTICE),
            "notice periods that its terms state",
        ),
        Field::may(
            "reply",
            Shape::Text("10 days"),
            "when we ask for an answer, where its terms are silent",
        ),
        Field::may("grades", Shape::Names, "its grade names on a scale of ours"),
        Field::may("items", Shape::Names, "its item codes to ours"),
    ],
};

const CONTACT: Table = Table {
    what: "a contact",
    fields: &[
        Field::may("name", Shape::Text("Claims desk"), "name"),
        Field::may(
            "email",
            Shape::Text("claims@harrow.example"),
            "e-mail address",
        ),
        Field::may("phone", Shape::Text("+1 555 0142"), "telephone"),
    ],
};

const NOTICE: Table = Table {
    what: "notice periods",
    fields: &[
        Field::may(
            "visible",
            Shape::Text("2 business days"),
            "for what can be seen",
        ),
        Field::may(
            "concealed",
            Shape::Text("5 business days"),
            "for what is found later",
        ),
        Field::may("shortage", Shape::Text("5 business days"), "for shortages"),
    ],
};

/// Reads a supplier.
pub fn read(node: &Node, problems: &mut Problems) -> Option<Supplier> {
    let fields = Fields::open(node, &SUPPLIER, problems)?;
    let supplier = fields.get("supplier", slug, problems);
    let name = fields.get("name", id, problems);
    Some(Supplier {
        contact: fields.get("contact", contact, problems).unwrap_or_default(),
        address: fields.list("address", id, problems),
        notice: fields.get("notice", notice, problems).unwrap_or_default(),
        reply: fields.get("reply", period, problems),
        grades: fields.get("grades", names, problems).unwrap_or_default(),
        items: fields.get("items", names, problems).unwrap_or_default(),
        id: supplier?,
        name: name?,
        spot: node.spot.clone(),
    })
}

fn contact(node: &Node, problems: &mut Problems) -> Option<Contact> {
    let fields = Fields::open(node, &CONTACT, problems)?;
    Some(Contact {
        name: fields.get("name", id, problems),
        email: fields.get("email", email, problems),
        phone: fields.get("phone", id, problems),
    })
}

/// Reads an e-mail address, only so far that it cannot be anything else than one address.
pub fn email(node: &Node, problems: &mut Problems) -> Option<String> {
    let text = id(node, problems)?;
    let plain = text.chars().all(|c| {
        !c.is_whitespace()
            && !c.is_control()
            && !matches!(c, ',' | ';' | '<' | '>' | '"' | '(' | ')')
    });
    let parts = text.split_once('@').is_some_and(|(local, domain)| {
        !local.is_empty() && !domain.is_empty() && !domain.contains('@')
    });
    if plain && parts {
        return Some(text);
    }
    problems.push(Problem::new(
        &node.spot,
        format!(
            "found `{}`, expected one address as `claims@harrow.example`",
            shortened(&text)
        ),
    ));
    None
}

fn notice(node: &Node, problems: &mut Problems) -> Option<Notice> {
    let fields = Fields::open(node, &NOTICE, problems)?;
    Some(Notice {
        visible: fields.get("visible", period, problems),
        concealed: fields.get("concealed", period, problems),
        shortage: fields.get("shortage", period, problems),
    })
}
