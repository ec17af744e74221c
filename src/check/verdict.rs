//! What one receipt brought to light, for the supplier review: judged with what had come before it, and not again
//! when the rest comes. Claims nothing and keeps nothing; that is `claim/` and `book/`.

use crate::check::case::Case;
use crate::check::{check, measure};
use crate::model::answer::{Answer, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::{Aspect, Effect, Kind};
use crate::model::money::Money;
use crate::model::order::OrderLine;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::receipt::Receipt;
use crate::model::unit::Unit;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// One receipt judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verdict {
    /// Whether it came by the date promised, where one was.
    pub on_time: Option<bool>,
    /// Whether all its lots are as ordered.
    pub as_ordered: bool,
    /// Its lots, in the order of the receipt.
    pub lots: Vec<LotVerdict>,
    /// What was found on it.
    pub findings: Vec<FoundHere>,
}

/// One lot of a receipt judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LotVerdict {
    /// Which line of the receipt, from 1.
    pub index: usize,
    /// The order line it was put to; `None` where none asked for it.
    pub line: Option<String>,
    /// The order line's unit, or that of the count where no line asked for it.
    pub unit: Unit,
    /// How much came.
    pub arrived: Decimal,
    /// How much of it does not conform.
    pub rejected: Decimal,
    /// Nothing rejected, and nothing found on its order line that can be claimed or must be looked at again.
    pub as_ordered: bool,
    /// Why it is held, plain words; empty where it is not.
    pub held: Vec<String>,
    /// Where it stands, where recorded.
    pub stands: Option<String>,
}

/// A finding and where it belongs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundHere {
    /// The order line; `None` for goods that no line asked for.
    pub line: Option<String>,
    /// The lot of the receipt, from 1; `None` where it is no single lot's.
    pub lot: Option<usize>,
    /// The finding.
    pub finding: Finding,
    /// What it costs; `None` where no price is known or the units do not convert.
    pub cost: Option<Money>,
}

/// Judges the last of the case's receipts, which stand in order of time, with what had come before it.
///
/// What is wrong with a lot is told by the receipt alone; what a delivery leaves short, over or without its sets is
/// told by everything so far, and belongs to this receipt where it brought something for the line. Lines for which
/// nothing ever came belong to the first receipt.
///
/// # Errors
/// Problems that only order and receipt together show.
///
/// # Panics
/// There is no receipt in the case.
pub fn verdict(case: &Case<'_>, so_far: &Answer) -> Result<Verdict, Vec<Problem>> {
    let receipt = case.receipts.last().expect("a verdict is about a receipt");
    let alone;
    let own = if case.receipts.len() == 1 {
        so_far
    } else {
        let case = Case {
            receipts: std::slice::from_ref(receipt),
            ..*case
        };
        alone = check(&case)?;
        &alone
    };
    let mut lots = Vec::with_capacity(receipt.lines.len());
    let mut findings = Vec::new();
    let first = case.receipts.len() == 1;
    for ((ordered, own), so_far) in case.order.lines.iter().zip(&own.lines).zip(&so_far.lines) {
        let brought = !own.lots.is_empty();
        let of_line: Vec<&Finding> = so_far
            .findings
            .iter()
            .filter(|finding| {
                told_by_all(finding.kind) && (brought || (first && so_far.lots.is_empty()))
            })
            .collect();
        let of_lots: Vec<&Finding> = own
            .findings
            .iter()
            .filter(|finding| !told_by_all(finding.kind))
            .collect();
        lots.extend(own.lots.iter().map(|lot| LotVerdict {
            index: lot.index,
            line: Some(own.line.clone()),
            unit: own.unit,
            arrived: lot.amount,
            rejected: lot.rejected,
            as_ordered:
                lot.rejected.is_zero()
                    && of_line.iter().all(|finding| !differs(finding.kind))
                    && of_lots.iter().all(|finding| {
                        !differs(finding.kind) || !lot.held_for.contains(&finding.text)
                    }),
            held: held(lot.rejected, &lot.held_for),
            stands: lot.place.clone(),
        }));
        for finding in of_line.into_iter().chain(of_lots) {
            findings.push(FoundHere {
                line: Some(own.line.clone()),
                lot: only_lot(own, finding),
                finding: finding.clone(),
                cost: cost(ordered, finding),
            });
        }
    }
    for stray in &own.not_ordered {
        lots.push(LotVerdict {
            index: stray.index,
            line: None,
            unit: stray.unit,
            arrived: stray.amount,
            rejected: stray.amount,
            as_ordered: false,
            held: stray
                .findings
                .iter()
                .map(|finding| finding.text.clone())
                .collect(),
            stands: place_of(receipt, stray.index),
        });
        findings.extend(stray.findings.iter().map(|finding| FoundHere {
            line: None,
            lot: Some(stray.index),
            finding: finding.clone(),
            cost: None,
        }));
    }
    lots.sort_by_key(|lot| lot.index);
    Ok(Verdict {
        on_time: case.order.promised.map(|promised| receipt.date <= promised),
        as_ordered: lots.iter().all(|lot| lot.as_ordered),
        lots,
        findings,
    })
}

