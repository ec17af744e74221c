//! Which units are lost, each counted once, however many findings touch them. Values nothing, asks nothing.

use crate::model::answer::{Billing, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use rust_decimal::Decimal;

/// A finding and the units of its line that are lost by it and by no finding counted before.
#[derive(Debug, Clone)]
pub struct Share<'a> {
    /// The finding.
    pub finding: &'a Finding,
    /// How many, in the line's unit.
    pub units: Decimal,
    /// All its goods were counted before, for other findings.
    pub covered: bool,
}

/// Findings of one line that share one loss, so that one remedy answers them all. Heaviest first.
#[derive(Debug, Clone)]
pub struct Group<'a> {
    /// The findings.
    pub shares: Vec<Share<'a>>,
    /// Units of the group that were billed; all of them where no invoice says otherwise.
    pub billed: Decimal,
}

impl Group<'_> {
    /// Returns the units lost.
    pub fn units(&self) -> Decimal {
        self.shares.iter().map(|share| share.units).sum()
    }
}

/// Returns the groups of a line. Units are counted first for what is short, then for what does not conform, then for
/// leaves that are there but make no set. `carrier` tells that damage is another party's: it is then a group apart.
pub fn groups<'a>(
    line: &'a LineAnswer,
    findings: &[&'a Finding],
    billing: Option<&Billing>,
    carrier: bool,
) -> Vec<Group<'a>> {
    let mut heaviest: Vec<&'a Finding> = findings.to_vec();
    heaviest.sort_by_key(|finding| (weight(finding.kind), finding.kind));
    let mut left: Vec<Decimal> = line.lots.iter().map(|lot| lot.amount).collect();
    let mut lost = Decimal::ZERO;
    // Damaged goods beyond what was ordered are no loss: enough that conform are there.
    let mut pool = (line.ordered - line.conforming).max(Decimal::ZERO);
    let mut shares: Vec<(Share<'a>, Vec<usize>)> = Vec::new();
    for finding in heaviest {
        let lots = touched(finding);
        let covered = !finding.touches.is_empty()
            && finding
                .touches
                .iter()
                .all(|(place, _)| left.get(*place).is_some_and(Decimal::is_zero));
        let units = if finding.kind == Kind::SetsMissing {
            to_complete(line, lost)
        } else {
            let units = if finding.kind == Kind::Short {
                finding.amount.min(pool)
            } else if finding.kind.rejects_units() {
                take(line, finding, &mut left).min(pool)
            } else {
                Decimal::ZERO
            };
            pool -= units;
            units
        };
        // What may be kept, or only lacks its papers, is no loss of leaves yet.
        if !matches!(finding.kind, Kind::GradeHigher | Kind::PaperMissing) {
            lost += units;
        }
        shares.push((
            Share {
                finding,
                units,
                covered,
            },
            lots,
        ));
    }
    let mut groups = joined(shares, carrier);
    let mut unbilled_short = unbilled(line, billing);
    for group in &mut groups {
        let units = group.units();
        let short: Decimal = group
            .shares
            .iter()
            .filter(|share| share.finding.kind == Kind::Short)
            .map(|share| share.units)
            .sum();
        let not_billed = unbilled_short.min(short);
        unbilled_short -= not_billed;
        group.billed = units - not_billed;
    }
    groups
}

/// What is heavier comes first and takes the units: a damaged sheet of the wrong item is a wrong item.
const fn weight(kind: Kind) -> u8 {
    match kind {
        Kind::Short => 0,
        Kind::WrongItem => 1,
        Kind::GrainTurned
        | Kind::GradeLower
        | Kind::GradeNotComparable
        | Kind::Undersize
        | Kind::Oversize
        | Kind::FinishDiffers => 2,
        Kind::NotClear => 3,
        Kind::Damaged => 4,
        Kind::GradeHigher | Kind::PaperMissing => 5,
        Kind::SetsMissing => 6,
        Kind::NotOrdered
        | Kind::Over
        | Kind::BackOrdered
        | Kind::SlipDiffers
        | Kind::GradeNotRecorded
        | Kind::SizeNotRecorded
        | Kind::FinishNotRecorded
        | Kind::SequenceNotRecorded
        | Kind::Late
        | Kind::Early
        | Kind::PriceAbove
        | Kind::PriceBelow => 7,
    }
}

/// Returns the lots a finding touches, as places in the line's lots.
pub fn touched(finding: &Finding) -> Vec<usize> {
    finding.touches.iter().map(|(place, _)| *place).collect()
}

