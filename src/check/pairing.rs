//! Which order line does a receipt line belong to? Judges nothing.

pub mod assign;
pub mod likeness;

use crate::check::case::Case;
use crate::check::item::same_item;
use crate::check::measure;
use crate::check::pair::{Pair, PairedLot};
use crate::check::pairing::likeness::{Likeness, Rarity};
use crate::check::validate;
use crate::model::answer::Stray;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::receipt::{Receipt, ReceiptLine};
use crate::model::unit::Unit;
use rust_decimal::Decimal;
use std::collections::HashMap;

/// Every order line with its lots, and what no line asked for.
#[derive(Debug)]
pub struct Paired<'a> {
    /// One pair an order line, in the order of the order; a line for which nothing came has no lots.
    pub pairs: Vec<Pair<'a>>,
    /// Goods that no line asked for.
    pub strays: Vec<Stray>,
}

/// Puts every receipt line to an order line, or among the strays.
///
/// # Errors
/// Amounts that cannot be converted to the line's unit, grades that a line's scale does not have.
pub fn pair<'a>(case: &Case<'a>, receipts: &[&'a Receipt]) -> Result<Paired<'a>, Vec<Problem>> {
    let by_number: HashMap<&str, usize> = case
        .order
        .lines
        .iter()
        .enumerate()
        .map(|(place, line)| (line.line.as_str(), place))
        .collect();
    let mut pairs: Vec<Pair<'a>> = case
        .order
        .lines
        .iter()
        .map(|line| Pair {
            line,
            lots: Vec::new(),
        })
        .collect();
    let mut strays = Vec::new();
    let mut problems = Vec::new();
    for receipt in receipts {
        let chosen = choose(case, receipt, &by_number);
        for ((index, line), (place, paired_by)) in receipt.lines.iter().enumerate().zip(chosen) {
            let Some(place) = place else {
                let stray = stray(receipt, index, line, paired_by);
                // Nothing of something that nobody ordered is nothing to tell.
                if !stray.amount.is_zero() {
                    strays.push(stray);
                }
                continue;
            };
            let ordered = pairs[place].line;
            match measure::both(ordered, line) {
                Ok((exact, amount)) => pairs[place].lots.push(PairedLot {
                    receipt,
                    index,
                    line,
                    amount,
                    exact,
                    paired_by,
                }),
                Err(problem) => problems.push(problem),
            }
        }
    }
    if let Err(more) = validate::pairs(case, &pairs) {
        problems.extend(more);
    }
    if problems.is_empty() {
        Ok(Paired { pairs, strays })
    } else {
        problems.sort();
        Err(problems)
    }
}

/// What one point of likeness weighs beside the nearness of amounts, which only breaks ties.
const POINT: i64 = 10_000;

/// An order line's place, and how it was found where the clerk did not name it; without a place, what it is most like.
type Chosen = (Option<usize>, Option<String>);

/// Chooses an order line for each line of a receipt: the one named; else the one of the same item; else the one most
/// like it, where any is like enough.
fn choose(case: &Case<'_>, receipt: &Receipt, by_number: &HashMap<&str, usize>) -> Vec<Chosen> {
    let mut chosen: Vec<Chosen> = vec![(None, None); receipt.lines.len()];
    let mut by_item: Vec<(Vec<usize>, Vec<usize>)> = Vec::new();
    let mut unknown = Vec::new();
    for (index, line) in receipt.lines.iter().enumerate() {
        if let Some(number) = &line.line {
            chosen[index].0 = by_number.get(number.value.as_str()).copied();
            continue;
        }
        let candidates = of_item(case, line);
        match candidates.as_slice() {
            [] => unknown.push(index),
            [only] => {
                let code = line.item.as_deref().unwrap_or_default();
                chosen[index] = (Some(*only), Some(format!("item {code}")));
            }
            _ => match by_item.iter_mut().find(|(known, _)| *known == candidates) {
                Some((_, lines)) => lines.push(index),
                None => by_item.push((candidates, vec![index])),
            },
        }
    }
    for (candidates, lines) in by_item {
        several(case, receipt, &candidates, lines, &mut chosen);
    }
    alike(case, receipt, unknown, &mut chosen);
    chosen
}

/// Returns the order lines of the item, in the order of their numbers.
fn of_item(case: &Case<'_>, line: &ReceiptLine) -> Vec<usize> {
    let Some(code) = line.item.as_deref() else {
        return Vec::new();
    };
    let mut places: Vec<usize> = case
        .order
        .lines
        .iter()
        .enumerate()
        .filter(|(_, ordered)| {
            ordered
                .item
                .as_deref()
                .is_some_and(|wanted| same_item(case, wanted, code))
        })
        .map(|(place, _)| place)
        .collect();
    places.sort_by(|a, b| case.order.lines[*a].line.cmp(&case.order.lines[*b].line));
    places
}

/// Several order lines have the item: grade, size and finish decide, then how near the amounts are.
fn several(
    case: &Case<'_>,
    receipt: &Receipt,
    candidates: &[usize],
    mut lines: Vec<usize>,
    chosen: &mut [Chosen],
) {
    sort_by_content(receipt, &mut lines);
    let weights: Vec<Vec<i64>> = lines
        .iter()
        .map(|index| {
            let line = &receipt.lines[*index];
            candidates
                .iter()
                .map(|place| {
                    let ordered = &case.order.lines[*place];
                    let fit = i64::from(likeness::fit(case, ordered, line));
                    1 + fit * POINT + i64::from(likeness::nearness(ordered, line))
                })
                .collect()
        })
        .collect();
    for (index, column) in lines.iter().zip(assign::assign(&weights, 10 * POINT)) {
        let code = receipt.lines[*index].item.as_deref().unwrap_or_default();
        chosen[*index] = (
            column.map(|column| candidates[column]),
            Some(format!(
                "item {code}, and of its lines the nearest in grade, size, finish and amount"
            )),
        );
    }
}

/// No code leads to a line: description, size, finish and grade do, where they are like enough.
fn alike(case: &Case<'_>, receipt: &Receipt, mut lines: Vec<usize>, chosen: &mut [Chosen]) {
    if lines.is_empty() {
        return;
    }
    sort_by_content(receipt, &mut lines);
    let mut places: Vec<usize> = (0..case.order.lines.len()).collect();
    places.sort_by(|a, b| case.order.lines[*a].line.cmp(&case.order.lines[*b].line));
    let rarity = Rarity::of(case.order);
    let all: Vec<Vec<Likeness>> = lines
        .iter()
        .map(|index| {
            places
                .iter()
                .map(|place| {
                    likeness::likeness(
                        case,
                        &rarity,
                        &case.order.lines[*place],
                        &receipt.lines[*index],
                    )
                })
                .collect()
        })
        .collect();
    let weights: Vec<Vec<i64>> = all
        .iter()
        .map(|row| {
            row.iter()
                .map(|likeness| {
                    // What is above the threshold counts, so that two poor pairs never outweigh one good one.
                    match likeness.per_cent.checked_sub(likeness::ENOUGH) {
                        Some(above) => i64::from(above + 1) * POINT + i64::from(likeness.nearness),
                        None => 0,
                    }
                })
                .collect()
        })
        .collect();
    for ((index, column), row) in lines
        .iter()
        .zip(assign::assign(&weights, 8 * POINT))
        .zip(&all)
    {
        let name = |column: usize| &case.order.lines[places[column]].line;
        let Some(column) = column else {
            chosen[*index].1 = nearest(row).map(|column| {
                format!(
                    "most like line {} ({} % alike, {} is asked): if it is for that line, write `line: {}`",
                    name(column),
                    row[column].per_cent,
                    likeness::ENOUGH,
                    name(column)
                )
            });
            continue;
        };
        let likeness = &row[column];
        let mut why = format!(
            "{} ({} % alike)",
            likeness.why.join(", "),
            likeness.per_cent
        );
        let twin = (0..row.len())
            .find(|other| *other != column && row[*other].per_cent == likeness.per_cent);
        if let Some(twin) = twin {
            why.push_str(&format!(
                "; line {} is as like, so write `line` to be sure",
                name(twin)
            ));
        }
        chosen[*index] = (Some(places[column]), Some(why));
    }
}

/// Returns the order line most like a receipt line, where any is at all.
fn nearest(row: &[Likeness]) -> Option<usize> {
    (0..row.len())
        .rev()
        .filter(|column| row[*column].per_cent > 0)
        .max_by_key(|column| (row[*column].per_cent, row[*column].nearness))
}

/// The order of lines in a file must not decide a tie.
fn sort_by_content(receipt: &Receipt, lines: &mut [usize]) {
    lines.sort_by_cached_key(|index| {
        let line = &receipt.lines[*index];
        (
            line.item.clone(),
            line.description.clone(),
            line.grade.as_ref().map(|grade| grade.value.clone()),
            line.size.as_ref().map(ToString::to_string),
            line.quantity.as_ref().map(|quantity| quantity.value.amount),
            *index,
        )
    });
}

fn stray(receipt: &Receipt, index: usize, line: &ReceiptLine, advice: Option<String>) -> Stray {
    let quantity = match (&line.quantity, &line.tally) {
        (Some(quantity), _) => quantity.value,
        (None, Some(tally)) => {
            let boards: u64 = tally
                .boards
                .iter()
                .map(|board| u64::from(board.count))
                .sum();
            Quantity::new(Decimal::from(boards), Unit::Board)
        }
        (None, None) => Quantity::new(Decimal::from(line.leaves.len()), Unit::Leaf),
    };
    let what = line
        .item
        .clone()
        .or_else(|| line.description.clone())
        .unwrap_or_else(|| "goods without a code or a description".to_owned());
    let mut finding = Finding::new(
        Kind::NotOrdered,
        quantity.amount,
        quantity.unit,
        format!("not ordered: {quantity} of {what}"),
    )
    .compared("nothing", what);
    finding.receipts = vec![receipt.number.value.clone()];
    finding.advice = advice;
    Stray {
        receipt: receipt.number.value.clone(),
        index: index + 1,
        item: line.item.clone(),
        description: line.description.clone(),
        amount: quantity.amount.normalize(),
        unit: quantity.unit,
        findings: vec![finding],
    }
}
