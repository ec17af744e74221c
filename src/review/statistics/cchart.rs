//! The c-chart: limits for counts of findings on equal units. Does not handle units of unequal size; that is the p-chart.

use super::Interval;

/// A mean count and its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CChart {
    /// The mean count.
    pub mean: f64,
    /// The 3-sigma limits, the lower one never below 0.
    pub limits: Interval,
}

/// Returns mean ± 3 √mean of the counts; `None` for no counts. Source: NIST/SEMATECH e-Handbook 6.3.3.1,
/// which asks for a mean of 5 or more for the limits to be good.
pub fn cchart(counts: &[u64]) -> Option<CChart> {
    if counts.is_empty() {
        return None;
    }
    let mean = counts.iter().map(|count| *count as f64).sum::<f64>() / counts.len() as f64;
    let reach = 3.0 * mean.sqrt();
    Some(CChart {
        mean,
        limits: Interval {
            low: (mean - reach).max(0.0),
            high: mean + reach,
        },
    })
}
