//! Days: when does a period end? Knows no notice periods; those are the supplier's, the trade's and the law's.

use crate::model::supplier::Period;
use chrono::{Datelike, Days, NaiveDate, Weekday};

/// Returns the last day of a period that starts with an event on `date`: the day after the event is the first to
/// count. A business day is no Saturday, no Sunday and none of the shop's `holidays`. A period of no days ends on
/// `date` itself; a calendar period may end on any day, because an earlier day is the safer one to be told.
pub fn after(date: NaiveDate, period: Period, holidays: &[NaiveDate]) -> NaiveDate {
    if !period.business {
        return date
            .checked_add_days(Days::new(u64::from(period.days)))
            .unwrap_or(NaiveDate::MAX);
    }
    let mut day = date;
    let mut left = period.days;
    while left > 0 {
        let Some(next) = day.succ_opt() else {
            return NaiveDate::MAX;
        };
        day = next;
        if is_business_day(day, holidays) {
            left -= 1;
        }
    }
    day
}

/// Returns whether business is done on a day: no weekend, no holiday of the shop.
pub fn is_business_day(day: NaiveDate, holidays: &[NaiveDate]) -> bool {
    !matches!(day.weekday(), Weekday::Sat | Weekday::Sun) && !holidays.contains(&day)
}

#[cfg(test)]
mod tests {
    use super::after;
    use crate::model::supplier::Period;
    use chrono::NaiveDate;
    use std::collections::HashSet;

    /// Written by tests/reference/business_days.py with Python `holidays` and numpy `busday_offset`.
    const REFERENCE: &str = include_str!("../../tests/reference/business_days.csv");
    const HOLIDAYS: &str = include_str!("../../tests/reference/business_days_holidays.csv");

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn period(days: u32, business: bool) -> Period {
        Period { days, business }
    }

    #[test]
    fn business_days_of_three_years_are_those_of_numpy() {
        let holidays: Vec<NaiveDate> = HOLIDAYS.lines().map(day).collect();
        assert!(holidays.contains(&day("2026-07-03")));
        let mut starts = HashSet::new();
        for row in REFERENCE.lines().skip(1) {
            let cells: Vec<&str> = row.split(',').collect();
            starts.insert(cells[0]);
            for (days, end) in [1, 2, 3, 5, 10, 30].into_iter().zip(&cells[1..]) {
                assert_eq!(
                    after(day(cells[0]), period(days, true), &holidays),
                    day(end),
                    "{days} business days after {}",
                    cells[0]
                );
            }
        }
        assert_eq!(starts.len(), 1096);
    }

    #[test]
    fn calendar_days_count_weekends_and_a_leap_day() {
        assert_eq!(
            after(day("2028-02-26"), period(10, false), &[]),
            day("2028-03-07")
        );
    }

    #[test]
    fn a_period_of_no_days_ends_the_same_day() {
        assert_eq!(
            after(day("2026-11-28"), period(0, true), &[]),
            day("2026-11-28")
        );
    }
}
