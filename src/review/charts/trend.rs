//! The p-chart over months as data. Chooses no rule; see `statistics::pchart`.

use crate::review::statistics::pchart::{PChart, Point, mark_words, pchart};
use crate::review::statistics::{Share, per_cent};

/// The p-chart over months.
#[derive(Debug, Clone, PartialEq)]
pub struct Trend {
    /// The heading.
    pub title: String,
    /// What n counts: `lines`.
    pub what: String,
    /// The average, 0 to 1.
    pub average: f64,
    /// The months in order, as they are to be printed, with their points; `None` where nothing was counted.
    pub months: Vec<(String, Option<Point>)>,
}

impl Trend {
    /// Makes the chart of months in time order; `None` where nothing was counted in any.
    pub fn new(title: &str, what: &str, months: &[(String, Share)]) -> Option<Trend> {
        let shares: Vec<Share> = months.iter().map(|(_, share)| *share).collect();
        let PChart { average, points } = pchart(&shares)?;
        let months = months
            .iter()
            .map(|(month, _)| month.clone())
            .zip(points)
            .collect();
        Some(Trend {
            title: title.to_owned(),
            what: what.to_owned(),
            average,
            months,
        })
    }

    /// Returns each change with its month: `2026-05: 9 of 40 (22.5 %) is above the limits of …`.
    pub fn changes(&self) -> Vec<String> {
        self.months
            .iter()
            .filter_map(|(month, point)| {
                Some(format!(
                    "{month}: {}",
                    mark_words(point.as_ref()?, self.average)?
                ))
            })
            .collect()
    }

    /// Returns the chart in words.
    pub fn words(&self) -> String {
        let mut out = format!(
            "Share of {} that were bad, month by month; the average is {}.",
            self.what,
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
