//! Was it made right? Judges what came after a claim against what the claim asked. Trusts no promise: goods are a
//! receipt that is itself checked, money is an amount. Keeps nothing.

use crate::claim::remedy::Remedy;
use crate::model::answer::{Answer, LineAnswer};
use crate::model::money::Money;
use crate::model::quantity::Quantity;
use rust_decimal::Decimal;

/// One thing that a claim asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// The place by which the owner names it: the line, or `RG-311:3`.
    pub place: String,
    /// The order line; `None` for goods that no line asked for.
    pub line: Option<String>,
    /// What was asked.
    pub remedy: Remedy,
    /// How much it was about.
    pub amount: Quantity,
    /// What it is worth, where known.
    pub value: Option<Money>,
}

impl Wanted {
    /// Returns whether it is about goods of an order line.
    pub fn is_on(&self, line: &LineAnswer) -> bool {
        self.line.as_deref() == Some(line.line.as_str())
    }
}

/// What has come for a claim so far.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Came {
    /// Receipts of goods sent to make it right.
    pub receipts: Vec<String>,
    /// Money credited.
    pub credited: Money,
    /// Goods were collected, when so many of the receipts had come.
    pub collected: Option<usize>,
    /// The owner took what came as enough.
    pub enough: bool,
    /// What other claims took of these receipts before, by line.
    pub taken: Vec<(String, Decimal)>,
}

/// One thing that was asked for, judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartJudged {
    /// Its place.
    pub place: String,
    /// Whether it is made right.
    pub right: bool,
    /// What is wrong with what came for it; empty where nothing came, or nothing is wrong.
    pub wrong: Vec<String>,
    /// One sentence.
    pub text: String,
    /// Some of its goods came, not all.
    pub partly: bool,
    /// Goods that are still to come, where goods were asked.
    pub open: Option<Quantity>,
    /// Money that came for it.
    pub credited: Money,
    /// Money that is still to come, where some came.
    pub open_money: Option<Money>,
}

impl PartJudged {
    fn new(place: &str, right: bool, text: String) -> Self {
        PartJudged {
            place: place.to_owned(),
            right,
            wrong: Vec::new(),
            text,
            partly: false,
            open: None,
            credited: Money::ZERO,
            open_money: None,
        }
    }
}

/// A claim judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judged {
    /// Everything asked for is made right.
    pub right: bool,
    /// Something that came to make it right is wrong.
    pub wrong: bool,
    /// Each thing asked for.
    pub parts: Vec<PartJudged>,
    /// What the owner let go, in money.
    pub let_go: Option<Money>,
}

/// Judges what came. `after` is the answer over all receipts, those of the replacement among them. Money goes first to
/// what asks for money, then to goods that did not come; money that covers the claim's whole `value` makes all of it
/// right.
pub fn judge(wanted: &[Wanted], value: Option<Money>, came: &Came, after: &Answer) -> Judged {
    let paid = value.is_some_and(|value| value > Money::ZERO && came.credited >= value);
    let mut left = came.credited;
    // Goods that came for a line count once, for what was asked of it first.
    let mut counted = came.taken.clone();
    let mut lost: Option<Money> = None;
    let mut parts: Vec<PartJudged> = wanted
        .iter()
        .map(|wanted| match wanted.remedy {
            Remedy::Send | Remedy::Replace => goods(wanted, came, after, &mut counted),
            Remedy::SendLeaves | Remedy::NewSet => sets(wanted, came, after),
            Remedy::Collect => collected(wanted, came),
            Remedy::Credit | Remedy::Reduce | Remedy::Pay | Remedy::CorrectInvoice => {
                money(wanted, &mut left)
            }
            Remedy::Buy | Remedy::Keep | Remedy::SendPapers | Remedy::Explain => words(wanted),
        })
        .collect();
    for (wanted, judged) in wanted.iter().zip(&mut parts) {
        if !judged.right && wanted.remedy.sends_goods() {
            credited_instead(wanted, &mut left, judged);
        }
        if paid && !judged.right {
            judged.right = true;
            judged.text = format!("{}: credited with the rest", wanted.place);
        }
        if came.enough && !judged.right {
            let all = lost.unwrap_or(Money::ZERO) + unpaid(wanted, judged);
            lost = Some(all);
            let_go(wanted, judged);
        }
    }
    let right = came.enough || parts.iter().all(|part| part.right);
    let wrong = parts.iter().any(|part| !part.wrong.is_empty());
    if left > Money::ZERO {
        parts.push(PartJudged::new(
            "credit",
            true,
            format!(
                "{left} of the {} credited is for nothing that was claimed",
                came.credited
            ),
        ));
    }
    Judged {
        right,
        wrong,
        parts,
        let_go: lost,
    }
}

