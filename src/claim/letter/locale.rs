//! How a letter writes dates and money. Knows the written customs of English-speaking countries; translates nothing.

use crate::model::money::Money;
use crate::model::words::MONTHS;
use chrono::{Datelike, NaiveDate};

/// Words of the program that are spelled otherwise in the United States.
const SPELLED: [(&str, &str); 4] = [
    ("labour", "labor"),
    ("centre", "center"),
    ("colour", "color"),
    ("metre", "meter"),
];

/// A custom of writing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Locale {
    /// `March 19, 2026`, `1,700.00 USD`.
    UnitedStates,
    /// `19 March 2026`, `1,700.00 GBP`.
    DayFirst,
    /// `2026-03-19`, `1 700.00 EUR`: digits grouped by a no-break space (ISO 80000-1).
    Iso,
}

impl Locale {
    /// Returns the locale of a shop's setting; one that is not known writes dates so that nobody can misread them.
    pub fn of(setting: Option<&str>) -> Locale {
        match setting
            .map(|text| text.trim().to_ascii_lowercase())
            .as_deref()
        {
            None | Some("en-us" | "en_us" | "en") => Locale::UnitedStates,
            Some("en-gb" | "en_gb" | "en-ie" | "en-au" | "en-nz" | "en-ca" | "en-za") => {
                Locale::DayFirst
            }
            Some(_) => Locale::Iso,
        }
    }

    /// Writes a date.
    pub fn date(self, date: NaiveDate) -> String {
        let month = MONTHS[date.month0() as usize];
        match self {
            Locale::UnitedStates => format!("{month} {}, {}", date.day(), date.year()),
            Locale::DayFirst => format!("{} {month} {}", date.day(), date.year()),
            Locale::Iso => date.to_string(),
        }
    }

    /// Writes money with its currency.
    pub fn money(self, money: Money, currency: &str) -> String {
        format!("{} {currency}", self.grouped(&money.to_string()))
    }

    /// Groups the digits of every amount with two decimals in a text: `at 1212.50` becomes `at 1,212.50`.
    pub fn grouped(self, text: &str) -> String {
        let mut out = String::with_capacity(text.len());
        let mut rest = text;
        while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
            let (before, number) = rest.split_at(start);
            out.push_str(before);
            let end = number
                .find(|c: char| !c.is_ascii_digit() && c != '.')
                .unwrap_or(number.len());
            let (number, after) = number.split_at(end);
            out.push_str(&self.amount(number, before));
            rest = after;
        }
        out.push_str(rest);
        out
    }

    /// Writes every date of a text, `2026-03-19`, in the locale's way.
    pub fn dated(self, text: &str) -> String {
        let mut out = String::with_capacity(text.len());
        let mut rest = text;
        let mut before: Option<char> = None;
        while let Some(c) = rest.chars().next() {
            let part_of_more =
                |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || matches!(c, '-' | '/'));
            let date = rest
                .get(..10)
                .filter(|_| !part_of_more(before) && !part_of_more(rest[10..].chars().next()))
                .and_then(|day| NaiveDate::parse_from_str(day, "%Y-%m-%d").ok());
            let used = match date {
                Some(date) => {
                    out.push_str(&self.date(date));
                    10
                }
                None => {
                    out.push(c);
                    c.len_utf8()
                }
            };
            before = rest[..used].chars().next_back();
            rest = &rest[used..];
        }
        out
    }

    /// Spells a text of the program's own in the locale's way; it is written in British spelling.
    pub fn spelled(self, text: &str) -> String {
        match self {
            Locale::UnitedStates => SPELLED
                .iter()
                .fold(text.to_owned(), |text, (british, american)| {
                    text.replace(british, american)
                }),
            Locale::DayFirst | Locale::Iso => text.to_owned(),
        }
    }

    /// Returns how a letter closes.
    pub const fn closing(self) -> &'static str {
        match self {
            Locale::UnitedStates => "Sincerely,",
            Locale::DayFirst | Locale::Iso => "Yours faithfully,",
        }
    }

    fn amount(self, number: &str, before: &str) -> String {
        let part_of_a_code = before
            .chars()
            .next_back()
            .is_some_and(|c| c.is_alphanumeric() || matches!(c, '-' | '/' | '_' | ','));
        match number.split_once('.') {
            Some((whole, cents)) if cents.len() == 2 && whole.len() > 3 && !part_of_a_code => {
                let comma = match self {
                    Locale::UnitedStates | Locale::DayFirst => ',',
                    Locale::Iso => '\u{a0}',
                };
                let mut grouped = String::new();
                for (place, digit) in whole.chars().enumerate() {
                    if place > 0 && (whole.len() - place) % 3 == 0 {
                        grouped.push(comma);
                    }
                    grouped.push(digit);
                }
                format!("{grouped}.{cents}")
            }
            Some(_) | None => number.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Locale;
    use crate::model::money::Money;

    #[test]
    fn dates_and_money_follow_the_setting() {
        let date = "2026-03-09".parse().unwrap();
        let money = Money("1234567.5".parse().unwrap());
        for (setting, day, amount) in [
            (None, "March 9, 2026", "1,234,567.50 USD"),
            (Some("en-GB"), "9 March 2026", "1,234,567.50 USD"),
            (Some("de-DE"), "2026-03-09", "1\u{a0}234\u{a0}567.50 USD"),
        ] {
            let locale = Locale::of(setting);
            assert_eq!(locale.date(date), day);
            assert_eq!(locale.money(money, "USD"), amount);
        }
    }

    #[test]
    fn dates_in_a_text_are_written_out_and_numbers_that_look_alike_stay() {
        let text = "promised 2026-03-20, came 2026-04-02; slip 12026-03-20, 2026-13-01, Ä";
        assert_eq!(
            Locale::UnitedStates.dated(text),
            "promised March 20, 2026, came April 2, 2026; slip 12026-03-20, 2026-13-01, Ä"
        );
    }

    #[test]
    fn labour_is_spelled_by_the_shops_country() {
        assert_eq!(Locale::UnitedStates.spelled("labour lost"), "labor lost");
        assert_eq!(Locale::DayFirst.spelled("labour lost"), "labour lost");
        assert_eq!(Locale::of(Some("en-US")).closing(), "Sincerely,");
        assert_eq!(Locale::of(Some("en-GB")).closing(), "Yours faithfully,");
    }

    #[test]
    fn only_amounts_of_money_are_grouped() {
        let text = "leaf 3318/1400, 12000 screws at 0.0145, 2 at 1212.50 = 2425.00";
        assert_eq!(
            Locale::UnitedStates.grouped(text),
            "leaf 3318/1400, 12000 screws at 0.0145, 2 at 1,212.50 = 2,425.00"
        );
    }
}
