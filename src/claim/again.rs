//! What came to make a claim right and was wrong again. Judges no claim; that is `replacement`.

use crate::claim::asked::AskedPart;
use crate::claim::replacement::Came;
use crate::model::answer::LineAnswer;
use rust_decimal::Decimal;

/// Returns what came on a line for a claim and does not conform, by the place of its receipt among those that came.
///
/// A receipt is wrong again as long as the claim's goods are not all here with it: what else a larger delivery brought
/// is the order's, and its faults are new.
pub fn wrong_again(line: &LineAnswer, parts: &[AskedPart], came: &Came) -> Vec<(usize, Decimal)> {
    let asked: Decimal = parts
        .iter()
        .map(|part| &part.wanted)
        .filter(|wanted| {
            wanted.is_on(line) && wanted.remedy.sends_goods() && wanted.amount.unit == line.unit
        })
        .map(|wanted| wanted.amount.amount)
        .sum();
    let mut good = Decimal::ZERO;
    let mut wrong = Vec::new();
    for (place, receipt) in came.receipts.iter().enumerate() {
        let (mut arrived, mut rejected) = (Decimal::ZERO, Decimal::ZERO);
        for lot in line.lots.iter().filter(|lot| lot.receipt == *receipt) {
            arrived += lot.amount;
            rejected += lot.rejected;
        }
        good += arrived - rejected;
        if good < asked && !rejected.is_zero() {
            wrong.push((place, rejected));
        }
    }
    wrong
}