/// Returns what is open of a part in money: what money left open, else what is open of the goods at its share of the
/// value; sets are open whole.
fn unpaid(wanted: &Wanted, judged: &PartJudged) -> Money {
    let value = wanted.value.unwrap_or(Money::ZERO);
    if let Some(money) = judged.open_money {
        return money;
    }
    let amount = wanted.amount.amount;
    match judged.open {
        Some(open) if !amount.is_zero() => {
            Money(value.0.saturating_mul(open.amount) / amount).rounded()
        }
        Some(_) | None => value,
    }
}

/// Says what the owner lets go. Nothing more is to come, and nothing of it was made right.
fn let_go(wanted: &Wanted, judged: &mut PartJudged) {
    let value = wanted.value.filter(|_| wanted.remedy.is_money());
    let open = match (judged.open_money.take().or(value), judged.open.take()) {
        (Some(money), _) => money.to_string(),
        (None, Some(goods)) => goods.to_string(),
        (None, None) => wanted.amount.to_string(),
    };
    judged.text = format!("{}: {open} let go", wanted.place);
}

/// Holds what is left of the money against goods that did not come, at their share of the part's value.
fn credited_instead(wanted: &Wanted, left: &mut Money, judged: &mut PartJudged) {
    if wanted.value.is_none_or(|value| value <= Money::ZERO) || *left <= Money::ZERO {
        return;
    }
    let open = unpaid(wanted, judged);
    let got = open.min(*left);
    *left = *left - got;
    judged.credited = got;
    if got == open {
        judged.right = true;
        judged.wrong.clear();
        judged.text = format!("{}: {got} credited instead of goods", wanted.place);
    } else {
        judged.text.push_str(&format!(
            ", or {} in money: {got} of {open} is credited",
            open - got
        ));
        judged.open_money = Some(open - got);
    }
}

/// Lots of the replacement on the line that was claimed.
fn lots<'a>(
    wanted: &Wanted,
    came: &Came,
    after: &'a Answer,
) -> Option<(&'a LineAnswer, Vec<&'a crate::model::answer::Lot>)> {
    let line = after.lines.iter().find(|line| wanted.is_on(line))?;
    let lots = line
        .lots
        .iter()
        .filter(|lot| came.receipts.contains(&lot.receipt))
        .collect();
    Some((line, lots))
}

fn goods(
    wanted: &Wanted,
    came: &Came,
    after: &Answer,
    counted: &mut Vec<(String, Decimal)>,
) -> PartJudged {
    let Some((line, lots)) = lots(wanted, came, after) else {
        return nothing(wanted);
    };
    let good: Decimal = lots.iter().map(|lot| lot.amount - lot.rejected).sum();
    let before: Decimal = counted
        .iter()
        .filter(|(known, _)| *known == line.line)
        .map(|(_, amount)| *amount)
        .sum();
    let unit = wanted.amount.unit;
    let good = Quantity::new((good - before).max(Decimal::ZERO), unit);
    counted.push((line.line.clone(), good.amount.min(wanted.amount.amount)));
    let right = good.amount >= wanted.amount.amount;
    let open = Quantity::new((wanted.amount.amount - good.amount).normalize(), unit);
    let text = if lots.is_empty() {
        format!("{}: {} to come", wanted.place, wanted.amount)
    } else if right {
        format!(
            "{}: {good} came as ordered, {} asked",
            wanted.place, wanted.amount
        )
    } else {
        format!(
            "{}: {good} of {} came as ordered; {open} to come",
            wanted.place, wanted.amount,
        )
    };
    PartJudged {
        wrong: wrong(&lots),
        partly: !right && !good.amount.is_zero(),
        open: (!right).then_some(open),
        ..PartJudged::new(&wanted.place, right, text)
    }
}

