//! Which order line does a receipt line belong to? Judges nothing.

pub mod assign;
pub mod likeness;

use crate::check::case::Case;
use crate::check::item::item_key;
use crate::check::measure;
use crate::check::pair::{Pair, PairedLot};
use crate::check::pairing::assign::Row;
use crate::check::pairing::likeness::{Descriptions, Likeness};
use crate::check::validate;
use crate::model::answer::Stray;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::order::Order;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::receipt::{Receipt, ReceiptLine};
use crate::model::unit::Unit;
use rust_decimal::Decimal;
use std::cell::OnceCell;
use std::cmp::Reverse;
use std::collections::{BTreeMap, HashMap};

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
/// Amounts that cannot be converted to the line's unit, grades that a line's scale does not have, too many lines without
/// number or code.
pub fn pair<'a>(case: &Case<'a>, receipts: &[&'a Receipt]) -> Result<Paired<'a>, Vec<Problem>> {
    let places = Places::of(case.order);
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
        let chosen = match choose(case, receipt, &places) {
            Ok(chosen) => chosen,
            Err(problem) => {
                problems.push(problem);
                continue;
            }
        };
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

/// More pairs than this are not compared by their words: it would take longer than writing codes on them.
const MOST_PAIRS: usize = 1_000_000;

/// The places of the order lines, by number, and by item and words where a receipt line has no number.
struct Places<'a> {
    by_number: HashMap<&'a str, usize>,
    items: OnceCell<Items>,
    descriptions: OnceCell<Descriptions>,
}

/// The places of the order lines by item.
struct Items {
    by_key: HashMap<String, Vec<usize>>,
    /// Lines without an item code.
    uncoded: Vec<usize>,
}

impl<'a> Places<'a> {
    fn of(order: &'a Order) -> Self {
        let lines = order.lines.iter().enumerate();
        Places {
            by_number: lines
                .map(|(place, line)| (line.line.as_str(), place))
                .collect(),
            items: OnceCell::new(),
            descriptions: OnceCell::new(),
        }
    }

    fn items(&self, case: &Case<'_>) -> &Items {
        self.items.get_or_init(|| {
            let lines = &case.order.lines;
            let mut items = Items {
                by_key: HashMap::new(),
                uncoded: Vec::new(),
            };
            // In the order of their numbers, so that the order of lines in a file decides no tie.
            let mut sorted: Vec<usize> = (0..lines.len()).collect();
            sorted.sort_by(|a, b| lines[*a].line.cmp(&lines[*b].line));
            for place in sorted {
                match &lines[place].item {
                    Some(code) => items
                        .by_key
                        .entry(item_key(case, code))
                        .or_default()
                        .push(place),
                    None => items.uncoded.push(place),
                }
            }
            items
        })
    }

    fn descriptions(&self, case: &Case<'_>) -> &Descriptions {
        self.descriptions
            .get_or_init(|| Descriptions::of(case.order))
    }
}

/// Chooses an order line for each line of a receipt: the one named; else the one of the same item; else the one most
/// like it, where any is like enough.
///
/// # Errors
/// Too many lines that only their words could tell apart.
fn choose(case: &Case<'_>, receipt: &Receipt, places: &Places<'_>) -> Result<Vec<Chosen>, Problem> {
    let mut chosen: Vec<Chosen> = vec![(None, None); receipt.lines.len()];
    let mut shared: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    let mut unknown = Vec::new();
    for (index, line) in receipt.lines.iter().enumerate() {
        if let Some(number) = &line.line {
            chosen[index].0 = places.by_number.get(number.value.as_str()).copied();
            continue;
        }
        let Some(code) = line.item.as_deref() else {
            unknown.push(index);
            continue;
        };
        let key = item_key(case, code);
        match places.items(case).by_key.get(&key).map(Vec::as_slice) {
            None | Some([]) => unknown.push(index),
            Some([only]) => chosen[index] = (Some(*only), Some(format!("item {code}"))),
            Some(_) => shared.entry(key).or_default().push(index),
        }
    }
    for (key, lines) in shared {
        several(
            case,
            receipt,
            &places.items(case).by_key[&key],
            lines,
            &mut chosen,
        )?;
    }
    alike(case, receipt, places, unknown, &mut chosen)?;
    Ok(chosen)
}

/// Several order lines have the item: grade, size and finish decide, then how near the amounts are.
fn several(
    case: &Case<'_>,
    receipt: &Receipt,
    candidates: &[usize],
    mut lines: Vec<usize>,
    chosen: &mut [Chosen],
) -> Result<(), Problem> {
    not_too_many(receipt, lines.len().saturating_mul(candidates.len()))?;
    sort_by_content(receipt, &mut lines);
    let rows: Vec<Row> = lines
        .iter()
        .map(|index| {
            let line = &receipt.lines[*index];
            candidates
                .iter()
                .map(|place| {
                    let ordered = &case.order.lines[*place];
                    let fit = i64::from(likeness::fit(case, ordered, line));
                    let nearness = i64::from(likeness::nearness(ordered, line));
                    (*place, 1 + fit * POINT + nearness)
                })
                .collect()
        })
        .collect();
    for (index, place) in lines.iter().zip(assign::assign(&rows, 10 * POINT)) {
        let code = receipt.lines[*index].item.as_deref().unwrap_or_default();
        chosen[*index] = (
            place,
            Some(format!(
                "item {code}, and of its lines the nearest in grade, size, finish and amount"
            )),
        );
    }
    Ok(())
}

/// No code leads to a line: description, size, finish and grade do, where they are like enough.
fn alike(
    case: &Case<'_>,
    receipt: &Receipt,
    places: &Places<'_>,
    mut lines: Vec<usize>,
    chosen: &mut [Chosen],
) -> Result<(), Problem> {
    if lines.is_empty() {
        return Ok(());
    }
    // A code that no line has cannot be a line's that has another.
    let all: Vec<usize> = (0..case.order.lines.len()).collect();
    let candidates = |index: usize| match receipt.lines[index].item {
        Some(_) => &places.items(case).uncoded,
        None => &all,
    };
    let pairs = lines.iter().map(|index| candidates(*index).len()).sum();
    not_too_many(receipt, pairs)?;
    sort_by_content(receipt, &mut lines);
    let like: Vec<Vec<(usize, Likeness)>> = lines
        .iter()
        .map(|index| {
            let came = &receipt.lines[*index];
            let words = came
                .description
                .as_deref()
                .map(likeness::words)
                .unwrap_or_default();
            candidates(*index)
                .iter()
                .map(|place| {
                    let like =
                        likeness::likeness(case, places.descriptions(case), *place, came, &words);
                    (*place, like)
                })
                .filter(|(_, like)| like.per_cent > 0)
                .collect()
        })
        .collect();
    let rows: Vec<Row> = like
        .iter()
        .map(|row| {
            row.iter()
                .filter_map(|(place, like)| {
                    // What is above the threshold counts, so that two poor pairs never outweigh one good one.
                    let above = like.per_cent.checked_sub(likeness::ENOUGH)?;
                    let weight = i64::from(above + 1) * POINT + i64::from(like.nearness);
                    Some((*place, weight))
                })
                .collect()
        })
        .collect();
    for ((index, place), row) in lines
        .iter()
        .zip(assign::assign(&rows, 8 * POINT))
        .zip(&like)
    {
        chosen[*index] = match place {
            Some(place) => (Some(place), Some(why(case, place, row))),
            None => (None, nearest(case, row)),
        };
    }
    Ok(())
}

/// Says what a pairing rests on, and whether another line would have been as good.
fn why(case: &Case<'_>, place: usize, row: &[(usize, Likeness)]) -> String {
    let mut said = String::new();
    if let Some((_, like)) = row.iter().find(|(other, _)| *other == place) {
        said = format!("{} ({} % alike)", like.why.join(", "), like.per_cent);
        let twin = row
            .iter()
            .filter(|(other, twin)| *other != place && twin.per_cent == like.per_cent)
            .map(|(other, _)| &case.order.lines[*other].line)
            .min();
        if let Some(twin) = twin {
            said.push_str(&format!(
                "; line {twin} is as like, so write `line` to be sure"
            ));
        }
    }
    said
}

/// Says which order line goods that nobody ordered are most like, where any is at all.
fn nearest(case: &Case<'_>, row: &[(usize, Likeness)]) -> Option<String> {
    let (name, like) = row
        .iter()
        .map(|(place, like)| (&case.order.lines[*place].line, like))
        .min_by_key(|(name, like)| (Reverse((like.per_cent, like.nearness)), *name))?;
    Some(format!(
        "most like line {name} ({} % alike, {} is asked): if it is for that line, write `line: {name}`",
        like.per_cent,
        likeness::ENOUGH
    ))
}

fn not_too_many(receipt: &Receipt, pairs: usize) -> Result<(), Problem> {
    if pairs <= MOST_PAIRS {
        return Ok(());
    }
    Err(Problem::new(
        &receipt.spot,
        format!(
            "receipt `{}` leaves {pairs} pairs of lines to be told apart by their words, at most {MOST_PAIRS} are",
            receipt.number.value
        ),
    )
    .hint("write `line` or `item` on its lines"))
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
            // All else that tells two lots apart; those that are still alike are alike in every answer.
            format!(
                "{:?} {:?} {:?} {:?} {:?} {:?} {:?} {:?} {:?}",
                line.finish,
                line.damaged,
                line.damage,
                line.moisture,
                line.papers,
                line.tally,
                line.pack,
                line.slip,
                line.note,
            ),
            line.leaves
                .iter()
                .map(|leaf| (leaf.flitch.clone(), leaf.name()))
                .collect::<Vec<_>>(),
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
