//! Puts a claim together: who is asked, for what, worth how much, by when. Writes no letter.

use crate::check::case::Case;
use crate::check::measure;
use crate::claim::deadlines::{self, Deadline};
use crate::claim::loss::{self, Group, Share};
use crate::claim::remedy::{Against, Remedy, fitting};
use crate::claim::replacement::Wanted;
use crate::claim::value::{self, Worth};
use crate::claim::wishes::Wishes;
use crate::model::answer::{Answer, Cause, CauseKind, LineAnswer, Stray};
use crate::model::finding::Finding;
use crate::model::kind::{Effect, Kind};
use crate::model::money::Money;
use crate::model::order::{Freight, OrderLine};
use crate::model::quantity::Quantity;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::collections::HashMap;

/// What one party is asked for.
#[derive(Debug, Clone)]
pub struct ClaimDraft {
    /// Who is asked.
    pub against: Against,
    /// The carrier's name, where a carrier is asked and the receipts name it.
    pub carrier: Option<String>,
    /// The order.
    pub order: String,
    /// The receipts whose goods are claimed about, by date.
    pub receipts: Vec<String>,
    /// ISO 4217 code; one an order.
    pub currency: String,
    /// What is claimed, in the order of the order's lines; what no line asked for comes last.
    pub items: Vec<ClaimItem>,
    /// The shop's own costs, where entered.
    pub costs: Vec<Worth>,
    /// What is claimed in money: known values and costs added up; `None` where there is a loss and no price for it.
    pub value: Option<Money>,
    /// Losses whose value is not known, a sentence each.
    pub unpriced: Vec<String>,
    /// The last day to tell the party; `None` where it is not known here.
    pub notify_by: Option<Deadline>,
    /// The day by which an answer is asked.
    pub answer_by: NaiveDate,
    /// Days that the party has by rule, a carrier's.
    pub follow_up: Vec<Deadline>,
    /// Who is told beside the party, where the risk in transit makes two parties of it.
    pub also_told: Option<Against>,
}

/// One linked item: the parts of one cause, or a part alone.
#[derive(Debug, Clone)]
pub struct ClaimItem {
    /// What links the parts.
    pub cause: Option<Cause>,
    /// The parts.
    pub parts: Vec<Part>,
}

/// One loss and the one remedy asked for it.
#[derive(Debug, Clone)]
pub struct Part {
    /// The order line; `None` for goods that no line asked for.
    pub line: Option<String>,
    /// The place by which the owner names it: the line, or `RG-311:3`.
    pub place: String,
    /// The item's code, where known.
    pub item: Option<String>,
    /// In words, where known.
    pub description: Option<String>,
    /// Every finding that the remedy answers, the heaviest first.
    pub findings: Vec<Finding>,
    /// How much the remedy is about.
    pub amount: Quantity,
    /// What is asked.
    pub remedy: Remedy,
    /// What it is worth.
    pub worth: Worth,
    /// What else could be asked, and what that is worth.
    pub alternatives: Vec<(Remedy, Worth)>,
}

impl Part {
    /// Returns what is wanted, as what comes for it is held against.
    pub fn wanted(&self) -> Wanted {
        Wanted {
            place: self.place.clone(),
            line: self.line.clone(),
            remedy: self.remedy,
            amount: self.amount,
            value: self.worth.value,
        }
    }
}

/// Returns the drafts: the supplier's first, then the carrier's; none when nothing is claimable.
pub fn draft(
    case: &Case<'_>,
    answer: &Answer,
    today: NaiveDate,
    wishes: &Wishes,
) -> Vec<ClaimDraft> {
    let mut parts: Vec<(Against, Part, Option<Deadline>)> = Vec::new();
    let by_number: HashMap<&str, &OrderLine> = case
        .order
        .lines
        .iter()
        .map(|line| (line.line.as_str(), line))
        .collect();
    for line in &answer.lines {
        let Some(ordered) = by_number.get(line.line.as_str()).copied() else {
            continue;
        };
        of_line(case, answer, line, ordered, wishes, &mut parts);
    }
    for stray in &answer.not_ordered {
        for finding in stray.findings.iter().filter(|finding| claimable(finding)) {
            let by = deadlines::notify(case, answer, None, finding, Against::Supplier);
            parts.push((Against::Supplier, of_stray(stray, finding, wishes), by));
        }
    }
    [Against::Supplier, Against::Carrier]
        .into_iter()
        .filter_map(|against| {
            let (mine, days): (Vec<Part>, Vec<Option<Deadline>>) = parts
                .iter()
                .filter(|(of, _, _)| *of == against)
                .map(|(_, part, by)| (part.clone(), by.clone()))
                .unzip();
            (!mine.is_empty())
                .then(|| put_together(case, answer, against, mine, days, today, wishes))
        })
        .collect()
}