/// Returns why goods that came are held, a line each.
fn wrong(lots: &[&crate::model::answer::Lot]) -> Vec<String> {
    lots.iter()
        .filter(|lot| !lot.rejected.is_zero())
        .flat_map(|lot| {
            lot.held_for
                .iter()
                .map(|why| format!("{}: {why}", lot.receipt))
        })
        .collect()
}

fn sets(wanted: &Wanted, came: &Came, after: &Answer) -> PartJudged {
    let Some((line, lots)) = lots(wanted, came, after) else {
        return nothing(wanted);
    };
    let missing = line
        .sequence
        .as_ref()
        .map_or(0, |sequence| sequence.missing.len());
    let ready = line
        .sequence
        .as_ref()
        .is_none_or(|sequence| sequence.filled.iter().all(|set| !set.again));
    let right = missing == 0 && ready && !lots.is_empty();
    let sets = if missing == 1 { "a set" } else { "sets" };
    let mut wrong = wrong(&lots);
    if !lots.is_empty() && missing > 0 {
        wrong.push(format!(
            "{sets} still cannot be made with what came ({missing} missing)"
        ));
    }
    let text = if right {
        format!("{}: the sets can be made", wanted.place)
    } else if lots.is_empty() {
        format!("{}: leaves to come", wanted.place)
    } else if missing == 0 {
        format!(
            "{}: leaves of the sets must be looked at again",
            wanted.place
        )
    } else {
        format!(
            "{}: {missing} of the sets still cannot be made",
            wanted.place
        )
    };
    PartJudged {
        wrong,
        ..PartJudged::new(&wanted.place, right, text)
    }
}

fn collected(wanted: &Wanted, came: &Came) -> PartJudged {
    let gone = came.collected.is_some();
    let text = if gone {
        format!("{}: {} collected", wanted.place, wanted.amount)
    } else {
        format!("{}: {} to be collected", wanted.place, wanted.amount)
    };
    PartJudged::new(&wanted.place, gone, text)
}

/// Takes a part's value from the money that is left. A part without a value is never paid by a credit alone.
fn money(wanted: &Wanted, left: &mut Money) -> PartJudged {
    match wanted.value {
        Some(value) if *left >= value && value > Money::ZERO => {
            *left = *left - value;
            PartJudged {
                credited: value,
                ..PartJudged::new(
                    &wanted.place,
                    true,
                    format!("{}: {value} credited", wanted.place),
                )
            }
        }
        Some(value) => {
            let got = (*left).min(value);
            *left = *left - got;
            let open = value - got;
            let text = format!(
                "{}: {got} of {value} credited; {open} to come",
                wanted.place
            );
            let right = value == Money::ZERO;
            PartJudged {
                credited: got,
                open_money: (!right && got > Money::ZERO).then_some(open),
                ..PartJudged::new(&wanted.place, right, text)
            }
        }
        None => PartJudged::new(
            &wanted.place,
            false,
            format!(
                "{}: no value is known to hold a credit against",
                wanted.place
            ),
        ),
    }
}

/// What needs neither goods nor money is done with the owner's word, not held against a receipt.
fn words(wanted: &Wanted) -> PartJudged {
    PartJudged::new(
        &wanted.place,
        true,
        format!("{}: nothing to wait for", wanted.place),
    )
}

fn nothing(wanted: &Wanted) -> PartJudged {
    PartJudged::new(
        &wanted.place,
        false,
        format!("{}: the order no longer has this line", wanted.place),
    )
}

#[cfg(test)]
mod tests {
    use super::{Came, Wanted, judge};
    use crate::check::case::Case;
    use crate::check::check;
    use crate::claim::remedy::Remedy;
    use crate::intake;
    use crate::model::answer::Answer;
    use crate::model::money::Money;
    use crate::model::quantity::Quantity;
    use crate::model::unit::Unit;
    use rust_decimal::Decimal;

