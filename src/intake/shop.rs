//! Reads the shop's file. A password has no place in it.

use crate::intake::fields::{Field, Fields, Problems, Shape, Table};
use crate::intake::node::Node;
use crate::intake::order::currency;
use crate::intake::supplier::email;
use crate::intake::text::{date, id, money, whole, word};
use crate::model::problem::Problem;
use crate::model::shop::{Mail, Security, Shop, Signatory};

/// The keys of the shop's file.
pub const SHOP: Table = Table {
    what: "a shop",
    fields: &[
        Field::must(
            "name",
            Shape::Text("Plumb Line Millwork"),
            "the shop's name",
        ),
        Field::may(
            "address",
            Shape::List(&Shape::Text("4 Tenon Street")),
            "postal address, line by line",
        ),
        Field::may("signs", Shape::Record(&SIGNS), "who signs letters"),
        Field::may("currency", Shape::Text("USD"), "three letters, ISO 4217"),
        Field::may(
            "holidays",
            Shape::List(&Shape::Date),
            "days that are no business days, besides weekends",
        ),
        Field::may(
            "labour_rate",
            Shape::Number,
            "what an hour of shop labour costs",
        ),
        Field::may(
            "locale",
            Shape::Text("en-US"),
            "how letters write dates and money",
        ),
        Field::may(
            "mail",
            Shape::Record(&MAIL),
            "the mail server; never a password",
        ),
    ],
};

const SIGNS: Table = Table {
    what: "a signatory",
    fields: &[
        Field::must("name", Shape::Text("Ines Okafor"), "name"),
        Field::may("role", Shape::Text("Owner"), "role"),
    ],
};

const MAIL: Table = Table {
    what: "a mail server",
    fields: &[
        Field::must("server", Shape::Text("mail.shop.example"), "host name"),
        Field::may(
            "port",
            Shape::Number,
            "587 for starttls, 465 for tls where left out",
        ),
        Field::may(
            "security",
            Shape::Word(&["starttls", "tls"]),
            "how the connection is secured",
        ),
        Field::may("user", Shape::Text("claims"), "user name"),
        Field::must(
            "from",
            Shape::Text("claims@shop.example"),
            "the address letters come from",
        ),
        Field::may(
            "password_command",
            Shape::Text("pass show mail"),
            "a command that prints the password",
        ),
    ],
};

/// Reads the shop.
pub fn read(node: &Node, problems: &mut Problems) -> Option<Shop> {
    let fields = Fields::open(node, &SHOP, problems)?;
    let name = fields.get("name", id, problems);
    let mut holidays = fields.list("holidays", date, problems);
    holidays.sort();
    Some(Shop {
        address: fields.list("address", id, problems),
        signs: fields.get("signs", signs, problems),
        currency: fields
            .get("currency", currency, problems)
            .unwrap_or_else(|| "USD".to_owned()),
        holidays,
        labour_rate: fields.get("labour_rate", money, problems),
        locale: fields.get("locale", id, problems),
        mail: fields.get("mail", mail, problems),
        name: name?,
        spot: node.spot.clone(),
    })
}

fn signs(node: &Node, problems: &mut Problems) -> Option<Signatory> {
    let fields = Fields::open(node, &SIGNS, problems)?;
    let name = fields.get("name", id, problems);
    Some(Signatory {
        role: fields.get("role", id, problems),
        name: name?,
    })
}

fn mail(node: &Node, problems: &mut Problems) -> Option<Mail> {
    let fields = Fields::open(node, &MAIL, problems)?;
    let server = fields.get("server", id, problems);
    let from = fields.get("from", email, problems);
    let security = fields
        .get(
            "security",
            |node, problems| {
                word(
                    node,
                    &[("starttls", Security::StartTls), ("tls", Security::Tls)],
                    problems,
                )
            },
            problems,
        )
        .unwrap_or(Security::StartTls);
    let standard = match security {
        Security::StartTls => 587,
        Security::Tls => 465,
    };
    let port = match fields.get("port", whole, problems) {
        None => standard,
        Some(port) => match u16::try_from(port) {
            Ok(port) if port > 0 => port,
            Ok(_) | Err(_) => {
                problems.push(Problem::new(
                    fields.spot(),
                    format!("port {port}, expected 1 to 65535"),
                ));
                standard
            }
        },
    };
    Some(Mail {
        port,
        security,
        user: fields.get("user", id, problems),
        password_command: fields.get("password_command", id, problems),
        server: server?,
        from: from?,
    })
}
