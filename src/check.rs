//! Compares what arrived with what was ordered. Pure: reads no files, no clock. Values no claim; that is `claim/`.
//!
//! An aspect is one file with one function that takes the terms and a pair and returns what it found; the table of
//! aspects stands in [`pair`].

pub mod accounting;
pub mod billed_twice;
pub mod billing;
pub mod case;
pub mod causes;
pub mod condition;
pub mod finish;
pub mod found;
pub mod grade;
pub mod item;
pub mod lumber;
pub mod measure;
pub mod notes;
pub mod pair;
pub mod pairing;
pub mod papers;
pub mod price;
pub mod quantity;
pub mod ratio;
pub mod sequence;
pub mod size;
pub mod timing;
pub mod validate;
pub mod verdict;

use crate::check::case::Case;
use crate::model::answer::Answer;
use crate::model::problem::Problem;
use crate::model::receipt::Receipt;

/// Compares all receipts with the order.
///
/// The order of receipts, of lines and of leaves changes nothing in the answer.
///
/// # Errors
/// Problems that only the files together show: a receipt of another order, a receipt number twice, an order line
/// that does not exist, a grade that its scale does not have, a unit that cannot be converted.
pub fn check(case: &Case<'_>) -> Result<Answer, Vec<Problem>> {
    let receipts = in_order_of_time(case.receipts);
    validate::all(case, &receipts)?;
    let paired = pairing::pair(case, &receipts)?;
    let twice = billed_twice::find(case, &paired.pairs);
    let mut lines = Vec::with_capacity(paired.pairs.len());
    for pair in &paired.pairs {
        lines.push(pair::answer(case, pair, &twice)?);
    }
    let causes = causes::all(case, &paired, &lines);
    let billing = billing::work_out(case, &lines, &twice)?;
    let notes = notes::all(&receipts, &paired);
    Ok(Answer {
        order: case.order.number.clone(),
        supplier: case.order.supplier.clone(),
        receipts: receipts
            .iter()
            .map(|receipt| receipt.number.value.clone())
            .collect(),
        as_ordered: paired.strays.is_empty() && lines.iter().all(|line| line.as_ordered),
        lines,
        not_ordered: paired.strays,
        causes,
        billing,
        notes,
        left_out: case.left_out(),
    })
}

fn in_order_of_time(receipts: &[Receipt]) -> Vec<&Receipt> {
    let mut sorted: Vec<&Receipt> = receipts.iter().collect();
    sorted.sort_by(|a, b| (a.date, &a.number.value).cmp(&(b.date, &b.number.value)));
    sorted
}
