//! Readers of plain values: text, numbers, dates, words. Knows no units; those are in `amount`.

use crate::intake::fields::Problems;
use crate::intake::node::{Node, Value};
use crate::model::money::Money;
use crate::model::problem::Problem;
use crate::model::spot::At;
use crate::model::words::{longer, near, shortened, ticked};
use chrono::{Datelike, NaiveDate};
use rust_decimal::Decimal;
use std::str::FromStr;

/// The longest text of one line that is read, in characters; notes may be longer than any name.
pub const MAX_TEXT: usize = 2_000;
/// The largest amount of anything, a thousand million; nothing at a dock comes near it.
pub const MAX_AMOUNT: Decimal = Decimal::from_parts(1_000_000_000, 0, 0, false, 0);

/// Reads text that is not empty.
pub fn text(node: &Node, problems: &mut Problems) -> Option<String> {
    let text = raw(node, "text", problems)?;
    let trimmed = text.trim();
    if trimmed.is_empty() {
        problems.push(Problem::new(&node.spot, "found nothing, expected text"));
        return None;
    }
    if longer(trimmed, MAX_TEXT) {
        problems.push(Problem::new(
            &node.spot,
            format!(
                "text of {} characters, at most {MAX_TEXT} are read",
                trimmed.chars().count()
            ),
        ));
        return None;
    }
    Some(trimmed.to_owned())
}

/// Reads an identifier: text on one line, for numbers of orders and receipts, codes and names of lines.
pub fn id(node: &Node, problems: &mut Problems) -> Option<String> {
    let text = text(node, problems)?;
    if text.contains(['\n', '\t']) || longer(&text, 120) {
        problems.push(Problem::new(
            &node.spot,
            format!(
                "found `{}`, expected one line of at most 120 characters",
                shortened(&text)
            ),
        ));
        return None;
    }
    Some(text)
}

/// Reads an identifier that names a file or a folder of the shop, so that it cannot lead out of it.
pub fn slug(node: &Node, problems: &mut Problems) -> Option<String> {
    let text = id(node, problems)?;
    if is_slug(&text) {
        return Some(text);
    }
    problems.push(
        Problem::new(
            &node.spot,
            format!(
                "found `{}`, expected a name that can be a file name",
                shortened(&text)
            ),
        )
        .hint("letters, digits, `.`, `_` and `-`, starting with a letter or digit"),
    );
    None
}

/// Returns whether the text can be a file name anywhere: letters, digits, `.`, `_`, `-`, not starting with a dot or
/// dash, at most 80 characters.
pub fn is_slug(text: &str) -> bool {
    !longer(text, 80)
        && text.chars().next().is_some_and(char::is_alphanumeric)
        && text
            .chars()
            .all(|c| c.is_alphanumeric() || matches!(c, '.' | '_' | '-'))
}

/// Reads text and keeps its place.
pub fn id_at(node: &Node, problems: &mut Problems) -> Option<At<String>> {
    id(node, problems).map(|value| At {
        value,
        spot: node.spot.clone(),
    })
}

/// Reads a slug and keeps its place.
pub fn slug_at(node: &Node, problems: &mut Problems) -> Option<At<String>> {
    slug(node, problems).map(|value| At {
        value,
        spot: node.spot.clone(),
    })
}

/// Reads a date.
pub fn date(node: &Node, problems: &mut Problems) -> Option<NaiveDate> {
    let text = raw(node, "a date as `2026-03-19`", problems)?;
    let whole = text.len() == 10
        && text.bytes().enumerate().all(|(place, byte)| match place {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        });
    let date = NaiveDate::from_str(text).ok();
    match date {
        Some(date) if whole && (1950..2200).contains(&date.year()) => Some(date),
        Some(_) | None => {
            problems.push(
                Problem::new(
                    &node.spot,
                    format!("found {}, expected a date as `2026-03-19`", node.found()),
                )
                .hint("year, month, day; the day must exist"),
            );
            None
        }
    }
}

/// Reads `true` or `false`.
pub fn flag(node: &Node, problems: &mut Problems) -> Option<bool> {
    match raw(node, "`true` or `false`", problems)? {
        "true" | "yes" => Some(true),
        "false" | "no" => Some(false),
        _ => {
            problems.push(Problem::new(
                &node.spot,
                format!("found {}, expected `true` or `false`", node.found()),
            ));
            None
        }
    }
}

