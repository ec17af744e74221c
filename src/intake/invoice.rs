//! Reads an invoice. Compares it with nothing.

use crate::intake::amount::quantity_at;
use crate::intake::fields::{Field, Fields, Problems, Shape, Table};
use crate::intake::node::Node;
use crate::intake::text::{date, id_at, money, money_at, slug_at};
use crate::model::invoice::{Invoice, InvoiceLine};
use crate::model::problem::Problem;

/// The keys of an invoice.
pub const INVOICE: Table = Table {
    what: "an invoice",
    fields: &[
        Field::must("invoice", Shape::Text("INV-8812"), "the invoice's number"),
        Field::must("order", Shape::Text("PO-2107"), "the order it bills"),
        Field::must("date", Shape::Date, "its date"),
        Field::must("lines", Shape::List(&Shape::Record(&LINE)), "what it bills"),
        Field::may("freight", Shape::Number, "freight charged"),
        Field::may("tax", Shape::Number, "tax charged"),
        Field::may("total", Shape::Number, "the total as printed"),
    ],
};

const LINE: Table = Table {
    what: "an invoice line",
    fields: &[
        Field::must("line", Shape::Text("1"), "the order line billed"),
        Field::must("quantity", Shape::Text("8 sheet"), "how much is billed"),
        Field::may(
            "unit_price",
            Shape::Number,
            "the price of one, as on the order",
        ),
        Field::may("amount", Shape::Number, "the extension as printed"),
    ],
};

/// Reads an invoice.
pub fn read(node: &Node, problems: &mut Problems) -> Option<Invoice> {
    let fields = Fields::open(node, &INVOICE, problems)?;
    let number = fields.get("invoice", slug_at, problems);
    let order = fields.get("order", slug_at, problems);
    let billed = fields.get("date", date, problems);
    let lines = fields.list("lines", line, problems);
    if fields.node("lines").is_some() && lines.is_empty() && problems.count() == 0 {
        problems.push(Problem::new(fields.spot(), "an invoice without lines"));
    }
    Some(Invoice {
        lines,
        freight: fields.get("freight", money, problems),
        tax: fields.get("tax", money, problems),
        total: fields.get("total", money_at, problems),
        number: number?,
        order: order?,
        date: billed?,
        spot: node.spot.clone(),
    })
}

fn line(node: &Node, problems: &mut Problems) -> Option<InvoiceLine> {
    let fields = Fields::open(node, &LINE, problems)?;
    let number = fields.get("line", id_at, problems);
    let quantity = fields.get("quantity", quantity_at, problems);
    Some(InvoiceLine {
        unit_price: fields.get("unit_price", money, problems),
        amount: fields.get("amount", money, problems),
        line: number?,
        quantity: quantity?,
        spot: node.spot.clone(),
    })
}
