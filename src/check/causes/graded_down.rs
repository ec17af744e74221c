//! Graded down: what is short on one line came on another of the same item, of a lower grade.

use crate::check::case::Case;
use crate::check::causes::place_of;
use crate::check::pairing::Paired;
use crate::model::answer::{Cause, CauseKind, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::order::OrderLine;
use crate::model::quantity::Quantity;
use crate::model::unit::Unit;
use crate::trade::grades;
use rust_decimal::Decimal;
use std::cmp::Ordering;
use std::collections::HashMap;

/// Finds pairs of lines of one item: short on the better grade by what is over, or arrived lower, on the other.
pub fn look(case: &Case<'_>, _paired: &Paired<'_>, lines: &[LineAnswer]) -> Vec<Cause> {
    let mut short: Vec<usize> = (0..lines.len())
        .filter(|place| !amount(&lines[*place], Kind::Short).is_zero())
        .collect();
    // The order of lines in a file must not decide which pair is told.
    short.sort_by_key(|place| place_of(&lines[*place].line));
    let mut others = others_by_goods(case, lines);
    let mut causes = Vec::new();
    for better in short {
        let ordered = &case.order.lines[better];
        let missing = amount(&lines[better], Kind::Short);
        let Some(others) = goods(case, ordered).and_then(|goods| others.get_mut(&goods)) else {
            continue;
        };
        let found = others.iter().position(|other| {
            let line = &case.order.lines[*other];
            *other != better
                && lower(ordered, line) != Some(false)
                && explains(&lines[*other], ordered, line, missing)
        });
        if let Some(found) = found {
            let other = others.remove(found);
            causes.push(sentence(&lines[better], ordered, &lines[other], missing));
        }
    }
    causes
}

/// What makes two lines the same goods: the unit and our code, else the description.
type Goods = (Unit, String);

fn goods(case: &Case<'_>, line: &OrderLine) -> Option<Goods> {
    let name = match (&line.item, &line.description) {
        (Some(item), _) => format!("item {}", case.our_item(item.trim()).to_lowercase()),
        (None, Some(description)) => format!("words {description}"),
        (None, None) => return None,
    };
    Some((line.quantity.unit, name))
}

/// Lines that are over or got a lower grade, by their goods, in the order of their numbers.
fn others_by_goods(case: &Case<'_>, lines: &[LineAnswer]) -> HashMap<Goods, Vec<usize>> {
    let mut places: Vec<usize> = (0..lines.len())
        .filter(|place| {
            lines[*place]
                .findings
                .iter()
                .any(|finding| matches!(finding.kind, Kind::Over | Kind::GradeLower))
        })
        .collect();
    places.sort_by_key(|place| place_of(&lines[*place].line));
    let mut others: HashMap<Goods, Vec<usize>> = HashMap::new();
    for place in places {
        if let Some(goods) = goods(case, &case.order.lines[place]) {
            others.entry(goods).or_default().push(place);
        }
    }
    others
}

fn amount(line: &LineAnswer, kind: Kind) -> Decimal {
    line.findings
        .iter()
        .filter(|finding| finding.kind == kind)
        .map(|finding| finding.amount)
        .sum()
}

/// Returns whether the other line's grade is lower; `None` where the order's grades do not compare.
fn lower(one: &OrderLine, other: &OrderLine) -> Option<bool> {
    let scale = grades::scale(one.scale.as_deref()?)?;
    let (one, other) = (one.grade.as_ref()?, other.grade.as_ref()?);
    scale
        .compare(&other.grade, &one.grade)
        .map(|order| order == Ordering::Less)
}

/// Over by as much, on a line of a lower grade; or as much of a lower grade came on a line of the same grade.
fn explains(answer: &LineAnswer, ordered: &OrderLine, line: &OrderLine, short: Decimal) -> bool {
    let over = amount(answer, Kind::Over) == short && lower(ordered, line) == Some(true);
    let came_lower = answer
        .findings
        .iter()
        .any(|finding: &Finding| finding.kind == Kind::GradeLower && finding.amount == short);
    over || came_lower
}

fn sentence(better: &LineAnswer, ordered: &OrderLine, other: &LineAnswer, short: Decimal) -> Cause {
    let said = Quantity::new(short, better.unit);
    let grade = ordered
        .grade
        .as_ref()
        .map(|grade| format!(" of grade {}", grade.grade))
        .unwrap_or_default();
    Cause {
        kind: CauseKind::GradedDown,
        advice: None,
        lines: vec![better.line.clone(), other.line.clone()],
        text: format!(
            "a lower grade looks sent instead: {said}{grade} short on line {}, as much of the lower grade came on line {}",
            better.line, other.line
        ),
    }
}
