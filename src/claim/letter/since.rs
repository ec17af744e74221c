//! What happened since a claim was made: what they answered, what came, what of it is wrong again. Says it in the words
//! of a letter; quotes nothing that the shop noted for itself.

use crate::check::case::Case;
use crate::check::check;
use crate::claim::draft::{ClaimDraft, Part};
use crate::claim::letter::data::HeldData;
use crate::claim::letter::locale::Locale;
use crate::claim::letter::words::{ask, choices, leaf_runs, sentence};
use crate::claim::remedy::Remedy;
use crate::claim::replacement::{Came, PartJudged, Wanted, judge};
use crate::model::answer::{Answer, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::{Effect, Kind};
use crate::model::money::Money;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::receipt::Receipt;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// What they promised, or that they said no.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Promise {
    /// Goods will come.
    Goods,
    /// Money will be credited.
    Money,
    /// Goods will be collected.
    Collection,
    /// No.
    Nothing,
}

/// An answer of theirs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reply {
    /// The day they answered.
    pub date: NaiveDate,
    /// What they promised.
    pub promise: Promise,
    /// By when.
    pub by: Option<NaiveDate>,
    /// How much money.
    pub amount: Option<Money>,
}

/// What came to make a claim right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Made {
    /// Goods, on a receipt of ours, with their packing slip.
    Goods(String, Option<String>),
    /// Money, and the credit's number.
    Money(Money, Option<String>),
    /// The goods were collected.
    Collection,
}

/// Where one part of a claim stands.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PartSince {
    /// Nothing more is asked for it.
    pub right: bool,
    /// Some of its goods came as ordered, not all.
    pub partly: bool,
    /// Money that came for it.
    pub credited: Money,
    /// What came for it, a piece of a sentence each.
    pub came: Vec<String>,
    /// What of that is not as ordered, a sentence each.
    pub wrong: Vec<String>,
    /// What is still asked, where something came.
    pub open: Option<String>,
    /// What came for it and is held.
    pub held: Option<HeldData>,
}

impl Reply {
    /// Says it as an entry of what was written: `you promised a replacement for April 10, 2026`.
    pub fn entry(&self, locale: Locale, currency: &str) -> String {
        let what = match (self.promise, self.amount) {
            (Promise::Goods, _) => "you promised a replacement".to_owned(),
            (Promise::Money, Some(amount)) => {
                format!(
                    "you promised a credit of {}",
                    locale.money(amount, currency)
                )
            }
            (Promise::Money, None) => "you promised a credit".to_owned(),
            (Promise::Collection, _) => "you promised to collect the goods".to_owned(),
            (Promise::Nothing, _) => "you refused our claim".to_owned(),
        };
        let by = self
            .by
            .map(|by| format!(" for {}", locale.date(by)))
            .unwrap_or_default();
        format!("{what}{by}")
    }

    /// Says what is offered, as it is accepted; `None` where nothing is.
    pub fn offer(&self, locale: Locale, currency: &str) -> Option<String> {
        let what = match (self.promise, self.amount) {
            (Promise::Goods, _) => "you send goods as ordered".to_owned(),
            (Promise::Money, Some(amount)) => {
                format!("you credit {}", locale.money(amount, currency))
            }
            (Promise::Money, None) => "you credit the goods".to_owned(),
            (Promise::Collection, _) => "you collect the goods at your cost".to_owned(),
            (Promise::Nothing, _) => return None,
        };
        let by = self
            .by
            .map(|by| format!(" by {}", locale.date(by)))
            .unwrap_or_default();
        Some(format!("{what}{by}."))
    }
}

impl Made {
    /// Says it as an entry of what happened.
    pub fn entry(&self, locale: Locale, currency: &str) -> String {
        match self {
            Made::Goods(receipt, slip) => {
                let slip = slip
                    .as_ref()
                    .map(|slip| format!(", your packing slip {slip}"))
                    .unwrap_or_default();
                format!("goods came: our receipt {receipt}{slip}")
            }
            Made::Money(amount, paper) => {
                let paper = paper
                    .as_ref()
                    .map(|paper| format!(", {paper}"))
                    .unwrap_or_default();
                format!("you credited {}{paper}", locale.money(*amount, currency))
            }
            Made::Collection => "the goods were collected".to_owned(),
        }
    }
}

