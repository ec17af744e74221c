//! The arithmetic that must always come out: arrived = conforming + rejected. Writes no sentences.

use crate::check::found::Found;
use crate::check::pair::Pair;
use crate::model::answer::SequenceAnswer;
use crate::model::order::OrderLine;
use rust_decimal::Decimal;

/// Returns how much of each lot does not conform, in the order line's unit.
///
/// A finding that touches the whole lot rejects it once, however many there are; findings that touch part of it
/// (damaged sheets, leaves that are not clear) add up, because they were counted apart, to at most the lot.
pub fn rejected(pair: &Pair<'_>, found: &[Found]) -> Vec<Decimal> {
    let mut rejected = vec![Decimal::ZERO; pair.lots.len()];
    for found in found
        .iter()
        .filter(|found| found.finding.kind.rejects_units())
    {
        for touch in &found.touches {
            let lot = pair.lots[touch.lot].amount;
            rejected[touch.lot] = (rejected[touch.lot] + touch.amount).min(lot);
        }
    }
    rejected
}

/// Returns how much of each lot conforms so far as recorded, but is held: it must be looked at again, or its papers are
/// not here.
pub fn held(pair: &Pair<'_>, found: &[Found], rejected: &[Decimal]) -> Vec<Decimal> {
    let mut again = vec![Decimal::ZERO; pair.lots.len()];
    for found in found
        .iter()
        .filter(|found| found.finding.kind.only_holds_units())
    {
        for touch in &found.touches {
            let rest = pair.lots[touch.lot].amount - rejected[touch.lot];
            again[touch.lot] = (again[touch.lot] + touch.amount).min(rest);
        }
    }
    again
}

/// Returns how much may be used today, in the order line's unit: what conforms and was recorded well enough (`fit`), not
/// more than was ordered and its tolerance above, and where sets are missing, or must wait until somebody has looked
/// again, only the leaves of the others.
pub fn usable(line: &OrderLine, fit: Decimal, sequence: Option<&SequenceAnswer>) -> Decimal {
    let ordered = line.quantity.amount;
    let most = fit
        .min(ordered + line.tolerance.over.of(ordered))
        .max(Decimal::ZERO);
    match sequence {
        None => most,
        Some(sequence)
            if sequence.missing.is_empty() && sequence.filled.iter().all(|set| !set.again) =>
        {
            most
        }
        Some(sequence) => {
            let in_sets: usize = sequence
                .filled
                .iter()
                .filter(|set| !set.again)
                .map(|set| set.size)
                .sum();
            most.min(Decimal::from(in_sets))
        }
    }
}
