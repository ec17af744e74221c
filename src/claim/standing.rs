//! Where an order stands once its claims are counted in: what is still owed and held, and what no claim asks for yet.
//! Changes no finding; takes away those that are spoken for.

use crate::claim::again;
use crate::claim::asked::{AskedFinding, AskedPart};
use crate::claim::cycle::State;
use crate::claim::remedy::Remedy;
use crate::claim::replacement::{Came, Wanted, judge};
use crate::model::answer::{Answer, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::{Effect, Kind};
use crate::model::money::Money;
use crate::model::quantity::Quantity;
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
    /// The receipts it is about.
    pub receipts: Vec<String>,
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

/// Goods that stand here for the other side to collect, of a claim that is otherwise made right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pickup {
    /// The claim.
    pub claim: String,
    /// The line, or the place of goods that no line asked for.
    pub place: String,
    /// How much.
    pub amount: Quantity,
}

/// Returns where every line stands, then what no line asked for, as far as it is still here.
pub fn standing(answer: &Answer, claims: &[ClaimNow]) -> Vec<LineStanding> {
    let strays = answer.not_ordered.iter().map(|stray| {
        let place = format!("{}:{}", stray.receipt, stray.index);
        let mine: Vec<&ClaimNow> = claims
            .iter()
            .filter(|claim| claim.state != State::Withdrawn)
            .filter(|claim| claim.parts.iter().any(|part| part.wanted.place == place))
            .collect();
        let gone = mine.iter().any(|claim| {
            claim.came.collected.is_some()
                || claim.state == State::Right
                    && claim
                        .parts
                        .iter()
                        .any(|part| part.wanted.place == place && part.wanted.remedy == Remedy::Buy)
        });
        LineStanding {
            unit: stray.unit,
            owed: Decimal::ZERO,
            held: if gone { Decimal::ZERO } else { stray.amount },
            claims: mine.iter().map(|claim| claim.number.clone()).collect(),
            line: place,
        }
    });
    let paid: Vec<Vec<bool>> = claims.iter().map(|claim| paid(answer, claim)).collect();
    answer
        .lines
        .iter()
        .map(|line| of_line(line, claims, &paid))
        .chain(strays)
        .collect()
}

/// Returns how many lines still wait for goods, of lines and whether they are filled, once claims that are made right
/// are counted in.
pub fn waiting<'a>(
    lines: impl Iterator<Item = (bool, &'a LineAnswer)>,
    claims: &[ClaimNow],
) -> usize {
    let made_right = |line: &LineAnswer| {
        right(claims).any(|claim| claim.parts.iter().any(|part| part.wanted.is_on(line)))
            && of_line(line, claims, &[]).owed.is_zero()
    };
    lines
        .filter(|(filled, line)| !filled && !made_right(line))
        .count()
}

/// Returns the claims that are made right.
pub fn right(claims: &[ClaimNow]) -> impl Iterator<Item = &ClaimNow> {
    claims.iter().filter(|claim| claim.state == State::Right)
}

/// Returns what stands here to be collected though its claim is made right.
pub fn pickups(answer: &Answer, claims: &[ClaimNow]) -> Vec<Pickup> {
    let mut out: Vec<Pickup> = Vec::new();
    if right(claims).next().is_none() {
        return out;
    }
    let here = standing(answer, claims);
    for claim in right(claims).filter(|claim| !claim.came.enough) {
        for (part, back) in back(answer, claim) {
            let wanted = &part.wanted;
            let held = here
                .iter()
                .find(|line| line.line == *wanted.line.as_ref().unwrap_or(&wanted.place))
                .filter(|line| line.unit == wanted.amount.unit)
                .map_or(Decimal::ZERO, |line| line.held);
            let told: Decimal = out
                .iter()
                .filter(|told| told.place == wanted.place)
                .map(|told| told.amount.amount)
                .sum();
            let amount = (back.all - back.gone).min(held - told.min(held));
            // What a carrier paid for is salvage: nobody is waited for.
            if wanted.remedy != Remedy::Pay && amount > Decimal::ZERO {
                out.push(Pickup {
                    claim: claim.number.clone(),
                    place: wanted.place.clone(),
                    amount: Quantity::new(amount.normalize(), wanted.amount.unit),
                });
            }
        }
    }
    out
}