/// Returns the day with whose receipt all of a line had come and conformed, tolerance granted; `None` while
/// something is owed or a set is missing. `dates` gives the day of a receipt.
pub fn filled(
    ordered: &OrderLine,
    answer: &LineAnswer,
    dates: impl Fn(&str) -> Option<NaiveDate>,
) -> Option<NaiveDate> {
    if answer
        .sequence
        .as_ref()
        .is_some_and(|sequence| !sequence.missing.is_empty())
    {
        return None;
    }
    let wanted = ordered.quantity.amount - ordered.tolerance.under.of(ordered.quantity.amount);
    let mut good = Decimal::ZERO;
    for lot in &answer.lots {
        good += lot.amount - lot.rejected;
        if good >= wanted {
            return dates(&lot.receipt);
        }
    }
    None
}

/// What a line's receipts tell only together; the rest each receipt tells alone.
const fn told_by_all(kind: Kind) -> bool {
    match kind {
        Kind::Short | Kind::Over | Kind::BackOrdered | Kind::SetsMissing => true,
        Kind::NotOrdered
        | Kind::WrongItem
        | Kind::SlipDiffers
        | Kind::GradeLower
        | Kind::GradeHigher
        | Kind::GradeNotComparable
        | Kind::GradeNotRecorded
        | Kind::Undersize
        | Kind::Oversize
        | Kind::GrainTurned
        | Kind::SizeNotRecorded
        | Kind::FinishDiffers
        | Kind::FinishNotRecorded
        | Kind::SequenceNotRecorded
        | Kind::Damaged
        | Kind::NotClear
        | Kind::PaperMissing
        | Kind::Late
        | Kind::Early
        | Kind::PriceAbove
        | Kind::PriceBelow => false,
    }
}

fn differs(kind: Kind) -> bool {
    match kind.effect() {
        Effect::Claimed | Effect::LookAgain => true,
        Effect::Informs | Effect::Logged => false,
    }
}

fn held(rejected: Decimal, why: &[String]) -> Vec<String> {
    if rejected.is_zero() {
        Vec::new()
    } else {
        why.to_vec()
    }
}

fn only_lot(line: &LineAnswer, finding: &Finding) -> Option<usize> {
    let mut touched = line
        .lots
        .iter()
        .filter(|lot| lot.held_for.contains(&finding.text));
    match (touched.next(), touched.next()) {
        (Some(lot), None) => Some(lot.index),
        (Some(_), Some(_)) | (None, _) => None,
    }
}

fn place_of(receipt: &Receipt, index: usize) -> Option<String> {
    index
        .checked_sub(1)
        .and_then(|place| receipt.lines.get(place))
        .and_then(|line| line.place.clone())
        .or_else(|| receipt.place.clone())
}

/// Returns what a finding costs: its goods at the order's price, or the money that a bill asks otherwise.
pub fn cost(ordered: &OrderLine, finding: &Finding) -> Option<Money> {
    if finding.kind.aspect() == Aspect::Price {
        return finding.money;
    }
    let price = ordered.unit_price?;
    let amount = Quantity::new(finding.amount, finding.unit);
    let in_per = measure::convert(amount, ordered.per, ordered, None, &ordered.spot).ok()?;
    Some(price.times(in_per))
}