/// Returns how much of a finding's goods no other finding rejects.
pub fn touched_alone(line: &LineAnswer, finding: &Finding) -> Decimal {
    if finding.touches.is_empty() {
        return finding.amount;
    }
    finding
        .touches
        .iter()
        .map(|(place, amount)| {
            let others: Decimal = line
                .findings
                .iter()
                .filter(|other| *other != finding && other.kind.rejects_units())
                .flat_map(|other| &other.touches)
                .filter(|(lot, _)| lot == place)
                .map(|(_, amount)| *amount)
                .sum();
            let lot = line.lots.get(*place).map_or(*amount, |lot| lot.amount);
            (*amount).min((lot - others).max(Decimal::ZERO))
        })
        .sum()
}

/// Takes a finding's units from what is left of its lots.
fn take(line: &LineAnswer, finding: &Finding, left: &mut [Decimal]) -> Decimal {
    if finding.touches.is_empty() {
        // A finding that names no lot still counts, within what did not conform.
        return finding.amount.min(line.rejected());
    }
    let mut taken = Decimal::ZERO;
    for (place, amount) in &finding.touches {
        if let Some(left) = left.get_mut(*place) {
            let units = (*amount).min(*left);
            *left -= units;
            taken += units;
        }
    }
    taken
}

/// Returns how many leaves are lost for the sets beside those counted already: the choice of fewest leaves where the
/// flitch allows one. Where it does not, a new set comes against return of what makes none, so that nothing is lost
/// beside what is short; where nothing is short, it is the leaves of the sets that cannot be made. Never more than
/// were ordered and cannot be used.
fn to_complete(line: &LineAnswer, lost: Decimal) -> Decimal {
    let Some(sequence) = &line.sequence else {
        return Decimal::ZERO;
    };
    let first: usize = sequence
        .would_complete
        .iter()
        .filter(|completion| completion.option == 1)
        .map(|completion| completion.run.leaves.len())
        .sum();
    let leaves = match (first, lost.is_zero()) {
        (0, true) => sequence.missing.iter().sum(),
        (0, false) => 0,
        (first, _) => first,
    };
    let most = (line.ordered - line.usable).max(Decimal::ZERO);
    (Decimal::from(leaves).min(most) - lost).max(Decimal::ZERO)
}

/// Puts shares together that one remedy answers.
fn joined(shares: Vec<(Share<'_>, Vec<usize>)>, carrier: bool) -> Vec<Group<'_>> {
    let sets = shares
        .iter()
        .any(|(share, _)| share.finding.kind == Kind::SetsMissing);
    let of_leaves = |kind: Kind| match kind {
        Kind::Short | Kind::SetsMissing | Kind::NotClear => true,
        Kind::Damaged => !carrier,
        Kind::WrongItem
        | Kind::GradeLower
        | Kind::GradeNotComparable
        | Kind::Undersize
        | Kind::Oversize
        | Kind::GrainTurned
        | Kind::FinishDiffers => true,
        Kind::NotOrdered
        | Kind::Over
        | Kind::BackOrdered
        | Kind::SlipDiffers
        | Kind::GradeHigher
        | Kind::GradeNotRecorded
        | Kind::SizeNotRecorded
        | Kind::FinishNotRecorded
        | Kind::SequenceNotRecorded
        | Kind::PaperMissing
        | Kind::Late
        | Kind::Early
        | Kind::PriceAbove
        | Kind::PriceBelow => false,
    };
    let alone = |share: &Share<'_>| match share.finding.kind {
        Kind::Short => true,
        Kind::Damaged => carrier,
        // Goods that go back anyway: their papers or their higher grade ask for nothing besides.
        Kind::PaperMissing | Kind::GradeHigher => !share.covered,
        kind => !of_leaves(kind),
    };
    let mut groups: Vec<(Group<'_>, Vec<usize>)> = Vec::new();
    for (share, lots) in shares {
        let kind = share.finding.kind;
        let home = groups.iter().position(|(group, of)| {
            let first = &group.shares[0];
            if sets && of_leaves(kind) {
                of_leaves(first.finding.kind)
            } else {
                !alone(&share) && !alone(first) && lots.iter().any(|lot| of.contains(lot))
            }
        });
        match home {
            Some(place) => {
                groups[place].0.shares.push(share);
                groups[place].1.extend(lots);
            }
            None => groups.push((
                Group {
                    shares: vec![share],
                    billed: Decimal::ZERO,
                },
                lots,
            )),
        }
    }
    groups.into_iter().map(|(group, _)| group).collect()
}

/// Returns how many units of a line that did not arrive were not billed either.
fn unbilled(line: &LineAnswer, billing: Option<&Billing>) -> Decimal {
    let Some(billing) = billing else {
        return Decimal::ZERO;
    };
    let billed: Decimal = billing
        .billed
        .iter()
        .filter(|(number, _)| *number == line.line)
        .map(|(_, amount)| *amount)
        .sum();
    (line.ordered - billed.max(line.arrived)).max(Decimal::ZERO)
}