/// Returns whether something that a claim is about, or that came for it and was wrong again, was not fetched yet.
pub fn is_anything_to_fetch(answer: &Answer, claim: &ClaimNow) -> bool {
    back(answer, claim).any(|(_, back)| back.gone < back.all)
}

/// What leaves the shop for a part of a claim.
struct Back {
    /// All of it: what the claim is about, and what came for it and was wrong again.
    all: Decimal,
    /// What was fetched.
    gone: Decimal,
}

/// Returns what leaves the shop for each part of a claim of which anything does.
fn back<'c>(
    answer: &'c Answer,
    claim: &'c ClaimNow,
) -> impl Iterator<Item = (&'c AskedPart, Back)> {
    claim
        .parts
        .iter()
        .filter(|part| may_leave_the_shop(part))
        .map(move |part| {
            let line = answer.lines.iter().find(|line| part.wanted.is_on(line));
            (part, back_of(part, line, claim))
        })
}

fn back_of(part: &AskedPart, line: Option<&LineAnswer>, claim: &ClaimNow) -> Back {
    let again: Vec<(usize, Decimal)> = line
        .filter(|line| is_first_on_its_line(part, line, claim))
        .map(|line| again::wrong_again(line, &claim.parts, &claim.came))
        .unwrap_or_default();
    let amount = if leaves_the_shop(part) {
        let leaves: usize = part
            .findings
            .iter()
            .filter(|finding| finding.kind == Kind::SetsMissing)
            .map(|finding| finding.leaves.len())
            .sum();
        // All leaves of a broken set go, however few are missing.
        part.wanted.amount.amount.max(Decimal::from(leaves))
    } else {
        Decimal::ZERO
    };
    let with = |most: usize| {
        let wrong: Decimal = again
            .iter()
            .filter(|(place, _)| *place < most)
            .map(|(_, amount)| *amount)
            .sum();
        amount + wrong
    };
    Back {
        all: with(usize::MAX),
        gone: claim.came.collected.map_or(Decimal::ZERO, with),
    }
}

/// What came for a line is wrong once, however many things were asked for it.
fn is_first_on_its_line(part: &AskedPart, line: &LineAnswer, claim: &ClaimNow) -> bool {
    claim
        .parts
        .iter()
        .find(|one| one.wanted.is_on(line) && may_leave_the_shop(one))
        .is_some_and(|first| std::ptr::eq(first, part))
}

/// Returns whether anything may leave the shop for a part: its goods, or what came for it and was wrong again.
fn may_leave_the_shop(part: &AskedPart) -> bool {
    leaves_the_shop(part) || part.wanted.remedy.sends_goods()
}

/// Returns whether goods of the part leave the shop in the end: back to the other side, or, where a carrier pays for
/// them, as salvage.
fn leaves_the_shop(part: &AskedPart) -> bool {
    match part.wanted.remedy {
        Remedy::Replace | Remedy::NewSet | Remedy::Collect => true,
        Remedy::Credit | Remedy::Pay => {
            asks_for_sets(part)
                || part
                    .findings
                    .iter()
                    .any(|finding| finding.kind.rejects_units())
        }
        Remedy::Send
        | Remedy::SendLeaves
        | Remedy::Buy
        | Remedy::Keep
        | Remedy::Reduce
        | Remedy::CorrectInvoice
        | Remedy::SendPapers
        | Remedy::Explain => false,
    }
}

fn asks_for_sets(part: &AskedPart) -> bool {
    part.findings
        .iter()
        .any(|finding| finding.kind == Kind::SetsMissing)
}

/// Returns, for each part of a claim that is not made right yet, whether money was counted for all of it.
fn paid(answer: &Answer, claim: &ClaimNow) -> Vec<bool> {
    if claim.came.credited.0.is_zero() || claim.state.is_closed() {
        return Vec::new();
    }
    let wanted: Vec<Wanted> = claim.parts.iter().map(|part| part.wanted.clone()).collect();
    judge(&wanted, None, &claim.came, answer)
        .parts
        .iter()
        .map(|part| part.right && part.credited > Money::ZERO)
        .collect()
}

