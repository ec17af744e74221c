//! Reads an order. Knows nothing of receipts.

use crate::intake::amount::{
    any_measure, per_cent, per_cent_range, size, slack, some_quantity, unit,
};
use crate::intake::fields::{Field, Fields, Problems, Shape, Table};
use crate::intake::node::{Node, Value};
use crate::intake::sequence;
use crate::intake::text::{date, id, money, names, slug, word};
use crate::model::length::Length;
use crate::model::order::{
    Freight, GradeWanted, Law, MeasureRule, Order, OrderLine, SizeTolerance, Tolerance,
};
use crate::model::problem::Problem;
use crate::model::spot::At;
use crate::model::unit::Dimension;
use crate::model::words::shortened;
use crate::model::words::ticked;
use crate::trade::grades;
use crate::trade::units;
use rust_decimal::Decimal;
use std::collections::HashSet;

const FREIGHT: &[(&str, Freight)] = &[
    ("destination", Freight::Destination),
    ("origin", Freight::Origin),
];
const LAW: &[(&str, Law)] = &[("ucc", Law::Ucc), ("cisg", Law::Cisg)];
/// The keys of an order.
pub const ORDER: Table = Table {
    what: "an order",
    fields: &[
        Field::must("order", Shape::Text("PO-2107"), "the order's number"),
        Field::must(
            "supplier",
            Shape::Text("harrow-veneer"),
            "the name of the supplier's file, without .yaml",
        ),
        Field::must("date", Shape::Date, "the date of the order"),
        Field::may("promised", Shape::Date, "the date promised"),
        Field::may("currency", Shape::Text("USD"), "three letters, ISO 4217"),
        Field::may(
            "job",
            Shape::Text("Lantern Street library"),
            "the job it is for",
        ),
        Field::may(
            "freight",
            Shape::Word(&["destination", "origin"]),
            "who bears the risk in transit",
        ),
        Field::may(
            "law",
            Shape::Word(&["ucc", "cisg"]),
            "which law values accepted goods that do not conform",
        ),
        Field::may(
            "rules",
            Shape::Text("nhla"),
            "a trade's sales rules that the order says govern",
        ),
        Field::must(
            "lines",
            Shape::List(&Shape::Record(&LINE)),
            "what is ordered",
        ),
    ],
};

/// The keys of an order line.
pub const LINE: Table = Table {
    what: "an order line",
    fields: &[
        Field::must("line", Shape::Text("1"), "the line's number"),
        Field::may(
            "item",
            Shape::Text("RWO-48x120"),
            "our or the supplier's code",
        ),
        Field::may(
            "description",
            Shape::Text("Rift white oak veneer"),
            "in words",
        ),
        Field::must(
            "quantity",
            Shape::Text("8 sheet"),
            "how much, with its unit",
        ),
        Field::may("unit_price", Shape::Number, "the price of one `per`"),
        Field::may(
            "per",
            Shape::Text("sheet"),
            "what the price is for; the unit of quantity where left out",
        ),
        Field::may(
            "grade",
            Shape::Text("A & better"),
            "the grade; `& better` lets a higher one conform",
        ),
        Field::may(
            "scale",
            Shape::Text("hp1-face"),
            "the scale the grade stands on",
        ),
        Field::may(
            "size",
            Shape::Text("48 in x 120 in"),
            "across the grain x along the grain (x thickness)",
        ),
        Field::may(
            "size_tolerance",
            Shape::Either(&Shape::Text("ps1"), &Shape::Record(&SIZE_TOLERANCE)),
            "what the size may differ: given, or the name of a standard",
        ),
        Field::may(
            "opening",
            Shape::Text("24 in x 34 1/2 in"),
            "the opening it must fit: width x height (x depth)",
        ),
        Field::may(
            "finish",
            Shape::Names,
            "named properties that must match exactly: species, cut, colour, hand, model",
        ),
        Field::may(
            "sequence",
            Shape::Record(&sequence::SEQUENCE),
            "sets of leaves that must match",
        ),
        Field::may(
            "clear",
            Shape::Text("46 in x 96 in"),
            "the piece every leaf must yield, clear of defects",
        ),
        Field::may(
            "tolerance",
            Shape::Record(&TOLERANCE),
            "how far the quantity may differ",
        ),
        Field::may("pack", Shape::Text("50 each"), "what one box holds"),
        Field::may("measure", Shape::Record(&MEASURE), "how lumber is measured"),
        Field::may("moisture", Shape::Text("6-8 %"), "moisture content"),
        Field::may(
            "requires",
            Shape::List(&Shape::Text("TSCA Title VI label")),
            "papers and labels that must come with it",
        ),
    ],
};

const TOLERANCE: Table = Table {
    what: "a tolerance",
    fields: &[
        Field::may(
            "under",
            Shape::Text("5 %"),
            "a count in the line's unit, or a per cent",
        ),
        Field::may(
            "over",
            Shape::Text("0"),
            "a count in the line's unit, or a per cent",
        ),
    ],
};