/// Returns where each part of a draft stands, in the draft's order. `case` holds all receipts, `now` is the answer over
/// them.
///
/// # Errors
/// Problems of the receipts of what came, which their recording would have shown.
pub fn since(
    case: &Case<'_>,
    now: &Answer,
    draft: &ClaimDraft,
    came: &Came,
    locale: Locale,
) -> Result<Vec<PartSince>, Vec<Problem>> {
    let parts: Vec<&Part> = draft.items.iter().flat_map(|item| &item.parts).collect();
    let wanted: Vec<Wanted> = parts.iter().map(|part| part.wanted()).collect();
    let judged = judge(&wanted, draft.value, came, now);
    let receipts: Vec<Receipt> = case
        .receipts
        .iter()
        .filter(|receipt| came.receipts.contains(&receipt.number.value))
        .cloned()
        .collect();
    // What came for the claim, looked at alone: its findings are about nothing else.
    let alone = check(&Case {
        receipts: &receipts,
        invoices: &[],
        ..*case
    })?;
    let mut told: Vec<&str> = Vec::new();
    let mut out = Vec::with_capacity(parts.len());
    for (part, judged) in parts.into_iter().zip(&judged.parts) {
        let line = |answer: &'_ Answer| -> Option<LineAnswer> {
            answer
                .lines
                .iter()
                .find(|line| part.line.as_deref() == Some(line.line.as_str()))
                .cloned()
        };
        let mut since = PartSince {
            // What needs only a word is never held against a receipt: it stays asked while the claim is open.
            right: judged.right
                && !part.remedy.is_words()
                && !(part.remedy.is_money() && part.worth.value == Some(Money::ZERO)),
            partly: judged.partly,
            credited: judged.credited,
            ..PartSince::default()
        };
        let goods = part.remedy.sends_goods();
        if let (true, Some(came), Some(now)) = (goods, line(&alone), line(now))
            && !came.lots.is_empty()
        {
            // One line's goods are told once, with the first thing that is still asked of it.
            if !since.right && !told.contains(&part.place.as_str()) {
                told.push(&part.place);
                of_line(case, &receipts, &came, &now, locale, &mut since);
            }
            since.open = open(part, judged, &now, !came.rejected().is_zero());
        }
        if let (false, Some(open)) = (since.right, judged.open_money) {
            let money = format!(
                "{} of it is credited; {} is still to come.",
                locale.money(judged.credited, &draft.currency),
                locale.money(open, &draft.currency)
            );
            since.open = Some(match since.open {
                Some(goods) => format!("{goods} {money}"),
                None => money,
            });
        }
        out.push(since);
    }
    Ok(out)
}

