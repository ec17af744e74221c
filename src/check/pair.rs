//! One order line and the lots put to it; the table of aspects; the answer for the line.

use crate::check::billed_twice::BilledTwice;
use crate::check::case::Case;
use crate::check::found::{Found, Touch};
use crate::check::measure;
use crate::check::ratio::Ratio;
use crate::check::sequence::stock::UNMARKED;
use crate::check::{
    accounting, condition, finish, grade, item, papers, price, quantity, sequence, size, timing,
};
use crate::model::answer::{LineAnswer, Lot, SequenceAnswer};
use crate::model::finding::Finding;
use crate::model::kind::{Effect, Kind};
use crate::model::leaf::Leaf;
use crate::model::order::OrderLine;
use crate::model::problem::Problem;
use crate::model::receipt::{Receipt, ReceiptLine};
use rust_decimal::Decimal;

/// An order line and every lot that arrived for it, in order of time.
#[derive(Debug)]
pub struct Pair<'a> {
    /// The order line.
    pub line: &'a OrderLine,
    /// The lots.
    pub lots: Vec<PairedLot<'a>>,
}

/// One receipt line put to an order line.
#[derive(Debug, Clone)]
pub struct PairedLot<'a> {
    /// The receipt.
    pub receipt: &'a Receipt,
    /// Which line of the receipt, from 0.
    pub index: usize,
    /// The receipt line.
    pub line: &'a ReceiptLine,
    /// How much, in the order line's unit, as a decimal.
    pub amount: Decimal,
    /// The same as a fraction: four pieces of a dozen are a third, and three such lots are one dozen.
    pub exact: Ratio,
    /// How the order line was found, where the clerk did not name it.
    pub paired_by: Option<String>,
}

impl Pair<'_> {
    /// Returns how much arrived, in the order line's unit.
    pub fn arrived(&self) -> Decimal {
        self.lots
            .iter()
            .try_fold(Ratio::ZERO, |sum, lot| sum.plus(lot.exact))
            .and_then(Ratio::decimal)
            // Fractions too odd to add up are added as the decimals they round to.
            .unwrap_or_else(|| self.lots.iter().map(|lot| lot.amount).sum())
    }

    /// Returns the distinct receipts of the lots at these places, in order of time.
    pub fn receipts_of(&self, touches: &[Touch]) -> Vec<String> {
        let mut receipts: Vec<String> = Vec::new();
        for touch in touches {
            let number = &self.lots[touch.lot].receipt.number.value;
            if !receipts.contains(number) {
                receipts.push(number.clone());
            }
        }
        receipts
    }
}

