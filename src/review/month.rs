//! Months, and the period of a review: one month and the twelve that end with it. Reads no clock.

use crate::model::words::MONTHS;
use chrono::{Datelike, NaiveDate};
use std::fmt;
use std::str::FromStr;

/// How many months the long period has.
pub const ROLLING: i32 = 12;

/// A month of a year. Prints as `2026-03`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month {
    /// Months since the year 0.
    count: i32,
}

impl Month {
    /// Returns the month of a day.
    pub fn of(day: NaiveDate) -> Month {
        Month {
            count: day.year() * 12 + day.month0() as i32,
        }
    }

    /// Returns the month of a number such as 202603; `None` where it is none.
    pub fn numbered(number: i64) -> Option<Month> {
        let (year, month) = (
            i32::try_from(number / 100).ok()?,
            i32::try_from(number % 100).ok()?,
        );
        ((1..=9999).contains(&year) && (1..=12).contains(&month)).then(|| Month {
            count: year * 12 + month - 1,
        })
    }

    /// Returns the number: 202603 for March 2026.
    pub const fn number(self) -> i64 {
        (self.year() * 100 + self.place() + 1) as i64
    }

    const fn year(self) -> i32 {
        self.count.div_euclid(12)
    }

    const fn place(self) -> i32 {
        self.count.rem_euclid(12)
    }

    /// Returns the month so many before.
    pub const fn back(self, months: i32) -> Month {
        Month {
            count: self.count - months,
        }
    }

    /// Returns its first day.
    pub fn first(self) -> NaiveDate {
        NaiveDate::from_ymd_opt(self.year(), self.place() as u32 + 1, 1)
            .expect("a month of the calendar has a first day")
    }

    /// Returns its last day.
    pub fn last(self) -> NaiveDate {
        self.back(-1)
            .first()
            .pred_opt()
            .expect("a day stands before every first of a month")
    }

    /// Returns it in words: `March 2026`.
    pub fn words(self) -> String {
        format!("{} {}", MONTHS[self.place() as usize], self.year())
    }
}

impl fmt::Display for Month {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}", self.year(), self.place() + 1)
    }
}

impl FromStr for Month {
    type Err = String;

    fn from_str(text: &str) -> Result<Month, String> {
        let wrong = || format!("`{text}` is no month, expected YYYY-MM such as 2026-03");
        let (year, month) = text.split_once('-').ok_or_else(wrong)?;
        if year.len() != 4
            || month.len() != 2
            || !text.bytes().all(|b| b.is_ascii_digit() || b == b'-')
        {
            return Err(wrong());
        }
        let number = |digits: &str| digits.parse::<i64>().map_err(|_| wrong());
        Month::numbered(number(year)? * 100 + number(month)?).ok_or_else(wrong)
    }
}

/// What a review is about: a month, the twelve that end with it, and the day up to which things count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Period {
    /// The month.
    pub month: Month,
    /// The last day of the month, or today where the month is not over.
    pub as_of: NaiveDate,
}

impl Period {
    /// Makes the period of a month, seen today.
    pub fn new(month: Month, today: NaiveDate) -> Period {
        Period {
            month,
            as_of: month.last().min(today),
        }
    }

    /// Returns the first of the twelve months.
    pub const fn from(self) -> Month {
        self.month.back(ROLLING - 1)
    }

    /// Returns the twelve months in order.
    pub fn months(self) -> impl Iterator<Item = Month> {
        (0..ROLLING).rev().map(move |back| self.month.back(back))
    }

    /// Tells whether a month is one of the twelve.
    pub fn holds(self, month: Month) -> bool {
        self.from() <= month && month <= self.month
    }

    /// Returns it in words: `March 2026 and the twelve months from April 2025`.
    pub fn words(self) -> String {
        format!(
            "{} and the twelve months from {}",
            self.month.words(),
            self.from().words()
        )
    }
}

#[cfg(test)]
mod tests {
    use super::{Month, Period};

    #[test]
    fn a_month_goes_back_over_the_turn_of_the_year_and_ends_on_its_last_day() {
        let march: Month = "2026-03".parse().unwrap();
        assert_eq!(march.number(), 202_603);
        assert_eq!(march.back(3).to_string(), "2025-12");
        assert_eq!(march.back(11).words(), "April 2025");
        assert_eq!(march.back(1).last().to_string(), "2026-02-28");
        assert_eq!(
            Month::numbered(202_402).unwrap().last().to_string(),
            "2024-02-29"
        );
    }

    #[test]
    fn what_is_no_month_is_refused() {
        for text in [
            "2026-13", "2026-00", "2026", "26-03", "2026-3", "2026-+3", "0000-01",
        ] {
            assert!(text.parse::<Month>().is_err(), "{text}");
        }
    }

    #[test]
    fn a_month_that_is_not_over_counts_up_to_today() {
        let month: Month = "2026-03".parse().unwrap();
        let today = "2026-03-10".parse().unwrap();
        assert_eq!(Period::new(month, today).as_of, today);
        let later = "2026-05-10".parse().unwrap();
        assert_eq!(Period::new(month, later).as_of, month.last());
        assert_eq!(Period::new(month, later).months().count(), 12);
    }
}