fn claimable(finding: &Finding) -> bool {
    match finding.kind.effect() {
        Effect::Claimed => true,
        Effect::Logged | Effect::LookAgain | Effect::Informs => false,
    }
}

fn of_line(
    case: &Case<'_>,
    answer: &Answer,
    line: &LineAnswer,
    ordered: &OrderLine,
    wishes: &Wishes,
    parts: &mut Vec<(Against, Part, Option<Deadline>)>,
) {
    let carrier = case.order.freight == Freight::Origin;
    let claimed: Vec<&Finding> = line
        .findings
        .iter()
        .filter(|finding| {
            claimable(finding)
                || (finding.kind.effect() == Effect::Logged
                    && wishes.claims(&line.line, finding.kind))
        })
        .collect();
    let groups = loss::groups(line, &claimed, answer.billing.as_ref(), carrier);
    let damaged = groups
        .iter()
        .any(|group| group.shares[0].finding.kind == Kind::Damaged);
    for group in groups {
        let first = group.shares[0].finding;
        // Sets that only the carrier's damage broke are no fault of the supplier.
        let broken_in_transit =
            damaged && first.kind == Kind::SetsMissing && group.units().is_zero();
        let against = if carrier && (first.kind == Kind::Damaged || broken_in_transit) {
            Against::Carrier
        } else {
            Against::Supplier
        };
        let by = group
            .shares
            .iter()
            .filter_map(|share| deadlines::notify(case, answer, Some(line), share.finding, against))
            .min();
        let part = of_group(case, line, ordered, &group, against, wishes);
        parts.push((against, part, by));
    }
}

/// The finding that decides what is asked for a group: leaves that complete the sets also make up what is short.
fn leading<'g>(group: &'g Group<'_>) -> &'g Share<'g> {
    group
        .shares
        .iter()
        .find(|share| share.finding.kind == Kind::SetsMissing)
        .unwrap_or(&group.shares[0])
}

fn of_group(
    case: &Case<'_>,
    line: &LineAnswer,
    ordered: &OrderLine,
    group: &Group<'_>,
    against: Against,
    wishes: &Wishes,
) -> Part {
    let leading = leading(group);
    let chosen = group
        .shares
        .iter()
        .find_map(|share| wishes.remedy(&line.line, share.finding.kind));
    let fitting = fitting(leading.finding.kind, against);
    let default = fitting.first().copied().unwrap_or(Remedy::Explain);
    let remedy = chosen.unwrap_or(default);
    let worth = |remedy| worth_of(case, line, ordered, group, remedy, wishes);
    let units = asked_units(line, group, remedy);
    let amount = if units.is_zero() {
        Quantity::new(leading.finding.amount.normalize(), leading.finding.unit)
    } else {
        Quantity::new(units.normalize(), line.unit)
    };
    Part {
        line: Some(line.line.clone()),
        place: line.line.clone(),
        item: line.item.clone(),
        description: line.description.clone(),
        findings: group
            .shares
            .iter()
            .map(|share| share.finding.clone())
            .collect(),
        amount,
        remedy,
        worth: worth(remedy),
        alternatives: fitting
            .iter()
            .filter(|other| **other != remedy)
            .map(|other| (*other, worth(*other)))
            .collect(),
    }
}

/// Returns the units that a remedy is about. Leaves that would complete the sets and are only credited leave others
/// without use: those are credited with them, against return.
fn asked_units(line: &LineAnswer, group: &Group<'_>, remedy: Remedy) -> Decimal {
    let units = group.units();
    let sets = group
        .shares
        .iter()
        .any(|share| share.finding.kind == Kind::SetsMissing);
    if remedy == Remedy::Credit && sets {
        units.max(line.ordered - line.usable)
    } else {
        units
    }
}

fn worth_of(
    case: &Case<'_>,
    line: &LineAnswer,
    ordered: &OrderLine,
    group: &Group<'_>,
    remedy: Remedy,
    wishes: &Wishes,
) -> Worth {
    let first = group.shares[0].finding;
    match remedy {
        Remedy::Send
        | Remedy::SendLeaves
        | Remedy::NewSet
        | Remedy::Replace
        | Remedy::Credit
        | Remedy::Pay => goods(ordered, line, group, remedy),
        Remedy::Reduce => reduced(case, ordered, group, wishes),
        Remedy::Collect => Worth::nothing("no money is asked for goods that are to be collected"),
        Remedy::Buy => Worth::nothing(format!(
            "no money is asked; kept at the order price: {}",
            value::at_order_price(ordered, first.amount).arithmetic
        )),
        Remedy::Keep => Worth::nothing("no money is asked if the goods stay at the order price"),
        Remedy::CorrectInvoice => billed_otherwise(ordered, first),
        Remedy::SendPapers => Worth::nothing("no money is asked if the papers come"),
        Remedy::Explain => Worth::nothing("no money is asked"),
    }
}