fn of_line(
    case: &Case<'_>,
    receipts: &[Receipt],
    came: &LineAnswer,
    now: &LineAnswer,
    locale: Locale,
    since: &mut PartSince,
) {
    let said = |amount: Decimal| match case.order.lines.iter().find(|line| line.line == came.line) {
        Some(line) => crate::check::measure::said(line, amount),
        None => Quantity::new(amount, came.unit),
    };
    let came_leaves = came.sequence.iter().flat_map(|sequence| &sequence.leaves);
    let names: Vec<String> = came_leaves
        .clone()
        .map(|leaf| format!("{}/{}", leaf.flitch, leaf.name))
        .collect();
    for receipt in receipts {
        let amount: Decimal = came
            .lots
            .iter()
            .filter(|lot| lot.receipt == receipt.number.value)
            .map(|lot| lot.amount)
            .sum();
        if amount.is_zero() {
            continue;
        }
        let slip = receipt
            .packing_slip
            .as_ref()
            .map(|slip| format!(", your packing slip {slip}"))
            .unwrap_or_default();
        // Which leaves came on which receipt is told where only one brought any.
        let leaves = match (receipts.len(), names.is_empty()) {
            (1, false) => format!(" ({})", leaf_runs(&names)),
            (_, _) => String::new(),
        };
        since.came.push(format!(
            "{}{leaves} on {}: our receipt {}{slip}",
            said(amount),
            locale.date(receipt.date),
            receipt.number.value
        ));
    }
    let wrong = |finding: &&Finding| {
        finding.kind.effect() == Effect::Claimed
            && (finding.kind.rejects_units() || finding.kind == Kind::PaperMissing)
    };
    let sets = |finding: &&Finding| finding.kind == Kind::SetsMissing;
    since.wrong = came
        .findings
        .iter()
        .filter(wrong)
        .chain(now.findings.iter().filter(sets))
        .map(|finding| sentence(&locale.dated(&finding.text)))
        .collect();
    // Leaves that came and make no set are held as those before them are.
    let idle = now
        .sequence
        .iter()
        .flat_map(|sequence| &sequence.leaves)
        .filter(|leaf| leaf.set.is_none())
        .filter(|leaf| {
            came_leaves
                .clone()
                .any(|came| came.flitch == leaf.flitch && came.name == leaf.name)
        })
        .count();
    let rejected = came.rejected().max(Decimal::from(idle));
    if !rejected.is_zero() {
        let mut places: Vec<&str> = Vec::new();
        for lot in came
            .lots
            .iter()
            .filter(|lot| idle > 0 || !lot.rejected.is_zero())
        {
            if let Some(place) = lot.place.as_deref()
                && !places.contains(&place)
            {
                places.push(place);
            }
        }
        since.held = Some(HeldData {
            what: format!("{} of line {} that came since", said(rejected), came.line),
            place: (!places.is_empty()).then(|| places.join(", ")),
        });
    }
}

/// Returns what is still asked of a part for which goods came.
fn open(part: &Part, judged: &PartJudged, now: &LineAnswer, wrong: bool) -> Option<String> {
    if judged.right {
        return None;
    }
    let back = if wrong {
        " Please collect what came instead, at your cost."
    } else {
        ""
    };
    match part.remedy {
        Remedy::SendLeaves | Remedy::NewSet => {
            let asked = Part {
                alternatives: Vec::new(),
                ..part.clone()
            };
            let mut words = vec![ask(&asked, Some(now), part.amount, None)];
            words.extend(choices(&asked, Some(now), part.amount, None));
            Some(format!("{}{back}", words.join(" ")))
        }
        Remedy::Send | Remedy::Replace => judged.open.map(|open| {
            let (are, them) = if open.amount == Decimal::ONE {
                ("is", "it")
            } else {
                ("are", "them")
            };
            format!("{open} as ordered {are} still to come; please send {them}.{back}")
        }),
        Remedy::Collect
        | Remedy::Buy
        | Remedy::Keep
        | Remedy::Credit
        | Remedy::Reduce
        | Remedy::CorrectInvoice
        | Remedy::SendPapers
        | Remedy::Pay
        | Remedy::Explain => None,
    }
}

/// Returns a draft with what is still open of it. Its value is what is open, less money that came for it; `None` where
/// part of the goods came, so that nobody states an amount that is too high.
pub fn still_open(draft: &ClaimDraft, since: &[PartSince], came: &Came) -> ClaimDraft {
    let is_open = |place: usize| since.get(place).is_none_or(|since| !since.right);
    let parts: Money = draft
        .items
        .iter()
        .flat_map(|item| &item.parts)
        .enumerate()
        .filter(|(place, _)| is_open(*place))
        .map(|(place, part)| {
            let came = since.get(place).map_or(Money::ZERO, |since| since.credited);
            (part.worth.value.unwrap_or(Money::ZERO) - came).max(Money::ZERO)
        })
        .sum();
    // Money that came for no part goes to the shop's costs.
    let spent: Money = since.iter().map(|since| since.credited).sum();
    let costs: Money = draft.costs.iter().filter_map(|cost| cost.value).sum();
    let costs = (costs - (came.credited - spent)).max(Money::ZERO);
    let partly = since.iter().any(|since| since.partly);
    let mut rest = draft.clone();
    let mut place = 0;
    for item in &mut rest.items {
        item.parts.retain(|_| {
            place += 1;
            is_open(place - 1)
        });
    }
    rest.items.retain(|item| !item.parts.is_empty());
    rest.value = draft
        .value
        .filter(|_| !partly)
        .map(|_| (parts + costs).rounded());
    rest
}
