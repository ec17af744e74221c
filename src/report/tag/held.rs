//! Which part of which lot is held, lot by lot, with its leaves: what a tag says. Decides nothing about what is held;
//! it shares out what the answer says of a line.

use crate::model::answer::{LineAnswer, Lot};
use crate::model::kind::Kind;
use crate::model::leaf::Leaf;
use crate::model::receipt::Receipt;
use crate::model::words::ranges;
use crate::report::todo::in_no_set_because;
use rust_decimal::Decimal;

/// A lot of which something is held.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeldLot {
    /// Which lot of the line, counting from 0.
    pub lot: usize,
    /// How much of it, in the order line's unit.
    pub amount: Decimal,
    /// Why, in a few words each.
    pub why: Vec<&'static str>,
    /// Its leaves, where they are known: `3318/21-22`.
    pub leaves: Vec<String>,
}

/// Returns what is held of each lot of a line, what is `gone` (collected or kept since) taken off the oldest first: of
/// those that came with the receipts it is known to be of, then of any.
///
/// Goods beyond the order and leaves that make no set are part of a lot that nobody has told apart yet: they are looked
/// for among the leaves that no set uses, else in the newest lot.
pub fn held(
    line: &LineAnswer,
    receipts: &[Receipt],
    fetched: &[(Vec<String>, Decimal)],
    gone: Decimal,
) -> Vec<HeldLot> {
    let mut rejected: Vec<Decimal> = line.lots.iter().map(|lot| lot.rejected).collect();
    for finding in line
        .findings
        .iter()
        .filter(|finding| finding.kind.only_holds_units())
    {
        for (lot, amount) in &finding.touches {
            if let (Some(held), Some(whole)) = (rejected.get_mut(*lot), line.lots.get(*lot)) {
                *held = (*held + amount).min(whole.amount);
            }
        }
    }
    let fit: Vec<Decimal> = line
        .lots
        .iter()
        .zip(&rejected)
        .map(|(lot, held)| lot.amount - held)
        .collect();
    let spare: Vec<Vec<String>> = line
        .lots
        .iter()
        .map(|lot| leaves(lot, receipts, &|leaf| is_spare(line, leaf)))
        .collect();
    let total: Decimal = rejected.iter().copied().sum();
    let mut rest = (line.arrived - line.usable - total).max(Decimal::ZERO);
    let mut apart = vec![Decimal::ZERO; line.lots.len()];
    for by_leaves in [true, false] {
        for place in (0..line.lots.len()).rev() {
            let most = fit[place] - apart[place];
            let most = if by_leaves {
                most.min(Decimal::from(count(line, &line.lots[place], receipts)))
            } else {
                most
            };
            let share = most.min(rest).max(Decimal::ZERO);
            apart[place] += share;
            rest -= share;
        }
    }
    let mut left: Vec<Decimal> = rejected.iter().zip(&apart).map(|(a, b)| a + b).collect();
    let mut gone = gone;
    for (of, amount) in fetched {
        let mut amount = (*amount).min(gone);
        for (lot, left) in line.lots.iter().zip(&mut left) {
            if of.contains(&lot.receipt) {
                let off = amount.min(*left);
                *left -= off;
                amount -= off;
                gone -= off;
            }
        }
    }
    for left in &mut left {
        let off = gone.min(*left);
        *left -= off;
        gone -= off;
    }
    let mut out = Vec::new();
    for (place, lot) in line.lots.iter().enumerate() {
        let amount = left[place];
        if amount.is_zero() {
            continue;
        }
        let mut names = if rejected[place] == lot.amount {
            leaves(lot, receipts, &|_| true)
        } else if rejected[place].is_zero() {
            Vec::new()
        } else {
            leaves(lot, receipts, &|leaf| is_unfit(line, leaf))
        };
        if !apart[place].is_zero() {
            names.extend(spare[place].iter().cloned());
        }
        out.push(HeldLot {
            lot: place,
            amount: amount.normalize(),
            why: why(line, place, !apart[place].is_zero()),
            leaves: names,
        });
    }
    out
}

fn why(line: &LineAnswer, place: usize, apart: bool) -> Vec<&'static str> {
    let mut why: Vec<&'static str> = Vec::new();
    // What holds goods that are right in themselves and that the lot's findings do not touch.
    let beyond = |kind: Kind| {
        matches!(
            kind,
            Kind::Over | Kind::SetsMissing | Kind::SequenceNotRecorded
        )
    };
    if apart && !line.findings.iter().any(|finding| beyond(finding.kind)) {
        why.push(in_no_set_because(line));
    }
    for finding in &line.findings {
        let kind = finding.kind;
        let touched = (kind.rejects_units() || kind.only_holds_units())
            && finding.touches.iter().any(|(lot, _)| *lot == place);
        let here = touched || (apart && beyond(kind));
        if here && !why.contains(&kind.held_because()) {
            why.push(kind.held_because());
        }
    }
    why
}

/// Returns how many leaves of the lot no set uses.
fn count(line: &LineAnswer, lot: &Lot, receipts: &[Receipt]) -> usize {
    of_lot(lot, receipts)
        .iter()
        .filter(|leaf| is_spare(line, leaf))
        .count()
}

fn of_lot<'r>(lot: &Lot, receipts: &'r [Receipt]) -> &'r [Leaf] {
    receipts
        .iter()
        .find(|receipt| receipt.number.value == lot.receipt)
        .and_then(|receipt| receipt.lines.get(lot.index.checked_sub(1)?))
        .map_or(&[], |line| &line.leaves)
}

/// Returns the leaves of a lot that are wanted, flitch by flitch, as the trade writes them.
fn leaves(lot: &Lot, receipts: &[Receipt], wanted: &dyn Fn(&Leaf) -> bool) -> Vec<String> {
    let mut flitches: Vec<(Option<&str>, Vec<&Leaf>)> = Vec::new();
    for leaf in of_lot(lot, receipts).iter().filter(|leaf| wanted(leaf)) {
        let flitch = leaf.flitch.as_deref();
        match flitches.iter_mut().find(|(known, _)| *known == flitch) {
            Some((_, leaves)) => leaves.push(leaf),
            None => flitches.push((flitch, vec![leaf])),
        }
    }
    flitches
        .into_iter()
        .map(|(flitch, mut leaves)| {
            leaves.sort_by_key(|leaf| leaf.number);
            let names: Vec<String> = leaves.iter().map(|leaf| leaf.name()).collect();
            match flitch {
                Some(flitch) => format!("{flitch}/{}", ranges(&names)),
                None => ranges(&names),
            }
        })
        .collect()
}

fn is_spare(line: &LineAnswer, leaf: &Leaf) -> bool {
    line.sequence.as_ref().is_some_and(|sequence| {
        sequence.spare.iter().any(|run| {
            leaf.flitch
                .as_ref()
                .is_none_or(|flitch| *flitch == run.flitch)
                && run.leaves.contains(&leaf.name())
        })
    })
}

fn is_unfit(line: &LineAnswer, leaf: &Leaf) -> bool {
    line.sequence.as_ref().is_some_and(|sequence| {
        sequence.unfit.iter().any(|(run, _)| {
            leaf.flitch
                .as_ref()
                .is_none_or(|flitch| *flitch == run.flitch)
                && run.leaves.contains(&leaf.name())
        })
    })
}