fn goods(ordered: &OrderLine, line: &LineAnswer, group: &Group<'_>, remedy: Remedy) -> Worth {
    let mut units = asked_units(line, group, remedy);
    let first = &group.shares[0];
    if units.is_zero()
        && group.shares.iter().all(|share| {
            share.finding.kind == Kind::PaperMissing || share.finding.kind == Kind::GradeHigher
        })
    {
        units = first.finding.amount;
    }
    if units.is_zero() && first.covered && remedy == Remedy::Pay {
        return Worth::nothing(format!(
            "{}; the supplier is asked for these goods, which were not as ordered besides, and the carrier only for \
             what the supplier does not make good",
            value::at_order_price(ordered, first.finding.amount).arithmetic
        ));
    }
    if units.is_zero() {
        return Worth::nothing("no money is asked: enough that conforms is here");
    }
    // What arrived was billed; what is short may not have been.
    let billed = (group.billed + (units - group.units())).min(units);
    let amount = measure::said(ordered, units.normalize());
    if billed.is_zero() && group.billed < group.units() {
        return Worth::nothing(format!(
            "{amount}: not billed, so the goods are asked for and no money"
        ));
    }
    let billed = if group.units().is_zero() {
        units
    } else {
        billed
    };
    let mut worth = value::at_order_price(ordered, billed);
    if billed < units {
        let rest = measure::said(ordered, (units - billed).normalize());
        worth.arithmetic.push_str(&format!("; {rest} not billed"));
    }
    worth
}

fn reduced(case: &Case<'_>, ordered: &OrderLine, group: &Group<'_>, wishes: &Wishes) -> Worth {
    let units = group.units();
    let finding = group.shares[0].finding;
    let entered = wishes
        .values
        .iter()
        .find(|entered| entered.line == ordered.line);
    match entered {
        Some(entered) => {
            let price = value::at_order_price(ordered, units).value;
            let law = case.order.law.unwrap_or(crate::model::order::Law::Ucc);
            value::kept(
                law,
                price.unwrap_or(entered.conforming),
                entered.conforming,
                entered.delivered,
            )
        }
        None => value::grades_apart(case, ordered, finding, units),
    }
}

/// Returns the difference between the price billed and the order's, on the amount billed; all that is asked for what is
/// billed a second time.
fn billed_otherwise(ordered: &OrderLine, finding: &Finding) -> Worth {
    if let (Some(first), Some(money)) = (&finding.billed_first, finding.money) {
        return Worth {
            value: Some(money),
            arithmetic: format!("billed before by invoice {first}: {money}"),
        };
    }
    let read = |text: &Option<String>| -> Option<Decimal> {
        text.as_deref()?
            .split_whitespace()
            .next()?
            .replace(',', "")
            .parse()
            .ok()
    };
    let amount = Quantity::new(finding.amount.normalize(), finding.unit);
    let priced = value::priced(ordered, finding.amount);
    match (read(&finding.wanted), read(&finding.found), priced) {
        (Some(wanted), Some(found), Some(priced)) => {
            let (wanted, found) = (Money(wanted), Money(found));
            let value = (found - wanted).times(priced);
            Worth {
                value: Some(value.max(Money::ZERO)),
                arithmetic: format!(
                    "{amount} billed at {} for {}: {} at {} = {value}",
                    value::unit_price(found),
                    value::unit_price(wanted),
                    Quantity::new(priced.normalize(), ordered.per),
                    value::unit_price(found - wanted),
                ),
            }
        }
        (Some(_) | None, _, _) => Worth {
            value: None,
            arithmetic: format!(
                "{amount}: the difference is not known, line {} has no price for it",
                ordered.line
            ),
        },
    }
}

fn of_stray(stray: &Stray, finding: &Finding, wishes: &Wishes) -> Part {
    let place = format!("{}:{}", stray.receipt, stray.index);
    let fitting = fitting(Kind::NotOrdered, Against::Supplier);
    let remedy = wishes
        .remedy(&place, Kind::NotOrdered)
        .unwrap_or(Remedy::Collect);
    let worth = |remedy: Remedy| {
        Worth::nothing(if remedy == Remedy::Buy {
            "no money is asked; the price is to be agreed"
        } else {
            "no money is asked for goods that are to be collected"
        })
    };
    Part {
        line: None,
        item: stray.item.clone(),
        description: stray.description.clone(),
        findings: vec![finding.clone()],
        amount: Quantity::new(finding.amount.normalize(), finding.unit),
        remedy,
        worth: worth(remedy),
        alternatives: fitting
            .iter()
            .filter(|other| **other != remedy)
            .map(|other| (*other, worth(*other)))
            .collect(),
        place,
    }
}

