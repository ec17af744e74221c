//! Readers of amounts with units: quantities, lengths, sizes, periods, tolerances. Compares nothing.

use crate::intake::fields::Problems;
use crate::intake::node::Node;
use crate::intake::text::{NotNumber, exact_number, not_a_number, number, raw};
use crate::model::length::Length;
use crate::model::order::Slack;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::size::{Measure, Size};
use crate::model::spot::At;
use crate::model::supplier::Period;
use crate::model::unit::{Dimension, Unit};
use crate::model::words::{evenly_spaced, shortened};
use crate::trade::units;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

const AMOUNT: &str = "an amount with its unit, as `8 sheet`";
const SIZE: &str = "a size as `48 in x 120 in`, across the grain x along the grain";
const LENGTH: &str = "a length as `48 1/2 in`";

/// Reads a quantity of zero or more.
pub fn quantity(node: &Node, problems: &mut Problems) -> Option<Quantity> {
    let text = raw(node, AMOUNT, problems)?;
    let Some((amount, unit)) = split_unit(text) else {
        problems.push(
            Problem::new(
                &node.spot,
                format!("found {}, expected {AMOUNT}", node.found()),
            )
            .hint("number first, then the unit"),
        );
        return None;
    };
    let amount = match exact_number(amount) {
        Ok(amount) => amount,
        Err(why) => {
            problems.push(not_a_number(node, AMOUNT, why));
            return None;
        }
    };
    Some(Quantity::new(amount, known_unit(node, unit, problems)?))
}

/// Reads a quantity above zero.
pub fn some_quantity(node: &Node, problems: &mut Problems) -> Option<Quantity> {
    let quantity = quantity(node, problems)?;
    if quantity.amount.is_zero() {
        problems.push(Problem::new(
            &node.spot,
            format!("found {}, expected more than nothing", node.found()),
        ));
        return None;
    }
    Some(quantity)
}

/// Reads a quantity and keeps its place.
pub fn quantity_at(node: &Node, problems: &mut Problems) -> Option<At<Quantity>> {
    quantity(node, problems).map(|value| At {
        value,
        spot: node.spot.clone(),
    })
}

/// Reads a unit alone.
pub fn unit(node: &Node, problems: &mut Problems) -> Option<Unit> {
    let text = raw(node, "a unit as `sheet`", problems)?;
    known_unit(node, text, problems)
}

fn known_unit(node: &Node, text: &str, problems: &mut Problems) -> Option<Unit> {
    if text.is_empty() {
        problems.push(
            Problem::new(
                &node.spot,
                format!("found {} without a unit, expected {AMOUNT}", node.found()),
            )
            .hint("say of what: `each`, `sheet`, `box`, `bd ft`"),
        );
        return None;
    }
    if let Some(unit) = units::named(text) {
        return Some(unit);
    }
    let problem = Problem::new(&node.spot, format!("unknown unit `{}`", shortened(text)));
    problems.push(match near_unit(text) {
        Some(name) => problem.hint(format!("did you mean `{name}`?")),
        None => problem.hint("as `each`, `pair`, `box`, `sheet`, `leaf`, `sq ft`, `bd ft`, `gal`; the README lists them"),
    });
    None
}

fn near_unit(text: &str) -> Option<&'static str> {
    // No unit has a name this long, and nearness costs the square of the length.
    if text.len() > 40 {
        None
    } else {
        units::near(text)
    }
}

/// Splits `48 1/2 in` into its number and its unit; `None` where it does not start with a digit or a sign.
fn split_unit(text: &str) -> Option<(&str, &str)> {
    let number_part = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' ' | '-');
    let end = text
        .char_indices()
        .find(|(_, c)| !number_part(*c))
        .map_or(text.len(), |(index, _)| index);
    let (amount, unit) = text.split_at(end);
    // A dash before the unit (`6-sheet`) belongs to the words, not to the number.
    let amount = amount.trim_end_matches(['-', ' ']);
    amount
        .starts_with(|c: char| c.is_ascii_digit() || c == '-')
        .then_some((amount, unit.trim()))
}

/// Reads a length above zero.
pub fn measure(node: &Node, problems: &mut Problems) -> Option<Measure> {
    let measure = any_measure(node, problems)?;
    if measure.length == Length::ZERO {
        problems.push(Problem::new(
            &node.spot,
            format!("found {}, expected a length above zero", node.found()),
        ));
        return None;
    }
    Some(measure)
}

/// Reads a length of zero or more, for tolerances and places.
pub fn any_measure(node: &Node, problems: &mut Problems) -> Option<Measure> {
    let text = raw(node, LENGTH, problems)?;
    match length(text, None) {
        Ok(measure) => Some(measure),
        Err(why) => {
            problems.push(bad_length(node, LENGTH, why));
            None
        }
    }
}