/// Returns where a line stands. `paid` says for which parts of which claims money was counted.
fn of_line(line: &LineAnswer, claims: &[ClaimNow], paid: &[Vec<bool>]) -> LineStanding {
    let mut owed = (line.ordered - line.conforming).max(Decimal::ZERO);
    let mut held = line.arrived - line.usable;
    // Leaves enough, but not in sequence: the sets are owed all the same.
    if let Some(sequence) = line.sequence.as_ref().filter(|_| owed.is_zero()) {
        let missing: usize = sequence.missing.iter().sum();
        owed = Decimal::from(missing).min(held);
    }
    // What came counts once, for what was asked first.
    let mut here: Vec<(&str, Decimal)> = line
        .lots
        .iter()
        .map(|lot| (lot.receipt.as_str(), lot.amount - lot.rejected))
        .collect();
    let mut numbers: Vec<String> = Vec::new();
    for (place, claim) in claims.iter().enumerate() {
        if claim.state == State::Withdrawn {
            continue;
        }
        for (part_place, part) in claim.parts.iter().enumerate() {
            if !part.wanted.is_on(line) {
                continue;
            }
            if !numbers.contains(&claim.number) {
                numbers.push(claim.number.clone());
            }
            let right = claim.state == State::Right;
            let paid = paid
                .get(place)
                .and_then(|parts| parts.get(part_place))
                .is_some_and(|paid| *paid);
            let amount = part.wanted.amount.amount;
            let came = if part.wanted.remedy.sends_goods() {
                take(&mut here, &claim.came.receipts, amount)
            } else {
                Decimal::ZERO
            };
            if right || paid {
                // Paid for instead of sent, or let go: what did not come is no longer owed.
                match part.wanted.remedy {
                    Remedy::Credit | Remedy::Pay => owed -= amount.min(owed),
                    Remedy::Send | Remedy::SendLeaves | Remedy::Replace | Remedy::NewSet => {
                        owed -= (amount - came).min(owed);
                    }
                    Remedy::Buy | Remedy::Keep | Remedy::Reduce => {
                        held -= amount.min(held);
                        owed -= amount.min(owed);
                    }
                    Remedy::Collect
                    | Remedy::CorrectInvoice
                    | Remedy::SendPapers
                    | Remedy::Explain => {}
                }
            }
            if right && claim.came.receipts.is_empty() && asks_for_sets(part) {
                // The missing leaves were paid for or let go: no set is owed, and the others are the shop's to use.
                owed = Decimal::ZERO;
                if part.wanted.remedy == Remedy::SendLeaves {
                    held = Decimal::ZERO;
                }
            }
        }
    }
    // Goods that are let go stay set apart until somebody says that they are gone; what was fetched is gone, also where
    // the claim was taken back afterwards.
    let gone: Decimal = fetched(line, claims).map(|(_, gone)| gone).sum();
    held -= gone.min(held);
    LineStanding {
        line: line.line.clone(),
        unit: line.unit,
        owed: owed.normalize(),
        held: held.normalize(),
        claims: numbers,
    }
}

/// Returns what of a line was fetched, by the receipts it had come with.
pub fn fetched<'c>(
    line: &'c LineAnswer,
    claims: impl IntoIterator<Item = &'c ClaimNow>,
) -> impl Iterator<Item = (Vec<String>, Decimal)> {
    claims
        .into_iter()
        .filter(|claim| claim.came.collected.is_some())
        .flat_map(|claim| claim.parts.iter().map(move |part| (claim, part)))
        .filter(|(_, part)| part.wanted.is_on(line))
        .map(|(claim, part)| {
            let receipts = claim.receipts.iter().chain(&claim.came.receipts);
            let gone = back_of(part, Some(line), claim).gone;
            (receipts.cloned().collect(), gone)
        })
}