const SIZE_TOLERANCE: Table = Table {
    what: "a size tolerance",
    fields: &[
        Field::may(
            "under",
            Shape::Text("1/16 in"),
            "how much smaller it may be",
        ),
        Field::may("over", Shape::Text("0 in"), "how much larger it may be"),
    ],
};

const MEASURE: Table = Table {
    what: "a lumber measure",
    fields: &[
        Field::may(
            "kiln",
            Shape::Word(&["gross", "net"]),
            "measured before (gross) or after (net) kiln drying",
        ),
        Field::may("shrinkage", Shape::Text("8 %"), "what drying takes"),
        Field::may(
            "width",
            Shape::Word(&["fractions", "whole"]),
            "whole inches only (export), or with fractions",
        ),
    ],
};

/// Reads an order.
pub fn read(node: &Node, problems: &mut Problems) -> Option<Order> {
    let fields = Fields::open(node, &ORDER, problems)?;
    let number = fields.get("order", slug, problems);
    let supplier = fields.get("supplier", slug, problems);
    let ordered = fields.get("date", date, problems);
    let promised = fields.get("promised", date, problems);
    let currency = fields.get("currency", currency, problems);
    let lines = fields.list("lines", line, problems);
    if fields.node("lines").is_some() && lines.is_empty() && problems.count() == 0 {
        problems.push(Problem::new(fields.spot(), "an order without lines"));
    }
    let mut seen = HashSet::new();
    for line in &lines {
        if !seen.insert(line.line.as_str()) {
            problems.push(Problem::new(
                &line.spot,
                format!("line `{}` stands twice", shortened(&line.line)),
            ));
        }
    }
    if let (Some(ordered), Some(promised)) = (ordered, promised)
        && promised < ordered
    {
        problems.push(Problem::new(
            fields.spot(),
            format!("promised {promised}, before the order's date {ordered}"),
        ));
    }
    let job = fields.get("job", id, problems);
    let freight = fields.get(
        "freight",
        |node, problems| word(node, FREIGHT, problems),
        problems,
    );
    let law = fields.get("law", |node, problems| word(node, LAW, problems), problems);
    let rules = fields.get("rules", id, problems);
    Some(Order {
        number: number?,
        supplier: supplier?,
        date: ordered?,
        promised,
        currency: currency.unwrap_or_else(|| "USD".to_owned()),
        job,
        freight: freight.unwrap_or(Freight::Destination),
        law,
        rules,
        lines,
        spot: node.spot.clone(),
    })
}

/// Reads an ISO 4217 code.
pub fn currency(node: &Node, problems: &mut Problems) -> Option<String> {
    let text = id(node, problems)?;
    if text.len() == 3 && text.bytes().all(|byte| byte.is_ascii_uppercase()) {
        return Some(text);
    }
    problems.push(Problem::new(
        &node.spot,
        format!(
            "found `{}`, expected three capital letters as `USD`",
            shortened(&text)
        ),
    ));
    None
}

fn line(node: &Node, problems: &mut Problems) -> Option<OrderLine> {
    let fields = Fields::open(node, &LINE, problems)?;
    let number = fields.get("line", id, problems);
    let quantity = fields.get("quantity", some_quantity, problems);
    let per = fields.get("per", unit, problems);
    let scale = fields.get("scale", scale, problems);
    let grade = fields.get("grade", id, problems).map(|text| wanted(&text));
    let grade = graded(&fields, grade, scale.as_deref(), problems);
    let line = OrderLine {
        line: number?,
        item: fields.get("item", id, problems),
        description: fields.get("description", id, problems),
        unit_price: fields.get("unit_price", money, problems),
        per: per.or(quantity.map(|quantity| quantity.unit))?,
        quantity: quantity?,
        grade,
        scale,
        size: fields.get("size", size, problems),
        size_tolerance: fields.get("size_tolerance", size_tolerance, problems),
        opening: fields.get("opening", size, problems),
        finish: fields.get("finish", names, problems).unwrap_or_default(),
        sequence: fields.get("sequence", sequence::read, problems),
        clear: fields.get("clear", size, problems),
        tolerance: fields
            .get("tolerance", tolerance, problems)
            .unwrap_or_default(),
        pack: fields.get("pack", some_quantity, problems),
        measure: fields
            .get("measure", measure_rule, problems)
            .unwrap_or_default(),
        moisture: fields.get("moisture", per_cent_range, problems),
        requires: fields.list("requires", id, problems),
        spot: node.spot.clone(),
    };
    clear_fits(&fields, &line, problems);
    sets_fit(&fields, &line, problems);
    Some(line)
}

/// Sets of more leaves than the line orders could never be filled, and the shop would claim its own slip.
fn sets_fit(fields: &Fields, line: &OrderLine, problems: &mut Problems) {
    let unit = line.quantity.unit;
    let counts_leaves =
        units::dimension(unit) == Dimension::Count && units::factor(unit) == Some(Decimal::ONE);
    if let (Some(wanted), Some(node)) = (&line.sequence, fields.node("sequence")) {
        let leaves: usize = wanted.sets.iter().map(|set| set.leaves).sum();
        if counts_leaves && Decimal::from(leaves) > line.quantity.amount {
            problems.push(
                Problem::new(
                    &node.spot,
                    format!(
                        "the sets need {leaves} leaves, the line orders {}",
                        line.quantity
                    ),
                )
                .hint("order as many as the sets need, and some to spare"),
            );
        }
    }
}