/// Reads a size; every extent is above zero.
pub fn size(node: &Node, problems: &mut Problems) -> Option<Size> {
    let size = place_or_size(node, SIZE, problems)?;
    let extents = [
        Some(&size.across),
        Some(&size.along),
        size.thickness.as_ref(),
    ];
    if extents
        .iter()
        .flatten()
        .any(|extent| extent.length == Length::ZERO)
    {
        problems.push(Problem::new(
            &node.spot,
            format!("found {}, expected every extent above zero", node.found()),
        ));
        return None;
    }
    Some(size)
}

/// Reads a place on a leaf, `12 in x 40 in`: from the left edge x from the butt end; zero is allowed.
pub fn place(node: &Node, problems: &mut Problems) -> Option<(Length, Length)> {
    let place = place_or_size(
        node,
        "a place as `12 in x 40 in`, from the left edge x from the butt end",
        problems,
    )?;
    Some((place.across.length, place.along.length))
}

fn place_or_size(node: &Node, expected: &str, problems: &mut Problems) -> Option<Size> {
    let text = raw(node, expected, problems)?;
    let parts: Vec<&str> = split_by_x(text);
    if !(2..=3).contains(&parts.len()) {
        problems.push(Problem::new(
            &node.spot,
            format!("found {}, expected {expected}", node.found()),
        ));
        return None;
    }
    // `48 x 96 in` states the unit once, as the trade does.
    let shared = parts.last().and_then(|last| trailing_unit(last));
    let mut extents = Vec::with_capacity(3);
    for part in &parts {
        match length(part, shared) {
            Ok(extent) => extents.push(extent),
            Err(why) => {
                problems.push(bad_length(node, expected, why));
                return None;
            }
        }
    }
    let thickness = if extents.len() == 3 {
        extents.pop()
    } else {
        None
    };
    let along = extents.pop()?;
    let across = extents.pop()?;
    Some(Size {
        across,
        along,
        thickness,
    })
}

/// Splits at an `x`, `X` or `×` that stands between extents, not inside a word.
fn split_by_x(text: &str) -> Vec<&str> {
    text.split(['x', 'X', '×']).map(str::trim).collect()
}

fn trailing_unit(text: &str) -> Option<Unit> {
    let (_, unit) = split_unit(text)?;
    units::named(unit)
}

enum BadLength {
    Number(NotNumber),
    NoUnit,
    Unit(String),
}

fn bad_length(node: &Node, expected: &str, why: BadLength) -> Problem {
    match why {
        BadLength::Number(why) => not_a_number(node, expected, why),
        BadLength::NoUnit => Problem::new(
            &node.spot,
            format!("found {} without a unit, expected {expected}", node.found()),
        )
        .hint("say whether it is `in`, `ft`, `mm`, `cm` or `m`"),
        BadLength::Unit(unit) => {
            let problem = Problem::new(
                &node.spot,
                format!("unknown unit of length `{}`", shortened(&unit)),
            );
            match near_unit(&unit) {
                Some(name) => problem.hint(format!("did you mean `{name}`?")),
                None => problem.hint("`in`, `ft`, `mm`, `cm` or `m`"),
            }
        }
    }
}

/// Reads `48 1/2 in`, `4 ft`, `4 ft 6 in`, `1220 mm`; `shared` is the unit that a neighbour states.
fn length(text: &str, shared: Option<Unit>) -> Result<Measure, BadLength> {
    let (amount, unit_text) =
        split_unit(text.trim()).ok_or(BadLength::Number(if text.starts_with('-') {
            NotNumber::Negative
        } else {
            NotNumber::Other
        }))?;
    let amount = number(amount).map_err(BadLength::Number)?;
    if unit_text.is_empty() {
        let unit = shared.ok_or(BadLength::NoUnit)?;
        let nm = nanometres(amount, unit)?;
        return Ok(Measure {
            length: Length::from_nm(nm),
            text: format!("{} {unit}", evenly_spaced(text)),
        });
    }
    // `4 ft 6 in`: a second number follows the first unit.
    let (unit_text, rest) = match unit_text.find(|c: char| c.is_ascii_digit()) {
        Some(index) => {
            let (unit, rest) = unit_text.split_at(index);
            (unit.trim(), Some(rest))
        }
        None => (unit_text, None),
    };
    let unit = units::named(unit_text).ok_or_else(|| BadLength::Unit(unit_text.to_owned()))?;
    let mut nm = nanometres(amount, unit)?;
    if let Some(rest) = rest {
        let more = if unit == Unit::Foot {
            length(rest, None)?
        } else {
            return Err(BadLength::Number(NotNumber::Other));
        };
        nm = nm
            .checked_add(more.length.nm())
            .ok_or(BadLength::Number(NotNumber::TooLarge))?;
    }
    Ok(Measure {
        length: Length::from_nm(nm),
        text: evenly_spaced(text),
    })
}

