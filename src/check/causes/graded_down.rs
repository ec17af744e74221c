//! Graded down: what is short on one line came on another of the same item, of a lower grade.

use crate::check::case::Case;
use crate::check::item::same_item;
use crate::check::pairing::Paired;
use crate::model::answer::{Cause, CauseKind, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::order::OrderLine;
use crate::model::quantity::Quantity;
use crate::trade::grades;
use rust_decimal::Decimal;
use std::cmp::Ordering;

/// Finds pairs of lines of one item: short on the better grade by what is over, or arrived lower, on the other.
pub fn look(case: &Case<'_>, _paired: &Paired<'_>, lines: &[LineAnswer]) -> Vec<Cause> {
    let mut causes = Vec::new();
    let mut used: Vec<usize> = Vec::new();
    for (better, ordered) in case.order.lines.iter().enumerate() {
        let short = amount(&lines[better], Kind::Short);
        if short.is_zero() {
            continue;
        }
        let other = case
            .order
            .lines
            .iter()
            .enumerate()
            .position(|(place, line)| {
                place != better
                    && !used.contains(&place)
                    && one_item(case, ordered, line)
                    && lower(ordered, line) != Some(false)
                    && explains(&lines[place], ordered, line, short)
            });
        if let Some(other) = other {
            used.push(other);
            causes.push(sentence(&lines[better], ordered, &lines[other], short));
        }
    }
    causes
}

fn amount(line: &LineAnswer, kind: Kind) -> Decimal {
    line.findings
        .iter()
        .filter(|finding| finding.kind == kind)
        .map(|finding| finding.amount)
        .sum()
}

fn one_item(case: &Case<'_>, one: &OrderLine, other: &OrderLine) -> bool {
    one.quantity.unit == other.quantity.unit
        && match (&one.item, &other.item) {
            (Some(one), Some(other)) => same_item(case, one, other),
            (None, None) => one.description.is_some() && one.description == other.description,
            (Some(_), None) | (None, Some(_)) => false,
        }
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
        lines: vec![better.line.clone(), other.line.clone()],
        text: format!(
            "a lower grade looks sent instead: {said}{grade} short on line {}, as much of the lower grade came on line {}",
            better.line, other.line
        ),
    }
}