    const ORDER: &str = "order: PO-1\nsupplier: s\ndate: 2026-03-02\nlines:\n\
        - {line: 1, item: MDF, quantity: 30 sheet, unit_price: 10.00, finish: {core: light}}\n";

    fn receipt(number: &str, day: u32, count: u32, core: &str) -> String {
        format!(
            "receipt: {number}\norder: PO-1\ndate: 2026-03-{day:02}\nlines:\n\
             - {{line: 1, item: MDF, quantity: {count} sheet, finish: {{core: {core}}}}}\n"
        )
    }

    fn answer(receipts: &[String]) -> Answer {
        let order = intake::order("o", ORDER).unwrap();
        let receipts: Vec<_> = receipts
            .iter()
            .map(|text| intake::receipt("r", text).unwrap())
            .collect();
        check(&Case::new(&order, &receipts)).unwrap()
    }

    fn wanted(remedy: Remedy, count: u32) -> Vec<Wanted> {
        vec![Wanted {
            place: "1".to_owned(),
            line: Some("1".to_owned()),
            remedy,
            amount: Quantity::new(Decimal::from(count), Unit::Sheet),
            value: Some(Money(Decimal::from(count * 10))),
        }]
    }

    fn came(receipts: &[&str], credited: u32) -> Came {
        Came {
            receipts: receipts
                .iter()
                .map(|receipt| (*receipt).to_owned())
                .collect(),
            credited: Money(Decimal::from(credited)),
            collected: None,
            enough: false,
            taken: Vec::new(),
        }
    }

    #[test]
    fn what_was_short_and_came_is_right() {
        let after = answer(&[receipt("A", 10, 24, "light"), receipt("B", 20, 6, "light")]);
        let judged = judge(&wanted(Remedy::Send, 6), None, &came(&["B"], 0), &after);
        assert!(judged.right && !judged.wrong);
        assert_eq!(
            judged.parts[0].text,
            "1: 6 sheets came as ordered, 6 sheets asked"
        );
    }

    #[test]
    fn part_of_it_leaves_the_rest_to_come_and_is_not_wrong() {
        let after = answer(&[receipt("A", 10, 24, "light"), receipt("B", 20, 4, "light")]);
        let judged = judge(&wanted(Remedy::Send, 6), None, &came(&["B"], 0), &after);
        assert!(!judged.right && !judged.wrong);
        assert_eq!(
            judged.parts[0].text,
            "1: 4 sheets of 6 sheets came as ordered; 2 sheets to come"
        );
    }

    #[test]
    fn money_that_covers_the_claim_makes_goods_right_too() {
        let after = answer(&[receipt("A", 10, 24, "light")]);
        let value = Some(Money(Decimal::from(60)));
        assert!(judge(&wanted(Remedy::Send, 6), value, &came(&[], 60), &after).right);
        assert!(!judge(&wanted(Remedy::Send, 6), value, &came(&[], 59), &after).right);
    }

    #[test]
    fn a_credit_below_the_value_says_what_is_to_come() {
        let after = answer(&[receipt("A", 10, 24, "light")]);
        let value = Some(Money(Decimal::from(60)));
        let judged = judge(&wanted(Remedy::Credit, 6), value, &came(&[], 45), &after);
        assert!(!judged.right);
        assert_eq!(
            judged.parts[0].text,
            "1: 45.00 of 60.00 credited; 15.00 to come"
        );
    }

    #[test]
    fn a_replacement_that_differs_again_is_wrong() {
        let after = answer(&[receipt("A", 10, 30, "dark"), receipt("B", 20, 30, "dark")]);
        let judged = judge(&wanted(Remedy::Replace, 30), None, &came(&["B"], 0), &after);
        assert!(judged.wrong && !judged.right);
        assert!(
            judged.parts[0].wrong[0].starts_with("B: "),
            "{:?}",
            judged.parts[0].wrong
        );
    }
}