/// Reads one of a few words.
pub fn word<T: Copy>(node: &Node, words: &[(&str, T)], problems: &mut Problems) -> Option<T> {
    let names = || words.iter().map(|(name, _)| *name);
    let text = raw(node, &ticked(names()), problems)?;
    if let Some((_, value)) = words.iter().find(|(name, _)| *name == text) {
        return Some(*value);
    }
    let problem = Problem::new(
        &node.spot,
        format!("found {}, expected {}", node.found(), ticked(names())),
    );
    problems.push(match near(text, names()) {
        Some(name) => problem.hint(format!("did you mean `{name}`?")),
        None => problem,
    });
    None
}

/// Reads a whole number from 0 to 1,000,000.
pub fn whole(node: &Node, problems: &mut Problems) -> Option<u32> {
    let text = raw(node, "a whole number", problems)?;
    match text.parse::<u32>() {
        Ok(number) if number <= 1_000_000 && !text.starts_with('+') => Some(number),
        Ok(_) | Err(_) => {
            problems.push(Problem::new(
                &node.spot,
                format!("found {}, expected a whole number", node.found()),
            ));
            None
        }
    }
}

/// Reads money: not negative, at most four decimals (prices per foot have them).
pub fn money(node: &Node, problems: &mut Problems) -> Option<Money> {
    let amount = decimal(node, "an amount of money as `212.50`", problems)?;
    if amount.normalize().scale() > 4 {
        problems.push(Problem::new(
            &node.spot,
            format!("found {}, expected at most four decimals", node.found()),
        ));
        return None;
    }
    Some(Money(amount))
}

/// Reads money and keeps its place.
pub fn money_at(node: &Node, problems: &mut Problems) -> Option<At<Money>> {
    money(node, problems).map(|value| At {
        value,
        spot: node.spot.clone(),
    })
}

/// Reads a number that is not negative and not larger than any real one.
pub fn decimal(node: &Node, expected: &str, problems: &mut Problems) -> Option<Decimal> {
    let text = raw(node, expected, problems)?;
    match exact_number(text) {
        Ok(amount) => Some(amount),
        Err(why) => {
            problems.push(not_a_number(node, expected, why));
            None
        }
    }
}

/// Makes the problem for text that is no number.
pub fn not_a_number(node: &Node, expected: &str, why: NotNumber) -> Problem {
    let problem = Problem::new(
        &node.spot,
        format!("found {}, expected {expected}", node.found()),
    );
    match why {
        NotNumber::Negative => {
            problem.hint("an amount is never negative; what was sent back is a receipt of its own")
        }
        NotNumber::TooLarge => {
            problem.hint(format!("larger than any real one: at most {MAX_AMOUNT}"))
        }
        NotNumber::Comma => problem.hint("write numbers without commas: 1200, 12.5"),
        NotNumber::TooFine => problem.hint("at most ten decimals are read"),
        NotNumber::Endless => problem.hint(
            "a fraction that does not end; write it in a smaller unit: 4 each, not 1/3 dozen",
        ),
        NotNumber::Other => problem,
    }
}

/// Why text is not a number we take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotNumber {
    /// Below zero.
    Negative,
    /// Above `MAX_AMOUNT`.
    TooLarge,
    /// Holds a comma.
    Comma,
    /// More decimals than any real one.
    TooFine,
    /// A fraction that does not end, such as 1/3.
    Endless,
    /// Anything else.
    Other,
}

/// Reads an amount that is counted or paid: as [`number`], but a fraction must end.
///
/// # Errors
/// Why it is not a number we take.
pub fn exact_number(text: &str) -> Result<Decimal, NotNumber> {
    let value = number(text)?;
    let below = text.split_once('/').map(|(_, below)| digits(below.trim()));
    match below {
        // What ends has at most ten decimals here, and comes back whole from its own denominator.
        Some(Ok(below)) if !(value * below).is_integer() || value.scale() > 10 => {
            Err(NotNumber::Endless)
        }
        Some(_) | None => Ok(value),
    }
}

/// Reads `8`, `8.5`, `1/2`, `48 1/2` and `48-1/2`.
///
/// # Errors
/// Why it is not a number we take.
pub fn number(text: &str) -> Result<Decimal, NotNumber> {
    let text = text.trim();
    if text.starts_with('-') {
        return Err(NotNumber::Negative);
    }
    if text.contains(',') {
        return Err(NotNumber::Comma);
    }
    let value = match text.split_once('/') {
        None => plain(text)?,
        Some((left, below)) => {
            let left = left.trim_end();
            let (whole, above) = match left.rsplit_once([' ', '-']) {
                Some((whole, above)) => (plain(whole.trim_end())?, above),
                None => (Decimal::ZERO, left),
            };
            let (above, below) = (digits(above)?, digits(below.trim_start())?);
            let part = above.checked_div(below).ok_or(NotNumber::Other)?;
            if whole != Decimal::ZERO && (part >= Decimal::ONE || !whole.is_integer()) {
                return Err(NotNumber::Other);
            }
            whole + part
        }
    };
    if value > MAX_AMOUNT {
        return Err(NotNumber::TooLarge);
    }
    Ok(value)
}