/// A clear piece larger than the leaf could never be yielded: a slip on the order, told before anything is sent.
fn clear_fits(fields: &Fields, line: &OrderLine, problems: &mut Problems) {
    if let (Some(clear), Some(size), Some(node)) = (&line.clear, &line.size, fields.node("clear"))
        && (clear.across.length > size.across.length || clear.along.length > size.along.length)
    {
        problems.push(
            Problem::new(
                &node.spot,
                format!("clear {clear} does not fit the size {size}"),
            )
            .hint("across the grain x along the grain, in both"),
        );
    }
}

fn scale(node: &Node, problems: &mut Problems) -> Option<String> {
    let text = id(node, problems)?;
    if grades::scale(&text).is_some() {
        return Some(text);
    }
    let problem = Problem::new(
        &node.spot,
        format!("unknown grade scale `{}`", shortened(&text)),
    );
    problems.push(match grades::near_scale(&text) {
        Some(name) => problem.hint(format!("did you mean `{name}`?")),
        None => problem.hint(format!(
            "there are {}",
            ticked(grades::scales().iter().map(|scale| scale.name.as_str()))
        )),
    });
    None
}

/// Splits "A & better", "1C and Btr" into the grade and whether a higher one conforms.
pub fn wanted(text: &str) -> GradeWanted {
    let lower = text.to_lowercase();
    for ending in ["better", "btr", "btr.", "up"] {
        for joint in ["& ", "&", "and ", "or "] {
            if let Some(head) = lower.strip_suffix(&format!("{joint}{ending}"))
                && let Some(grade) = text.get(..head.len())
                && !grade.trim().is_empty()
            {
                return GradeWanted {
                    grade: grade.trim().to_owned(),
                    and_better: true,
                };
            }
        }
    }
    GradeWanted {
        grade: text.trim().to_owned(),
        and_better: false,
    }
}

/// Puts the grade in its scale's own spelling; a grade that its scale does not have is a problem.
fn graded(
    fields: &Fields,
    grade: Option<GradeWanted>,
    scale: Option<&str>,
    problems: &mut Problems,
) -> Option<GradeWanted> {
    let grade = grade?;
    let Some(scale) = scale.and_then(grades::scale) else {
        if grade.and_better && fields.node("scale").is_none() {
            problems.push(
                Problem::new(
                    fields.spot(),
                    format!("`{} & better` without a `scale`", shortened(&grade.grade)),
                )
                .hint("what is better is known only on a scale"),
            );
        }
        return Some(grade);
    };
    match scale.grade(&grade.grade) {
        Some(name) => Some(GradeWanted {
            grade: name.to_owned(),
            and_better: grade.and_better,
        }),
        None => {
            let spot = fields
                .node("grade")
                .map_or(fields.spot(), |node| &node.spot);
            problems.push(scale.unknown(spot, &grade.grade));
            None
        }
    }
}

fn tolerance(node: &Node, problems: &mut Problems) -> Option<Tolerance> {
    let fields = Fields::open(node, &TOLERANCE, problems)?;
    Some(Tolerance {
        under: fields.get("under", slack, problems).unwrap_or_default(),
        over: fields.get("over", slack, problems).unwrap_or_default(),
    })
}

fn size_tolerance(node: &Node, problems: &mut Problems) -> Option<SizeTolerance> {
    if matches!(node.value, Value::Text { .. }) {
        let value = id(node, problems)?;
        return Some(SizeTolerance::Standard(At {
            value,
            spot: node.spot.clone(),
        }));
    }
    let fields = Fields::open(node, &SIZE_TOLERANCE, problems)?;
    let none = || crate::model::size::Measure {
        length: Length::ZERO,
        text: "0 in".to_owned(),
    };
    Some(SizeTolerance::Given {
        under: fields
            .get("under", any_measure, problems)
            .unwrap_or_else(none),
        over: fields
            .get("over", any_measure, problems)
            .unwrap_or_else(none),
    })
}

fn measure_rule(node: &Node, problems: &mut Problems) -> Option<MeasureRule> {
    let fields = Fields::open(node, &MEASURE, problems)?;
    let net = fields.get(
        "kiln",
        |node, problems| word(node, &[("gross", false), ("net", true)], problems),
        problems,
    );
    let whole_inch = fields.get(
        "width",
        |node, problems| word(node, &[("fractions", false), ("whole", true)], problems),
        problems,
    );
    Some(MeasureRule {
        net: net.unwrap_or(false),
        shrinkage: fields.get("shrinkage", per_cent, problems),
        whole_inch: whole_inch.unwrap_or(false),
    })
}
