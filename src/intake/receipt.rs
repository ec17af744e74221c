//! Reads a receipt. Does not know the order; what only the order can tell is checked in `check/`.

use crate::intake::amount::{per_cent, quantity, quantity_at, size, some_quantity};
use crate::intake::fields::{Field, Fields, Problems, Shape, Table};
use crate::intake::leaves::{self, photo};
use crate::intake::node::Node;
use crate::intake::tally;
use crate::intake::text::{date, id, id_at, names, slug_at, text, word};
use crate::model::problem::Problem;
use crate::model::receipt::{Carrier, Damage, Receipt, ReceiptLine, Storage};
use std::collections::HashMap;

/// The most leaves of one receipt: a truck brings a few thousand.
const MAX_LEAVES: usize = 10_000;

/// The keys of a receipt.
pub const RECEIPT: Table = Table {
    what: "a receipt",
    fields: &[
        Field::must("receipt", Shape::Text("RG-311"), "the receipt's number"),
        Field::must("order", Shape::Text("PO-2107"), "the order it belongs to"),
        Field::must("date", Shape::Date, "the date it was received"),
        Field::may("by", Shape::Text("bench"), "who received it"),
        Field::may(
            "packing_slip",
            Shape::Text("88213"),
            "the supplier's packing slip",
        ),
        Field::may("carrier", Shape::Record(&CARRIER), "who brought it"),
        Field::may("place", Shape::Text("rack 4"), "where the goods stand"),
        Field::must(
            "lines",
            Shape::List(&Shape::Record(&LINE)),
            "what was counted; a line may be repeated for one order line",
        ),
    ],
};

const CARRIER: Table = Table {
    what: "a carrier",
    fields: &[
        Field::must("name", Shape::Text("Low Road Freight"), "name"),
        Field::may(
            "pro",
            Shape::Text("774-1120"),
            "the carrier's shipment number",
        ),
        Field::may(
            "noted",
            Shape::Text("pallet 2: one carton crushed"),
            "what was noted on the delivery receipt",
        ),
    ],
};

/// The keys of a receipt line.
pub const LINE: Table = Table {
    what: "a receipt line",
    fields: &[
        Field::may(
            "line",
            Shape::Text("1"),
            "the order line; where left out, item, description, grade and size find it",
        ),
        Field::may("item", Shape::Text("RWO-48x120"), "the code on the label"),
        Field::may(
            "description",
            Shape::Text("Rift white oak veneer"),
            "in words",
        ),
        Field::may("slip", Shape::Text("8 sheet"), "what the packing slip says"),
        Field::may("quantity", Shape::Text("6 sheet"), "what was counted"),
        Field::may(
            "back_order",
            Shape::Text("2 sheet"),
            "what the slip says will follow",
        ),
        Field::may(
            "pack",
            Shape::Text("48 each"),
            "what one box was found to hold",
        ),
        Field::may(
            "grade",
            Shape::Text("A"),
            "the grade on the label or as judged",
        ),
        Field::may(
            "size",
            Shape::Text("48 in x 120 in"),
            "as measured: across the grain x along it (x thickness)",
        ),
        Field::may("finish", Shape::Names, "named properties as found"),
        Field::may(
            "leaves",
            Shape::Either(
                &Shape::Text("3318: 14-17, 21-22"),
                &Shape::List(&Shape::Record(&leaves::LEAF)),
            ),
            "leaves by flitch and number",
        ),
        Field::may(
            "damaged",
            Shape::Text("1 sheet"),
            "how many of them are damaged",
        ),
        Field::may(
            "damage",
            Shape::Word(&["visible", "concealed"]),
            "seen at delivery, or found later",
        ),
        Field::may("found", Shape::Date, "when concealed damage was found"),
        Field::may(
            "moisture",
            Shape::Text("9 %"),
            "moisture content as measured",
        ),
        Field::may(
            "checked_again",
            Shape::List(&Shape::Word(&["moisture", "flatness"])),
            "what was looked at a second time, the shop's own storage ruled out",
        ),
        Field::may(
            "papers",
            Shape::List(&Shape::Text("TSCA Title VI label")),
            "papers and labels that came with it",
        ),
        Field::may("tally", Shape::Record(&tally::TALLY), "boards, for lumber"),
        Field::may(
            "photos",
            Shape::List(&Shape::Text("photos/1.jpg")),
            "photographs (JPEG or PNG) in the shop's folder `photos/`",
        ),
        Field::may("place", Shape::Text("rack 4"), "where this lot stands"),
        Field::may("note", Shape::Text("corner crushed"), "a note"),
    ],
};