fn digits(text: &str) -> Result<Decimal, NotNumber> {
    if text.is_empty() || !text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(NotNumber::Other);
    }
    plain(text)
}

fn plain(text: &str) -> Result<Decimal, NotNumber> {
    let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
    let all_digits =
        |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    if !all_digits(whole) || !all_digits(part) {
        return Err(NotNumber::Other);
    }
    let (whole, part) = (whole.trim_start_matches('0'), part.trim_end_matches('0'));
    if whole.len() > 10 {
        return Err(NotNumber::TooLarge);
    }
    if part.len() > 10 {
        return Err(NotNumber::TooFine);
    }
    let scale = u32::try_from(part.len()).map_err(|_| NotNumber::TooFine)?;
    // At most twenty digits.
    let digits = whole
        .bytes()
        .chain(part.bytes())
        .fold(0, |sum, digit| sum * 10 + i128::from(digit - b'0'));
    Ok(Decimal::from_i128_with_scale(digits, scale))
}

/// Returns the text of a scalar.
pub fn raw<'n>(node: &'n Node, expected: &str, problems: &mut Problems) -> Option<&'n str> {
    match &node.value {
        Value::Text { text, quoted } if *quoted || !text.is_empty() => Some(text.trim()),
        Value::Text { .. } | Value::List(_) | Value::Map(_) => {
            problems.push(Problem::new(
                &node.spot,
                format!("found {}, expected {expected}", node.found()),
            ));
            None
        }
    }
}

/// Reads a mapping of names to text: properties, codes, grades. The text may be a number; it stays text.
pub fn names(node: &Node, problems: &mut Problems) -> Option<Vec<(String, String)>> {
    let Value::Map(entries) = &node.value else {
        problems.push(Problem::new(
            &node.spot,
            format!(
                "{} where a mapping as `{{cut: rift}}` was expected",
                node.found()
            ),
        ));
        return None;
    };
    let mut pairs = Vec::with_capacity(entries.len());
    for entry in entries {
        if entry.key.trim().is_empty() {
            problems.push(Problem::new(
                &entry.key_spot,
                "found nothing, expected a name",
            ));
        }
        if let Some(value) = id(&entry.node, problems) {
            pairs.push((entry.key.trim().to_owned(), value));
        }
    }
    Some(pairs)
}

#[cfg(test)]
mod tests {
    use super::{NotNumber, exact_number, is_slug, number};
    use rust_decimal::Decimal;

    fn check(text: &str, expected: &str) {
        assert_eq!(
            number(text),
            Ok(expected.parse::<Decimal>().unwrap()),
            "{text}"
        );
    }

    #[test]
    fn numbers_are_read_as_the_trade_writes_them() {
        check("8", "8");
        check("008.50", "8.5");
        check("1/2", "0.5");
        check("48 1/2", "48.5");
        check("48-1/2", "48.5");
        check("5/4", "1.25");
        check("1000000000", "1000000000");
    }

    #[test]
    fn what_is_no_amount_is_refused_with_its_reason() {
        for (text, why) in [
            ("-3", NotNumber::Negative),
            ("1,200", NotNumber::Comma),
            ("1000000001", NotNumber::TooLarge),
            ("99999999999999999999999999999", NotNumber::TooLarge),
            ("0.00000000001", NotNumber::TooFine),
            ("1e3", NotNumber::Other),
            ("1/0", NotNumber::Other),
            ("+8", NotNumber::Other),
            ("4 5/4", NotNumber::Other),
            ("4.5 1/2", NotNumber::Other),
            ("", NotNumber::Other),
            (".5", NotNumber::Other),
            ("NaN", NotNumber::Other),
        ] {
            assert_eq!(number(text), Err(why), "{text}");
        }
    }

    #[test]
    fn a_fraction_of_an_amount_must_end() {
        assert_eq!(exact_number("1/3"), Err(NotNumber::Endless));
        assert_eq!(exact_number("2/7"), Err(NotNumber::Endless));
        assert_eq!(exact_number("5/8"), Ok("0.625".parse().unwrap()));
        assert_eq!(exact_number("6/3"), Ok("2".parse().unwrap()));
        assert_eq!(exact_number("8"), Ok("8".parse().unwrap()));
    }

    #[test]
    fn a_name_that_leads_out_of_the_folder_is_no_slug() {
        assert!(is_slug("PO-2107") && is_slug("0042"));
        assert!(!is_slug("../x") && !is_slug(".x") && !is_slug("a/b") && !is_slug(""));
    }
}
