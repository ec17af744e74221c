//! The suppliers' rates with their 95 % intervals as data. Draws none for those of whom it is too few to say.

use crate::review::compare::{Comparison, Counting, Judged, Verdict};
use crate::review::statistics::per_cent;

/// The chart of intervals.
#[derive(Debug, Clone, PartialEq)]
pub struct Intervals {
    /// The heading.
    pub title: String,
    /// What n counts: `lines`.
    pub what: String,
    /// What the part of them is: `not as ordered`.
    pub bad: String,
    /// The average, 0 to 1.
    pub average: f64,
    /// The suppliers in the order given.
    pub rows: Vec<Judged>,
}

impl Intervals {
    /// Makes the chart of a comparison; `None` where nothing was counted.
    pub fn new(title: &str, counting: Counting<'_>, comparison: &Comparison) -> Option<Intervals> {
        Some(Intervals {
            title: title.to_owned(),
            what: counting.what.to_owned(),
            bad: counting.bad.to_owned(),
            average: comparison.average.rate()?,
            rows: comparison.judged.clone(),
        })
    }

    /// Returns a row's figures: `27 of 30 (90.0 %), 74.4 to 96.5 %`.
    pub fn figures(row: &Judged) -> String {
        match row.interval {
            Some(interval) => format!("{}, {}", row.bad.words(), interval.words()),
            None => row.bad.words(),
        }
    }

    /// Returns a row's verdict as it is printed.
    pub fn verdict(row: &Judged) -> &'static str {
        match (row.verdict, row.watch) {
            (Verdict::AsOthers, true) => "as the others, worth watching",
            (verdict, _) => verdict.words(),
        }
    }

    /// Returns the chart in words.
    pub fn words(&self) -> String {
        let mut out = format!(
            "Share of {} {}, with 95 % intervals; the average is {}.",
            self.what,
            self.bad,
            per_cent(self.average)
        );
        for row in &self.rows {
            out.push_str(&format!(
                " {}: {}, {}.",
                row.supplier,
                Self::figures(row),
                Self::verdict(row)
            ));
        }
        out
    }
}
