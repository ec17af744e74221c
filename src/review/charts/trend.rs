//! The p-chart over months as data. Chooses no rule; see `statistics::pchart`.

use crate::review::compare::Counting;
use crate::review::statistics::pchart::{Mark, PChart, Point, mark_words, pchart};
use crate::review::statistics::{Share, per_cent};

/// The p-chart over months.
#[derive(Debug, Clone, PartialEq)]
pub struct Trend {
    /// The heading.
    pub title: String,
    /// What n counts: `lines`.
    pub what: String,
    /// What the part of them is: `not as ordered`.
    pub bad: String,
    /// The average, 0 to 1.
    pub average: f64,
    /// The months in order, as they are to be printed, with their points; `None` where nothing was counted.
    pub months: Vec<(String, Option<Point>)>,
}

impl Trend {
    /// Makes the chart of months in time order; `None` where nothing was counted in any.
    pub fn new(title: &str, counting: Counting<'_>, months: &[(String, Share)]) -> Option<Trend> {
        let shares: Vec<Share> = months.iter().map(|(_, share)| *share).collect();
        let PChart { average, points } = pchart(&shares)?;
        let months = months
            .iter()
            .map(|(month, _)| month.clone())
            .zip(points)
            .collect();
        Some(Trend {
            title: title.to_owned(),
            what: counting.what.to_owned(),
            bad: counting.bad.to_owned(),
            average,
            months,
        })
    }

    /// Returns each change with its month, or its months for a run: `2026-05: 9 of 40 (22.5 %) is above the limits
    /// of 0.0 to 21.4 % for this many`, `2025-01 to 2025-12: 12 points in a row above the average of 6.2 %`.
    pub fn changes(&self) -> Vec<String> {
        let marked: Vec<(&str, &Point, Mark)> = self
            .months
            .iter()
            .filter_map(|(month, point)| Some((month.as_str(), point.as_ref()?)))
            .filter_map(|(month, point)| Some((month, point, point.mark?)))
            .collect();
        marked
            .chunk_by(|(_, _, a), (_, _, b)| a == b && matches!(a, Mark::Run(..)))
            .filter_map(|same| {
                let ((first, point, _), (last, _, _)) = (same.first()?, same.last()?);
                let months = if first == last {
                    (*first).to_owned()
                } else {
                    format!("{first} to {last}")
                };
                Some(format!("{months}: {}", mark_words(point, self.average)?))
            })
            .collect()
    }

    /// Returns the chart in words.
    pub fn words(&self) -> String {
        let mut out = format!(
            "Share of {} {}, month by month; the average is {}.",
            self.what,
            self.bad,
            per_cent(self.average)
        );
        for (month, point) in &self.months {
            match point {
                Some(point) => out.push_str(&format!(" {month}: {}.", point.share.words())),
                None => out.push_str(&format!(" {month}: none received.")),
            }
        }
        match self.changes().as_slice() {
            [] => out.push_str(" No month marks a change."),
            changes => out.push_str(&format!(" Changes: {}.", changes.join("; "))),
        }
        out
    }
}
