//! What came in place of goods that a claim asks to be replaced is no over-delivery: those goods go back. Claims
//! nothing and judges no claim.

use crate::check::case::Case;
use crate::check::check;
use crate::claim::again;
use crate::claim::cycle::State;
use crate::claim::remedy::Remedy;
use crate::claim::standing::{self, ClaimNow};
use crate::model::answer::{Answer, LineAnswer};
use crate::model::kind::{Effect, Kind};
use crate::model::order::{Order, OrderLine};
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use rust_decimal::Decimal;

/// Checks an order with what its claims make of the answer.
///
/// # Errors
/// As [`check`].
pub fn answer(case: &Case<'_>, claims: &[ClaimNow]) -> Result<Answer, Vec<Problem>> {
    Ok(replaced(case.order, check(case)?, claims))
}

/// Returns the answer with goods that are claimed for replacement not counted against what came in their place: a line
/// is over only by what is more than both.
pub fn replaced(order: &Order, mut answer: Answer, claims: &[ClaimNow]) -> Answer {
    let mut settled: Vec<String> = Vec::new();
    for (ordered, line) in order.lines.iter().zip(&mut answer.lines) {
        if less_over(ordered, line, in_place(line, claims)) {
            settled.push(line.line.clone());
        }
        set_apart(line, claims);
    }
    if settled.is_empty() {
        return answer;
    }
    // A pattern that explained the excess explains nothing once there is none.
    answer.causes.retain(|cause| {
        !(cause.kind.explains(Kind::Over) && cause.lines.iter().any(|line| settled.contains(line)))
    });
    answer.as_ordered =
        answer.not_ordered.is_empty() && answer.lines.iter().all(|line| line.as_ordered);
    answer
}

/// Takes an amount off what a line is over; returns whether nothing of it is left.
fn less_over(ordered: &OrderLine, line: &mut LineAnswer, in_place: Decimal) -> bool {
    if in_place.is_zero() {
        return false;
    }
    let most = ordered.tolerance.over.of(ordered.quantity.amount);
    let mut gone = false;
    for finding in line
        .findings
        .iter_mut()
        .filter(|finding| finding.kind == Kind::Over)
    {
        let off = in_place.min(finding.amount);
        finding.amount -= off;
        gone = finding.amount <= most;
        finding.text = format!(
            "over by {}, not counting {} that came in place of goods to be replaced",
            Quantity::new(finding.amount.normalize(), finding.unit),
            Quantity::new(off.normalize(), finding.unit)
        );
    }
    if gone {
        line.findings.retain(|finding| finding.kind != Kind::Over);
        line.as_ordered = line
            .findings
            .iter()
            .all(|finding| finding.kind.effect() == Effect::Informs);
    }
    gone
}

/// Returns how much came, after the claims, in place of what they ask to be replaced.
fn in_place(line: &LineAnswer, claims: &[ClaimNow]) -> Decimal {
    let mut all = Decimal::ZERO;
    for claim in claims
        .iter()
        .filter(|claim| claim.state != State::Withdrawn && !is_paid(claim))
    {
        let came: Decimal = line
            .lots
            .iter()
            .filter(|lot| !claim.receipts.contains(&lot.receipt))
            .map(|lot| lot.amount)
            .sum();
        let asked: Decimal = claim
            .parts
            .iter()
            .filter(|part| part.wanted.is_on(line))
            .map(|part| match part.wanted.remedy {
                Remedy::Replace if part.wanted.amount.unit == line.unit => {
                    part.wanted.amount.amount
                }
                // Missing leaves are asked for, or a whole new set: then the leaves of the broken one go back.
                Remedy::SendLeaves | Remedy::NewSet => largest_set(line),
                Remedy::Replace
                | Remedy::Send
                | Remedy::Collect
                | Remedy::Buy
                | Remedy::Keep
                | Remedy::Credit
                | Remedy::Reduce
                | Remedy::CorrectInvoice
                | Remedy::SendPapers
                | Remedy::Pay
                | Remedy::Explain => Decimal::ZERO,
            })
            .sum();
        // What came for it and was wrong again is replaced too.
        let again: Decimal = again::wrong_again(line, &claim.parts, &claim.came)
            .iter()
            .map(|(_, amount)| *amount)
            .sum();
        all += (asked + again).min(came - all.min(came));
    }
    all
}

/// What comes after it was paid back is beyond what is still ordered: it is not to be used before that is settled.
fn set_apart(line: &mut LineAnswer, claims: &[ClaimNow]) {
    let over: Decimal = line
        .findings
        .iter()
        .filter(|finding| finding.kind == Kind::Over)
        .map(|finding| finding.amount)
        .sum();
    let paid: Vec<&ClaimNow> = claims
        .iter()
        .filter(|claim| is_paid(claim) && !claim.came.credited.0.is_zero())
        .collect();
    if over.is_zero() || paid.is_empty() {
        return;
    }
    let paid_back: Decimal = paid
        .iter()
        .flat_map(|claim| &claim.parts)
        .map(|part| &part.wanted)
        .filter(|wanted| {
            wanted.is_on(line)
                && wanted.amount.unit == line.unit
                && (wanted.remedy.sends_goods() || wanted.remedy == Remedy::Credit)
        })
        .map(|wanted| wanted.amount.amount)
        .sum();
    // What is rejected and still here is over first; the rest of what is over is good.
    let fetched: Decimal = standing::fetched(line, paid)
        .map(|(_, amount)| amount)
        .sum();
    let rejected = line.arrived - line.conforming - fetched;
    let good = (over - rejected.max(Decimal::ZERO)).max(Decimal::ZERO);
    let most = (line.ordered - paid_back).max(line.conforming - good);
    line.usable = line.usable.min(most).max(Decimal::ZERO);
}

/// Returns whether money, or nothing, came instead of goods: then what comes afterwards is in place of nothing.
fn is_paid(claim: &ClaimNow) -> bool {
    claim.state == State::Right && claim.came.receipts.is_empty()
}

/// Returns how many leaves the largest set has, where the sets can be made now.
fn largest_set(line: &LineAnswer) -> Decimal {
    line.sequence
        .as_ref()
        .filter(|sequence| sequence.missing.is_empty())
        .and_then(|sequence| sequence.wanted.iter().max())
        .map_or(Decimal::ZERO, |size| Decimal::from(*size))
}
