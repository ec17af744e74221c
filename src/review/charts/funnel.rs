//! The funnel of suppliers: rate against n, with the limits around the shop's average. Judges no one; see `compare`.

use crate::review::compare::{Comparison, Counting, Verdict};
use crate::review::statistics::funnel::limits;
use crate::review::statistics::{Level, Share, per_cent};

/// One supplier in the funnel.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// The supplier.
    pub name: String,
    /// Bad of all.
    pub bad: Share,
    /// Its rate, 0 to 1.
    pub rate: f64,
    /// What is said about it.
    pub verdict: Verdict,
    /// Worth watching.
    pub watch: bool,
}

/// The limit lines at one n; `None` where no count of that n is outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// The n.
    pub n: u64,
    /// The lower and the upper 95 % line.
    pub inner: (Option<f64>, Option<f64>),
    /// The lower and the upper 99.8 % line.
    pub outer: (Option<f64>, Option<f64>),
}

/// The funnel.
#[derive(Debug, Clone, PartialEq)]
pub struct Funnel {
    /// The heading.
    pub title: String,
    /// What n counts: `lines`.
    pub what: String,
    /// What the part of them is: `not as ordered`.
    pub bad: String,
    /// The average, 0 to 1.
    pub average: f64,
    /// The suppliers with at least one counted.
    pub points: Vec<Point>,
    /// The limit lines, by rising n.
    pub bands: Vec<Band>,
}

impl Funnel {
    /// Makes the funnel of a comparison; `None` where nothing was counted.
    pub fn new(title: &str, counting: Counting<'_>, comparison: &Comparison) -> Option<Funnel> {
        let average = comparison.average.rate()?;
        let points: Vec<Point> = comparison
            .judged
            .iter()
            .filter_map(|one| {
                Some(Point {
                    name: one.supplier.clone(),
                    bad: one.bad,
                    rate: one.bad.rate()?,
                    verdict: one.verdict,
                    watch: one.watch,
                })
            })
            .collect();
        let largest = points.iter().map(|point| point.bad.whole()).max()?;
        let bands = sizes(largest)
            .into_iter()
            .map(|n| band(n, average))
            .collect();
        Some(Funnel {
            title: title.to_owned(),
            what: counting.what.to_owned(),
            bad: counting.bad.to_owned(),
            average,
            points,
            bands,
        })
    }

    /// Returns the chart in words, for those who do not see it.
    pub fn words(&self) -> String {
        let mut out = format!(
            "Share of {} {}, by how many {} each supplier had; the average is {}.",
            self.what,
            self.bad,
            self.what,
            per_cent(self.average)
        );
        for point in &self.points {
            let watch = if point.watch { ", worth watching" } else { "" };
            out.push_str(&format!(
                " {}: {}, {}{watch}.",
                point.name,
                point.bad.words(),
                point.verdict.words()
            ));
        }
        out
    }
}

fn band(n: u64, average: f64) -> Band {
    let inner = limits(n, average, Level::P95);
    let outer = limits(n, average, Level::P998);
    Band {
        n,
        inner: (inner.low, inner.high),
        outer: (outer.low, outer.high),
    }
}

/// Returns about 100 sizes up to a tenth past the largest, close together where the lines bend.
fn sizes(largest: u64) -> Vec<u64> {
    let end = largest.saturating_add(largest / 10).max(25);
    let mut sizes: Vec<u64> = (0..=100)
        .map(|step| (end as f64 * (f64::from(step) / 100.0).powi(2)).ceil() as u64)
        .collect();
    sizes.retain(|n| *n > 0);
    sizes.dedup();
    sizes
}