fn put_together(
    case: &Case<'_>,
    answer: &Answer,
    against: Against,
    parts: Vec<Part>,
    days: Vec<Option<Deadline>>,
    today: NaiveDate,
    wishes: &Wishes,
) -> ClaimDraft {
    let damage = parts
        .iter()
        .flat_map(|part| &part.findings)
        .any(|finding| finding.kind == Kind::Damaged);
    let dated = wishes.dated.unwrap_or(today);
    let receipts: Vec<String> = answer
        .receipts
        .iter()
        .filter(|number| {
            parts.iter().any(|part| {
                part.findings
                    .iter()
                    .any(|finding| finding.receipts.is_empty() || finding.receipts.contains(number))
            })
        })
        .cloned()
        .collect();
    let costs = match against {
        Against::Supplier => costs(case, wishes),
        Against::Carrier => Vec::new(),
    };
    let known: Vec<Money> = parts
        .iter()
        .map(|part| &part.worth)
        .chain(&costs)
        .filter_map(|worth| worth.value)
        .collect();
    let unpriced: Vec<String> = parts
        .iter()
        .filter(|part| part.worth.value.is_none())
        .map(|part| part.worth.arithmetic.clone())
        .collect();
    let total: Money = known.iter().copied().sum();
    let value = if !unpriced.is_empty() && total == Money::ZERO {
        None
    } else {
        Some(total.rounded())
    };
    let carrier = case
        .receipts
        .iter()
        .filter(|_| against == Against::Carrier)
        .filter(|receipt| receipts.contains(&receipt.number.value))
        .find_map(|receipt| receipt.carrier.as_ref())
        .map(|carrier| carrier.name.clone());
    ClaimDraft {
        against,
        carrier,
        order: answer.order.clone(),
        receipts,
        currency: case.order.currency.clone(),
        items: linked(&answer.causes, parts),
        costs,
        value,
        unpriced,
        notify_by: days.into_iter().flatten().min(),
        answer_by: match against {
            Against::Supplier => deadlines::answer_by(case, dated),
            Against::Carrier => deadlines::carrier_answer_by(dated),
        },
        follow_up: match against {
            Against::Supplier => Vec::new(),
            Against::Carrier => deadlines::carrier_follow_up(dated),
        },
        also_told: match against {
            Against::Supplier => damage.then_some(Against::Carrier),
            Against::Carrier => Some(Against::Supplier),
        },
    }
}

/// Returns the shop's costs: incidental loss (UCC 2-715).
fn costs(case: &Case<'_>, wishes: &Wishes) -> Vec<Worth> {
    let mut costs = Vec::new();
    if let Some(freight) = wishes.return_freight {
        costs.push(Worth {
            value: Some(freight.rounded()),
            arithmetic: format!("return freight {freight}"),
        });
    }
    if let Some(hours) = wishes.labour_hours {
        let rate = case.shop.and_then(|shop| shop.labour_rate);
        let hours_said = hours.normalize();
        costs.push(match rate {
            Some(rate) => Worth {
                value: Some(rate.times(hours)),
                arithmetic: format!(
                    "labour lost, {hours_said} hours at {rate} = {}",
                    rate.times(hours)
                ),
            },
            None => Worth {
                value: None,
                arithmetic: format!("labour lost, {hours_said} hours; the shop gives no rate"),
            },
        });
    }
    costs
}

/// Links the parts that one cause explains; every part stands in one item.
fn linked(causes: &[Cause], parts: Vec<Part>) -> Vec<ClaimItem> {
    let mut items: Vec<ClaimItem> = Vec::new();
    for part in parts {
        let cause = causes.iter().find(|cause| explains(cause, &part));
        let home = cause.and_then(|cause| {
            items
                .iter()
                .position(|item| item.cause.as_ref() == Some(cause))
        });
        match home {
            Some(place) => items[place].parts.push(part),
            None => items.push(ClaimItem {
                cause: cause.cloned(),
                parts: vec![part],
            }),
        }
    }
    items
}

fn explains(cause: &Cause, part: &Part) -> bool {
    let on_its_lines = match &part.line {
        Some(line) => cause.lines.contains(line),
        None => cause.kind == CauseKind::SentTwice,
    };
    on_its_lines
        && part
            .findings
            .iter()
            .any(|finding| cause.kind.explains(finding.kind))
}