/// Returns whole nanometres, the nearest where the text is finer than that (1/42 in, 1/3 in).
fn nanometres(amount: Decimal, unit: Unit) -> Result<i64, BadLength> {
    let metres = match units::dimension(unit) {
        Dimension::Length => units::factor(unit),
        Dimension::Count
        | Dimension::Pack
        | Dimension::Area
        | Dimension::Volume
        | Dimension::Mass
        | Dimension::Liquid => None,
    }
    .ok_or_else(|| BadLength::Unit(unit.name().to_owned()))?;
    let nm = amount
        .checked_mul(metres)
        .and_then(|metres| metres.checked_mul(Decimal::from(1_000_000_000)))
        .and_then(|nm| nm.round().to_i64());
    // A leaf or a panel of a kilometre is a slip of the pen, and sums of lengths must stay far from overflow.
    nm.filter(|nm| *nm <= 1_000_000_000_000)
        .ok_or(BadLength::Number(NotNumber::TooLarge))
}

/// Reads a period: `10 days`, `2 business days`, `1 week`.
pub fn period(node: &Node, problems: &mut Problems) -> Option<Period> {
    let expected = "a period as `5 business days` or `10 days`";
    let text = raw(node, expected, problems)?;
    let (count, words) = text.split_once(' ').unwrap_or((text, ""));
    let days = Some(count)
        .filter(|count| count.bytes().all(|byte| byte.is_ascii_digit()))
        .and_then(|count| count.parse::<u32>().ok())
        .filter(|days| *days <= 3_650);
    let kind = match words.trim().to_lowercase().as_str() {
        "day" | "days" | "calendar day" | "calendar days" => Some((1, false)),
        "business day" | "business days" | "working day" | "working days" => Some((1, true)),
        "week" | "weeks" => Some((7, false)),
        _ => None,
    };
    match (days, kind) {
        (Some(days), Some((factor, business))) => Some(Period {
            days: days * factor,
            business,
        }),
        (Some(_) | None, Some(_) | None) => {
            problems.push(Problem::new(
                &node.spot,
                format!("found {}, expected {expected}", node.found()),
            ));
            None
        }
    }
}

/// Reads a quantity tolerance: `2` in the line's unit, or `10 %`.
pub fn slack(node: &Node, problems: &mut Problems) -> Option<Slack> {
    let expected = "a tolerance as `2` or `10 %`";
    let text = raw(node, expected, problems)?;
    let (amount, per_cent) = match text.strip_suffix('%') {
        Some(amount) => (amount.trim(), true),
        None => (text, false),
    };
    match number(amount) {
        Ok(amount) if !per_cent => Some(Slack::Amount(amount)),
        Ok(amount) if amount <= Decimal::ONE_HUNDRED => Some(Slack::PerCent(amount)),
        Ok(_) => {
            problems.push(not_a_number(node, "at most 100 %", NotNumber::Other));
            None
        }
        Err(why) => {
            problems.push(not_a_number(node, expected, why));
            None
        }
    }
}

/// Reads a per cent: `9 %` or `9`.
pub fn per_cent(node: &Node, problems: &mut Problems) -> Option<Decimal> {
    let expected = "a per cent as `9 %`";
    let text = raw(node, expected, problems)?;
    let amount = text.strip_suffix('%').unwrap_or(text).trim();
    match number(amount) {
        Ok(amount) if amount <= Decimal::ONE_HUNDRED => Some(amount),
        Ok(_) => {
            problems.push(not_a_number(node, "at most 100 %", NotNumber::Other));
            None
        }
        Err(why) => {
            problems.push(not_a_number(node, expected, why));
            None
        }
    }
}

/// Reads a range of per cent: `6-8 %`.
pub fn per_cent_range(node: &Node, problems: &mut Problems) -> Option<(Decimal, Decimal)> {
    let expected = "a range as `6-8 %`";
    let text = raw(node, expected, problems)?;
    let bare = text.strip_suffix('%').unwrap_or(text).trim();
    let ends = bare
        .split_once('-')
        .and_then(|(low, high)| Some((number(low).ok()?, number(high).ok()?)));
    match ends {
        Some((low, high)) if low <= high && high <= Decimal::ONE_HUNDRED => Some((low, high)),
        Some(_) | None => {
            problems.push(Problem::new(
                &node.spot,
                format!("found {}, expected {expected}", node.found()),
            ));
            None
        }
    }
}