/// Takes as much as is wanted of what came as ordered with these receipts and nothing was counted for yet.
fn take(here: &mut [(&str, Decimal)], receipts: &[String], wanted: Decimal) -> Decimal {
    let mut taken = Decimal::ZERO;
    for (receipt, left) in here {
        if receipts.iter().any(|known| known == receipt) {
            let part = (*left).min(wanted - taken);
            *left -= part;
            taken += part;
        }
    }
    taken
}

/// Returns the answer without what a claim already asks for, so that nothing is claimed twice: neither the goods a
/// claim is about, nor what came for it and is wrong again, which is that claim's to settle. A finding that has grown
/// since stays with what is new of it. The answer is one that claims are counted in (`replaced`).
pub fn unclaimed(answer: &Answer, claims: &[ClaimNow]) -> Answer {
    let mut rest = answer.clone();
    for (line, whole) in rest.lines.iter_mut().zip(&answer.lines) {
        line.findings = whole
            .findings
            .iter()
            .filter_map(|finding| not_asked(whole, finding, claims))
            .collect();
    }
    for stray in &mut rest.not_ordered {
        let place = format!("{}:{}", stray.receipt, stray.index);
        stray.findings.retain(|finding| {
            finding.kind.effect() != Effect::Claimed
                || asked_of(&place, finding, claims).all(|(_, asked)| finding.amount > asked.amount)
        });
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

/// Returns what a claim says that is no longer so, a sentence each: papers were replaced, or goods came, since it was
/// drafted.
pub fn no_longer_so(answer: &Answer, claim: &ClaimNow) -> Vec<String> {
    let mut out = Vec::new();
    for part in &claim.parts {
        let wanted = &part.wanted;
        let line = answer.lines.iter().find(|line| wanted.is_on(line));
        let stray = answer
            .not_ordered
            .iter()
            .find(|stray| format!("{}:{}", stray.receipt, stray.index) == wanted.place);
        for asked in &part.findings {
            let now: Decimal = match (line, stray) {
                (Some(line), _) => line
                    .findings
                    .iter()
                    .filter(|finding| is_of_kind(asked, finding))
                    .map(|finding| amount_on(line, finding, &asked.receipts))
                    .sum(),
                (None, Some(stray)) => stray
                    .findings
                    .iter()
                    .filter(|finding| is_of_kind(asked, finding))
                    .map(|finding| finding.amount)
                    .sum(),
                (None, None) => Decimal::ZERO,
            };
            if now < asked.amount {
                let place = match wanted.line {
                    Some(_) => format!("line {}", wanted.place),
                    None => wanted.place.clone(),
                };
                let now = if now.is_zero() {
                    "nothing of it".to_owned()
                } else {
                    now.normalize().to_string()
                };
                out.push(format!("{place}: {}; now {now}", asked.text));
            }
        }
    }
    out
}

/// Returns how much of a finding lies on goods of these receipts; all of it where it is about no goods that came.
fn amount_on(line: &LineAnswer, finding: &Finding, receipts: &[String]) -> Decimal {
    if receipts.is_empty() || finding.touches.is_empty() || finding.kind == Kind::SetsMissing {
        return finding.amount;
    }
    finding
        .touches
        .iter()
        .filter(|(place, _)| {
            line.lots
                .get(*place)
                .is_some_and(|lot| receipts.contains(&lot.receipt))
        })
        .map(|(_, amount)| *amount)
        .sum()
}

/// Returns whether a finding is of the kind, and about the thing, that was asked about.
fn is_of_kind(asked: &AskedFinding, finding: &Finding) -> bool {
    asked.kind == finding.kind && (asked.about.is_none() || asked.about == finding.about)
}

/// Returns what of a finding no claim asks for; `None` where nothing is left.
fn not_asked(line: &LineAnswer, finding: &Finding, claims: &[ClaimNow]) -> Option<Finding> {
    if finding.kind.effect() != Effect::Claimed {
        return Some(finding.clone());
    }
    // Sets are counted in sets, whatever lots their leaves lie in.
    if finding.touches.is_empty() || finding.kind == Kind::SetsMissing {
        let asked = asked_of(&line.line, finding, claims)
            .filter(|(claim, _)| !came_instead(claim))
            .map(|(_, asked)| asked.amount)
            .sum();
        return less(finding.clone(), asked, BEFORE);
    }
    // Goods are told apart by the receipt they came on: those that a claim is about, and those that came for one.
    let mut rest = finding.clone();
    let mut spoken = Decimal::ZERO;
    let mut asked: Vec<(&AskedFinding, Decimal)> = asked_of(&line.line, finding, claims)
        .map(|(_, asked)| (asked, asked.amount))
        .collect();
    rest.touches.retain_mut(|(place, amount)| {
        let Some(receipt) = line.lots.get(*place).map(|lot| lot.receipt.as_str()) else {
            return true;
        };
        let mut gone = Decimal::ZERO;
        if came_for(line, receipt, claims) {
            gone = *amount;
        }
        for (asked, left) in &mut asked {
            if asked.receipts.is_empty() || asked.receipts.iter().any(|known| known == receipt) {
                let part = (*left).min(*amount - gone);
                *left -= part;
                gone += part;
            }
        }
        spoken += gone;
        *amount -= gone;
        !amount.is_zero()
    });
    if rest.touches.is_empty() {
        return None;
    }
    let left: Vec<&str> = rest
        .touches
        .iter()
        .filter_map(|(place, _)| line.lots.get(*place).map(|lot| lot.receipt.as_str()))
        .collect();
    rest.receipts
        .retain(|receipt| left.contains(&receipt.as_str()));
    less(rest, spoken, BEFORE)
}

/// Why part of a finding is not asked.
const BEFORE: &str = "claimed before";

/// Returns a finding less an amount that is spoken for; `None` where nothing is left. The sentence says both.
fn less(mut finding: Finding, spoken: Decimal, why: &str) -> Option<Finding> {
    if spoken.is_zero() {
        return Some(finding);
    }
    if finding.amount <= spoken {
        return None;
    }
    let rest = Quantity::new((finding.amount - spoken).normalize(), finding.unit);
    let spoken = Quantity::new(spoken.normalize(), finding.unit);
    finding
        .text
        .push_str(&format!("; {spoken} of it {why}, so {rest} now"));
    finding.amount -= spoken.amount;
    Some(finding)
}

/// Returns what the claims that stand ask for at a place, of a finding's kind.
fn asked_of<'c>(
    place: &'c str,
    finding: &'c Finding,
    claims: &'c [ClaimNow],
) -> impl Iterator<Item = (&'c ClaimNow, &'c AskedFinding)> {
    claims
        .iter()
        .filter(|claim| claim.state != State::Withdrawn)
        .flat_map(|claim| claim.parts.iter().map(move |part| (claim, part)))
        .filter(move |(_, part)| part.wanted.place == place)
        .flat_map(|(claim, part)| part.findings.iter().map(move |asked| (claim, asked)))
        .filter(move |(_, asked)| is_of_kind(asked, finding))
}

/// Whether a claim was made right by goods alone: what was short then is here, and what is short now is new.
fn came_instead(claim: &ClaimNow) -> bool {
    claim.state == State::Right
        && !claim.came.receipts.is_empty()
        && claim.came.credited.0.is_zero()
        && !claim.came.enough
}

/// Whether a receipt brought goods for a claim on the line that is open, or that took them as enough, or was wrong
/// again in what it brought for a claim that was made right later.
fn came_for(line: &LineAnswer, receipt: &str, claims: &[ClaimNow]) -> bool {
    claims.iter().any(|claim| {
        let Some(place) = claim.came.receipts.iter().position(|came| came == receipt) else {
            return false;
        };
        let on_line = claim.parts.iter().any(|part| part.wanted.is_on(line));
        let open = !claim.state.is_closed() || claim.came.enough;
        on_line
            && (open
                || claim.state == State::Right
                    && again::wrong_again(line, &claim.parts, &claim.came)
                        .iter()
                        .any(|(wrong, _)| *wrong == place))
    })
}