/// Reads a receipt.
pub fn read(node: &Node, problems: &mut Problems) -> Option<Receipt> {
    let fields = Fields::open(node, &RECEIPT, problems)?;
    let number = fields.get("receipt", slug_at, problems);
    let order = fields.get("order", slug_at, problems);
    let received = fields.get("date", date, problems);
    let carrier = fields.get("carrier", carrier, problems);
    let lines = fields.list("lines", line, problems);
    if fields.node("lines").is_some() && lines.is_empty() && problems.count() == 0 {
        problems.push(
            Problem::new(fields.spot(), "a receipt without lines")
                .hint("where nothing came, write the line with `quantity: 0 sheet`"),
        );
    }
    let leaves: usize = lines.iter().map(|line| line.leaves.len()).sum();
    if leaves > MAX_LEAVES {
        problems.push(Problem::new(
            fields.spot(),
            format!("{leaves} leaves on one receipt, at most {MAX_LEAVES} are read"),
        ));
    }
    twice(&lines, problems);
    for line in &lines {
        if let (Some(found), Some(received)) = (line.found, received)
            && found < received
        {
            problems.push(Problem::new(
                &line.spot,
                format!("damage found {found}, before it was received {received}"),
            ));
        }
    }
    Some(Receipt {
        by: fields.get("by", id, problems),
        packing_slip: fields.get("packing_slip", id, problems),
        place: fields.get("place", id, problems),
        number: number?,
        order: order?,
        date: received?,
        carrier,
        lines,
        spot: node.spot.clone(),
    })
}

/// A leaf is a thing: it cannot stand on two lines of one receipt.
fn twice(lines: &[ReceiptLine], problems: &mut Problems) {
    let mut seen = HashMap::new();
    for (place, line) in lines.iter().enumerate() {
        for leaf in line.leaves.iter().filter(|leaf| leaf.number.is_some()) {
            let first = *seen.entry((&leaf.flitch, leaf.number)).or_insert(place);
            // Twice on one line was told when the line was read.
            if first != place {
                problems.push(
                    Problem::new(
                        &leaf.spot,
                        format!("leaf `{}` stands on two lines of the receipt", leaf.name()),
                    )
                    .hint("a leaf comes once; look at the mark again"),
                );
                return;
            }
        }
    }
}

fn carrier(node: &Node, problems: &mut Problems) -> Option<Carrier> {
    let fields = Fields::open(node, &CARRIER, problems)?;
    let name = fields.get("name", id, problems);
    Some(Carrier {
        pro: fields.get("pro", id, problems),
        noted: fields.get("noted", text, problems),
        name: name?,
    })
}

fn storage(node: &Node, problems: &mut Problems) -> Option<Storage> {
    const WORDS: &[(&str, Storage)] = &[
        ("moisture", Storage::Moisture),
        ("flatness", Storage::Flatness),
    ];
    word(node, WORDS, problems)
}

fn line(node: &Node, problems: &mut Problems) -> Option<ReceiptLine> {
    let fields = Fields::open(node, &LINE, problems)?;
    let line = ReceiptLine {
        line: fields.get("line", id_at, problems),
        item: fields.get("item", id, problems),
        description: fields.get("description", id, problems),
        slip: fields.get("slip", quantity, problems),
        quantity: fields.get("quantity", quantity_at, problems),
        back_order: fields.get("back_order", quantity, problems),
        pack: fields.get("pack", some_quantity, problems),
        grade: fields.get("grade", id_at, problems),
        size: fields.get("size", size, problems),
        finish: fields.get("finish", names, problems).unwrap_or_default(),
        leaves: fields
            .node("leaves")
            .map(|node| leaves::read(node, problems))
            .unwrap_or_default(),
        damaged: fields.get("damaged", quantity, problems),
        damage: fields.get(
            "damage",
            |node, problems| {
                word(
                    node,
                    &[
                        ("visible", Damage::Visible),
                        ("concealed", Damage::Concealed),
                    ],
                    problems,
                )
            },
            problems,
        ),
        found: fields.get("found", date, problems),
        moisture: fields.get("moisture", per_cent, problems),
        checked_again: fields.list("checked_again", storage, problems),
        papers: fields.list("papers", id, problems),
        tally: fields.get("tally", tally::read, problems),
        photos: fields.list("photos", photo, problems),
        place: fields.get("place", id, problems),
        note: fields.get("note", text, problems),
        spot: node.spot.clone(),
    };
    let counted = ["quantity", "leaves", "tally"]
        .iter()
        .any(|name| fields.node(name).is_some());
    if !counted {
        problems.push(
            Problem::new(
                &node.spot,
                "a receipt line without `quantity`, `leaves` or `tally`",
            )
            .hint("count the goods; the slip is not a count"),
        );
    }
    Some(line)
}