/// An aspect looks at a pair and returns what it found.
///
/// # Errors
/// Problems that only order and receipt together show.
type AspectOf = fn(&Case<'_>, &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>>;

/// The aspects that look at lots, in the order in which their findings are told. Sequence comes after them, because
/// it uses only leaves that no aspect rejected.
const ASPECTS: &[AspectOf] = &[
    item::look,
    quantity::look,
    grade::look,
    size::look,
    finish::look,
    condition::look,
    papers::look,
    timing::look,
];

/// Returns the answer for one line. `twice` are the invoices that bill again what another has billed, which no line tells
/// alone.
///
/// # Errors
/// Problems that only order and receipt together show.
pub fn answer(
    case: &Case<'_>,
    pair: &Pair<'_>,
    twice: &[BilledTwice<'_>],
) -> Result<LineAnswer, Vec<Problem>> {
    let mut found = Vec::new();
    for look in ASPECTS {
        found.extend(look(case, pair)?);
    }
    found.extend(price::look(case, pair, twice)?);
    no_second_look_at_the_wrong_item(&mut found);
    let (mut sequence, more) = sequence::look(case, pair, &found)?;
    found.extend(more);
    found.sort_by_key(|found| found.finding.kind);
    let rejected = accounting::rejected(pair, &found);
    let again = accounting::held(pair, &found, &rejected);
    if let Some(sequence) = &mut sequence {
        wait_for_a_second_look(sequence, pair, &rejected, &again);
    }

    let line = pair.line;
    let arrived = pair.arrived();
    let conforming = arrived - rejected.iter().copied().sum::<Decimal>();
    let as_ordered = found
        .iter()
        .all(|found| found.finding.kind.effect() == Effect::Informs);
    let held: Decimal = again.iter().sum();
    let lots = lots(pair, &found, &rejected);
    Ok(LineAnswer {
        line: line.line.clone(),
        item: line.item.clone(),
        description: line.description.clone(),
        as_ordered,
        ordered: line.quantity.amount.normalize(),
        arrived: arrived.normalize(),
        conforming: conforming.normalize(),
        usable: accounting::usable(line, conforming - held, sequence.as_ref()).normalize(),
        open: quantity::open(pair)?.normalize(),
        unit: line.quantity.unit,
        findings: found.into_iter().map(with_touches).collect(),
        sequence,
        lots,
    })
}

/// Marks the sets with a leaf of a lot that is held as a whole: what is wrong with it, if anything, nobody has told leaf
/// by leaf.
fn wait_for_a_second_look(
    sequence: &mut SequenceAnswer,
    pair: &Pair<'_>,
    rejected: &[Decimal],
    again: &[Decimal],
) {
    let waiting: Vec<&Leaf> = pair
        .lots
        .iter()
        .zip(rejected.iter().zip(again))
        .filter(|(lot, (rejected, again))| !again.is_zero() && **rejected + **again >= lot.amount)
        .flat_map(|(lot, _)| &lot.line.leaves)
        .collect();
    for set in &mut sequence.filled {
        set.again = waiting.iter().any(|leaf| {
            leaf.flitch.as_deref().unwrap_or(UNMARKED) == set.flitch
                && set.leaves.contains(&leaf.name())
        });
    }
}

/// What is the wrong item goes back: nobody needs to record its grade or its finish. A finding that is about other lots
/// too stays as it is.
fn no_second_look_at_the_wrong_item(found: &mut Vec<Found>) {
    let wrong: Vec<usize> = found
        .iter()
        .filter(|found| found.finding.kind == Kind::WrongItem)
        .flat_map(|found| found.touches.iter().map(|touch| touch.lot))
        .collect();
    found.retain(|found| {
        found.finding.kind.effect() != Effect::LookAgain
            || found.touches.is_empty()
            || !found.touches.iter().all(|touch| wrong.contains(&touch.lot))
    });
}

fn lots(pair: &Pair<'_>, found: &[Found], rejected: &[Decimal]) -> Vec<Lot> {
    pair.lots
        .iter()
        .enumerate()
        .map(|(place, lot)| Lot {
            receipt: lot.receipt.number.value.clone(),
            index: lot.index + 1,
            amount: lot.amount.normalize(),
            rejected: rejected[place].normalize(),
            place: lot.line.place.clone().or_else(|| lot.receipt.place.clone()),
            paired_by: lot.paired_by.clone(),
            measured: measured(pair.line, lot.line),
            held_for: found
                .iter()
                .filter(|found| found.touches.iter().any(|touch| touch.lot == place))
                .map(|found| found.finding.text.clone())
                .collect(),
            advice: advice(found, place),
        })
        .collect()
}

/// Tells a finding which lots it touches; two findings may read alike.
fn with_touches(found: Found) -> Finding {
    let mut finding = found.finding;
    finding.touches = found
        .touches
        .iter()
        .map(|touch| (touch.lot, touch.amount))
        .collect();
    finding
}

fn advice(found: &[Found], place: usize) -> Vec<String> {
    let mut advice: Vec<String> = Vec::new();
    for words in found
        .iter()
        .filter(|found| found.touches.iter().any(|touch| touch.lot == place))
        .filter_map(|found| found.finding.advice.as_ref())
    {
        if !advice.contains(words) {
            advice.push(words.clone());
        }
    }
    advice
}

/// Says how a tally was measured, so that a hand count can be compared with it.
fn measured(line: &OrderLine, lot: &ReceiptLine) -> Option<String> {
    // A tally that cannot be measured was a problem when the lot was paired.
    let measured = measure::tally(line, lot).ok()??;
    let boards = if measured.boards == 1 {
        "board"
    } else {
        "boards"
    };
    let net = match measured.shrinkage {
        Some(shrinkage) => format!(
            "; {} % of the green measure is drying",
            shrinkage.normalize()
        ),
        None => String::new(),
    };
    Some(format!(
        "tally by NHLA surface measure: {} {boards}, {} sq ft x {}/4 = {} bd ft{net}",
        measured.boards,
        measured.surface,
        measured.quarters,
        measured.tallied.normalize()
    ))
}
