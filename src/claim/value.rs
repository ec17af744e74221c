//! Money: what a loss is worth, with its arithmetic in words. Chooses no remedy.
//!
//! Every extension is rounded to cents, half away from zero, as invoices are; sums are of rounded amounts.

use crate::check::case::Case;
use crate::check::item::same_item;
use crate::check::measure;
use crate::model::finding::Finding;
use crate::model::money::Money;
use crate::model::order::{Law, OrderLine};
use crate::model::quantity::Quantity;
use rust_decimal::Decimal;

/// An amount of money and how it came about; no amount where no price is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Worth {
    /// The amount, rounded to cents.
    pub value: Option<Money>,
    /// The arithmetic: `2 sheets at 212.50 = 425.00`, or why there is none.
    pub arithmetic: String,
}

impl Worth {
    /// Nothing is asked in money.
    pub fn nothing(why: impl Into<String>) -> Self {
        Worth {
            value: Some(Money::ZERO),
            arithmetic: why.into(),
        }
    }

    fn unknown(why: impl Into<String>) -> Self {
        Worth {
            value: None,
            arithmetic: why.into(),
        }
    }
}

/// Returns what an amount of a line's unit costs at the order's price.
pub fn at_order_price(line: &OrderLine, units: Decimal) -> Worth {
    let amount = measure::said(line, units.normalize());
    let Some(price) = line.unit_price else {
        return Worth::unknown(format!(
            "{amount}: value not known, the order has no price for line {}",
            line.line
        ));
    };
    match priced(line, units) {
        Some(priced) if line.per == amount.unit => Worth {
            value: Some(price.times(priced)),
            arithmetic: format!(
                "{amount} at {} = {}",
                unit_price(price),
                price.times(priced)
            ),
        },
        Some(priced) => Worth {
            value: Some(price.times(priced)),
            arithmetic: format!(
                "{amount} is {}, at {} for one {} = {}",
                Quantity::new(priced.normalize(), line.per),
                unit_price(price),
                line.per,
                price.times(priced)
            ),
        },
        None => Worth::unknown(format!(
            "{amount}: value not known, line {} is priced by the {} and {} does not convert to it",
            line.line, line.per, line.quantity.unit
        )),
    }
}

/// Returns an amount of the line's unit in the unit its price is for.
pub(crate) fn priced(line: &OrderLine, units: Decimal) -> Option<Decimal> {
    if line.per == line.quantity.unit {
        return Some(units);
    }
    let amount = Quantity::new(units, line.quantity.unit);
    measure::convert(amount, line.per, line, None, &line.spot).ok()
}

/// Writes a unit price with two decimals, or with as many as it has: a screw may cost 0.0145.
pub fn unit_price(price: Money) -> String {
    let plain = price.0.normalize();
    if plain.scale() <= 2 {
        price.to_string()
    } else {
        plain.to_string()
    }
}

/// Returns the reduction for goods of a lower grade that are kept: the difference of the two order prices, where
/// another line of the order has the same item in the grade that came, by its code or by what else is said of it.
pub fn grades_apart(case: &Case<'_>, line: &OrderLine, finding: &Finding, units: Decimal) -> Worth {
    let came = finding.found.as_deref().unwrap_or("the grade that came");
    let amount = measure::said(line, units.normalize());
    let of_that_grade = |other: &&OrderLine| {
        other.per == line.per
            && other.scale == line.scale
            && other.unit_price.is_some()
            && other
                .grade
                .as_ref()
                .is_some_and(|grade| grade.grade.eq_ignore_ascii_case(came))
    };
    let same_code = |other: &&OrderLine| match (&line.item, &other.item) {
        (Some(wanted), Some(item)) => same_item(case, wanted, item),
        (Some(_) | None, _) => false,
    };
    let lines = || case.order.lines.iter().filter(of_that_grade);
    let other = lines()
        .find(same_code)
        .or_else(|| lines().find(|other| alike(line, other)));
    let prices = line
        .unit_price
        .zip(other.and_then(|other| other.unit_price));
    match (prices, other, priced(line, units)) {
        (Some((ordered, lower)), Some(other), Some(priced)) => {
            let difference = ordered - lower;
            let value = difference.times(priced);
            Worth {
                value: Some(value),
                arithmetic: format!(
                    "{amount} at the difference of {} and {}, the price of {came} on line {} ({}) = {value}",
                    unit_price(ordered),
                    unit_price(lower),
                    other.line,
                    unit_price(difference)
                ),
            }
        }
        (Some(_) | None, _, _) => Worth::unknown(format!(
            "{amount}: the reduction is to be agreed, the order has no price for {came}"
        )),
    }
}

