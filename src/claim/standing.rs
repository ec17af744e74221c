//! Where an order stands once its claims are counted in: what is still owed and held, and what no claim asks for yet.
//! Changes no finding; takes away those that are spoken for.

use crate::claim::asked::AskedPart;
use crate::claim::cycle::State;
use crate::claim::remedy::Remedy;
use crate::claim::replacement::Came;
use crate::model::answer::{Answer, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::{Effect, Kind};
use crate::model::unit::Unit;
use rust_decimal::Decimal;

/// A claim of the order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClaimNow {
    /// Its number.
    pub number: String,
    /// How far it has come.
    pub state: State,
    /// What it asks for.
    pub parts: Vec<AskedPart>,
    /// What came for it.
    pub came: Came,
}

/// Where an order line stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineStanding {
    /// The line.
    pub line: String,
    /// The order line's unit.
    pub unit: Unit,
    /// What still has to come: ordered, less what conforms, less what was paid back instead.
    pub owed: Decimal,
    /// What stands here and may not be used: rejected or beyond the order, less what was collected or kept.
    pub held: Decimal,
    /// The claims that speak for it.
    pub claims: Vec<String>,
}

/// Returns where every line stands.
pub fn standing(answer: &Answer, claims: &[ClaimNow]) -> Vec<LineStanding> {
    answer
        .lines
        .iter()
        .map(|line| of_line(line, claims))
        .collect()
}

fn of_line(line: &LineAnswer, claims: &[ClaimNow]) -> LineStanding {
    let mine = || {
        claims
            .iter()
            .filter(|claim| claim.state != State::Withdrawn)
            .flat_map(|claim| claim.parts.iter().map(move |part| (claim, part)))
            .filter(|(_, part)| part.wanted.line.as_deref() == Some(line.line.as_str()))
    };
    let mut owed = (line.ordered - line.conforming).max(Decimal::ZERO);
    let over = (line.conforming - line.ordered).max(Decimal::ZERO);
    let mut held = line.rejected() + over;
    for (claim, part) in mine().filter(|(claim, _)| claim.state == State::Right) {
        let amount = part.wanted.amount.amount;
        match part.wanted.remedy {
            // Paid for instead of sent: nothing more is owed, and what was rejected is no longer ours to keep.
            Remedy::Credit | Remedy::Pay => owed -= amount.min(owed),
            Remedy::Collect => held -= amount.min(held),
            Remedy::Buy | Remedy::Keep | Remedy::Reduce => {
                held -= amount.min(held);
                owed -= amount.min(owed);
            }
            Remedy::Replace | Remedy::NewSet => {
                if claim.came.collected {
                    held -= amount.min(held);
                }
            }
            Remedy::Send
            | Remedy::SendLeaves
            | Remedy::CorrectInvoice
            | Remedy::SendPapers
            | Remedy::Explain => {}
        }
    }
    let mut numbers: Vec<String> = mine().map(|(claim, _)| claim.number.clone()).collect();
    numbers.dedup();
    LineStanding {
        line: line.line.clone(),
        unit: line.unit,
        owed: owed.normalize(),
        held: held.normalize(),
        claims: numbers,
    }
}

/// Returns the answer without the findings that a claim already asks for, so that nothing is claimed twice. A
/// finding that has grown since stays, whole. What is over because a replacement came for rejected goods is no
/// finding: the goods it replaces are on their way back.
pub fn unclaimed(answer: &Answer, claims: &[ClaimNow]) -> Answer {
    let mut rest = answer.clone();
    for line in &mut rest.lines {
        let replaced = replaced(line, claims);
        let place = line.line.clone();
        line.findings.retain(|finding| {
            !(spoken_for(&place, finding, claims)
                || finding.kind == Kind::Over && finding.amount <= replaced)
        });
    }
    for stray in &mut rest.not_ordered {
        let place = format!("{}:{}", stray.receipt, stray.index);
        stray
            .findings
            .retain(|finding| !spoken_for(&place, finding, claims));
    }
    rest
}

/// Returns whether anything in an answer can be claimed.
pub fn is_claimable(answer: &Answer) -> bool {
    answer
        .lines
        .iter()
        .flat_map(|line| &line.findings)
        .chain(answer.not_ordered.iter().flat_map(|stray| &stray.findings))
        .any(|finding| finding.kind.effect() == Effect::Claimed)
}

fn spoken_for(place: &str, finding: &Finding, claims: &[ClaimNow]) -> bool {
    finding.kind.effect() == Effect::Claimed
        && claims
            .iter()
            .filter(|claim| claim.state != State::Withdrawn)
            .flat_map(|claim| &claim.parts)
            .filter(|part| part.wanted.place == place)
            .flat_map(|part| &part.findings)
            .any(|asked| asked.kind == finding.kind && finding.amount <= asked.amount)
}

fn replaced(line: &LineAnswer, claims: &[ClaimNow]) -> Decimal {
    let came: Vec<&String> = claims
        .iter()
        .filter(|claim| {
            claim.parts.iter().any(|part| {
                part.wanted.line.as_deref() == Some(line.line.as_str())
                    && matches!(
                        part.wanted.remedy,
                        Remedy::Replace | Remedy::NewSet | Remedy::SendLeaves
                    )
            })
        })
        .flat_map(|claim| &claim.came.receipts)
        .collect();
    line.lots
        .iter()
        .filter(|lot| came.contains(&&lot.receipt))
        .map(|lot| lot.amount)
        .sum()
}