/// Whether two lines are the same goods but for their grade: of one size, one finish, and one description once the word
/// for the grade is left out.
fn alike(line: &OrderLine, other: &OrderLine) -> bool {
    let words = |line: &OrderLine| -> Option<Vec<String>> {
        let grade = line.grade.as_ref()?.grade.to_lowercase();
        Some(
            line.description
                .as_ref()?
                .to_lowercase()
                .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')'))
                .filter(|word| !word.is_empty() && *word != grade)
                .map(str::to_owned)
                .collect(),
        )
    };
    let extents = |line: &OrderLine| {
        line.size.as_ref().map(|size| {
            (
                size.across.length,
                size.along.length,
                size.thickness.as_ref().map(|measure| measure.length),
            )
        })
    };
    extents(line) == extents(other)
        && line.finish == other.finish
        && words(line).is_some_and(|words_of| Some(words_of) == words(other))
}

/// Returns the reduction for goods that are kept and do not conform, from what they are worth, by the order's law.
pub fn kept(law: Law, price: Money, conforming: Money, delivered: Money) -> Worth {
    match law {
        Law::Ucc => {
            let value = ucc_2_714(conforming, delivered);
            Worth {
                value: Some(value),
                arithmetic: format!(
                    "value as warranted {conforming} less value as accepted {delivered} = {value} (UCC 2-714)"
                ),
            }
        }
        Law::Cisg => match cisg_50(price, conforming, delivered) {
            Some(value) => Worth {
                value: Some(value),
                arithmetic: format!(
                    "{price} reduced in the proportion {delivered} to {conforming}: {} to pay, reduction {value} (CISG 50)",
                    price - value
                ),
            },
            None => Worth::unknown(
                "the value of conforming goods is nothing; no proportion can be made",
            ),
        },
    }
}

/// Returns the damages for accepted goods: value as warranted less value as accepted (UCC 2-714(2)).
pub fn ucc_2_714(warranted: Money, accepted: Money) -> Money {
    (warranted - accepted).rounded().max(Money::ZERO)
}

/// Returns the reduction of the price in the proportion that the goods delivered bear to conforming goods (CISG 50);
/// `None` where conforming goods are worth nothing.
pub fn cisg_50(price: Money, conforming: Money, delivered: Money) -> Option<Money> {
    let to_pay = price
        .0
        .checked_mul(delivered.0)?
        .checked_div(conforming.0)?;
    Some((price - Money(to_pay)).rounded().max(Money::ZERO))
}

/// Returns the damages where goods were bought elsewhere: cover less contract price, plus incidental costs, less what
/// was saved (UCC 2-712).
pub fn cover_2_712(cover: Money, contract: Money, incidental: Money, saved: Money) -> Money {
    (cover - contract + incidental - saved).rounded()
}

#[cfg(test)]
mod tests {
    use super::{cisg_50, cover_2_712, kept, ucc_2_714};
    use crate::model::money::Money;
    use crate::model::order::Law;

    fn money(text: &str) -> Money {
        Money(text.parse().unwrap())
    }

    /// Values: check-values, law (plain arithmetic on CISG 50 and UCC 2-714): 7,400 x 6,000/8,000 = 5,550.
    #[test]
    fn kept_goods_are_worth_1850_less_by_cisg_and_2000_by_ucc() {
        assert_eq!(
            cisg_50(money("7400"), money("8000"), money("6000")),
            Some(money("1850.00"))
        );
        assert_eq!(ucc_2_714(money("8000"), money("6000")), money("2000.00"));
        let cisg = kept(Law::Cisg, money("7400"), money("8000"), money("6000"));
        assert!(
            cisg.arithmetic
                .contains("5550.00 to pay, reduction 1850.00")
        );
    }

    /// Values: check-values, law: 8,100 - 7,400 + 220 = 920 (UCC 2-712).
    #[test]
    fn cover_costs_920() {
        assert_eq!(
            cover_2_712(money("8100"), money("7400"), money("220"), Money::ZERO),
            money("920.00")
        );
    }

    #[test]
    fn a_proportion_of_nothing_is_not_known() {
        assert_eq!(cisg_50(money("10"), Money::ZERO, money("5")), None);
    }
}
